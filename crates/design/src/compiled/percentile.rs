//! Percentiles of a quantity over machines as built, counted from the better end.

/// Which values are the worse ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Worse {
    /// Large ones.
    Larger,
    /// Small ones.
    Smaller,
    /// Those far from a value.
    Away(f64),
}

impl Worse {
    /// Grows as the value gets worse.
    pub(super) fn badness(self, value: f64) -> f64 {
        match self {
            Worse::Larger => value,
            Worse::Smaller => -value,
            Worse::Away(middle) => (value - middle).abs(),
        }
    }
}

/// The values of one quantity over all samples, the best first.
pub(super) struct Ranked {
    worse: Worse,
    sorted: Vec<f64>,
    count: usize,
}

/// Confidence of [`Ranked::between`].
const CONFIDENCE: f64 = 0.9;

impl Ranked {
    /// Of so many samples; those without a value count as the worst.
    pub(super) fn new(worse: Worse, mut values: Vec<f64>, count: usize) -> Ranked {
        values.sort_by(|a, b| worse.badness(*a).total_cmp(&worse.badness(*b)));
        Ranked {
            worse,
            sorted: values,
            count,
        }
    }

    /// Samples without a value.
    pub(super) fn missing(&self) -> usize {
        self.count - self.sorted.len()
    }

    /// The value that this share of the samples is no worse than: between the two samples in
    /// whose middle ranks it falls (Hazen 1914). Where samples without a value begin, the last
    /// one that has one.
    pub(super) fn at(&self, share: f64) -> Option<f64> {
        let last = self.sorted.len().checked_sub(1)?;
        let rank = (share * self.count as f64 - 0.5).clamp(0.0, last as f64);
        let below = rank as usize;
        let (a, b) = (self.sorted[below], self.sorted[(below + 1).min(last)]);
        let part = rank - below as f64;
        Some(match self.worse {
            // Two values on either side of the middle have no value between them that counts.
            Worse::Away(middle) => {
                let [near, far] = [a, b].map(|x| self.worse.badness(x));
                let sign = if b < middle { -1.0 } else { 1.0 };
                middle + sign * (near + part * (far - near))
            }
            _ => a + part * (b - a),
        })
    }

    /// The worst value.
    pub(super) fn worst(&self) -> Option<f64> {
        self.sorted.last().copied()
    }

    /// Samples between which the value of this share lies for endlessly many samples, with
    /// [`CONFIDENCE`] or more if they are independent: a sample's rank is binomial.
    pub(super) fn between(&self, share: f64) -> Option<[f64; 2]> {
        let last = self.sorted.len().checked_sub(1)?;
        let [low, high] = ranks(self.count, share);
        Some([low, high].map(|rank| self.sorted[rank.min(last)]))
    }

    /// Standard deviation.
    pub(super) fn deviation(&self) -> Option<f64> {
        let n = self.sorted.len() as f64;
        if n < 2.0 {
            return None;
        }
        let mean = self.sorted.iter().sum::<f64>() / n;
        let square = |x: &f64| (x - mean) * (x - mean);
        Some(libm::sqrt(
            self.sorted.iter().map(square).sum::<f64>() / (n - 1.0),
        ))
    }
}

/// Places of the two samples around the value of a share, from 0.
fn ranks(count: usize, share: f64) -> [usize; 2] {
    let tail = 0.5 * (1.0 - CONFIDENCE);
    // Logarithm of the chance that just k of all samples lie below the value.
    let mut chance = count as f64 * libm::log(1.0 - share);
    let (mut sum, mut low, mut high) = (0.0, 0, count - 1);
    for k in 0..count {
        sum += libm::exp(chance);
        if sum <= tail {
            low = k;
        }
        if sum >= 1.0 - tail {
            high = k;
            break;
        }
        chance += libm::log((count - k) as f64 / (k + 1) as f64 * share / (1.0 - share));
    }
    [low, high]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Binomial tails by SciPy's `binom.cdf(k, n, 0.95)`: of 64, 0.0403 at 57, 0.1001 at 58,
    /// 0.8361 at 62, 0.9625 at 63; of 640, 0.0468 at 598, 0.0656 at 599, 0.9436 at 616, 0.9630 at 617.
    #[test]
    fn ranks_hold_the_percentile_nine_times_in_ten() {
        assert_eq!(ranks(64, 0.95), [57, 63]);
        assert_eq!(ranks(640, 0.95), [598, 617]);
    }

    #[test]
    fn percentiles_count_from_the_better_end() {
        let values: Vec<f64> = (1..=100).map(f64::from).collect();
        let ranked = Ranked::new(Worse::Larger, values.clone(), 100);
        assert_eq!(ranked.at(0.95), Some(95.5));
        assert_eq!(ranked.worst(), Some(100.0));
        let ranked = Ranked::new(Worse::Smaller, values.clone(), 100);
        assert_eq!((ranked.at(0.95), ranked.worst()), (Some(5.5), Some(1.0)));
        let ranked = Ranked::new(Worse::Away(0.0), vec![-3.0, 1.0, 2.0, -1.0], 4);
        assert_eq!(ranked.worst(), Some(-3.0));
        assert_eq!(ranked.at(0.95), Some(-3.0));
        // Ten without a value: the 95th of a hundred is the last that has one.
        let ranked = Ranked::new(Worse::Larger, values[..90].to_vec(), 100);
        assert_eq!((ranked.at(0.95), ranked.missing()), (Some(90.0), 10));
        assert_eq!(Ranked::new(Worse::Larger, Vec::new(), 9).at(0.5), None);
    }
}
