//! From data to the paper, and where the ticks stand.

/// A linear scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Scale {
    pub data: [f64; 2],
    pub paper: [f64; 2],
}

impl Scale {
    pub fn at(&self, x: f64) -> f64 {
        let [a, b] = self.data;
        let [p, q] = self.paper;
        p + (q - p) * ((x - a) / (b - a))
    }

    /// Inside the data's range, up to rounding.
    pub fn holds(&self, x: f64) -> bool {
        let [a, b] = self.data;
        let slack = 1e-9 * (b - a).abs();
        x >= a.min(b) - slack && x <= a.max(b) + slack
    }
}

/// Lowest and highest of the finite numbers.
pub(crate) fn extent(values: impl IntoIterator<Item = f64>) -> Option<[f64; 2]> {
    values
        .into_iter()
        .filter(|v| v.is_finite())
        .fold(None, |found, v| match found {
            None => Some([v, v]),
            Some([low, high]) => Some([low.min(v), high.max(v)]),
        })
}

/// A range with some room at both ends, and never narrower than `least`.
pub(crate) fn roomy([low, high]: [f64; 2], share: f64, least: f64) -> [f64; 2] {
    let middle = 0.5 * (low + high);
    let half = (0.5 * (high - low)).max(0.5 * least) * (1.0 + share);
    [middle - half, middle + half]
}

/// Round places inside a range, about `wanted` of them, and the decimals that write them.
pub(crate) fn ticks([low, high]: [f64; 2], wanted: usize) -> (Vec<f64>, usize) {
    let (low, high) = (low.min(high), low.max(high));
    let step = round_step((high - low) / wanted.max(1) as f64);
    let first = (low / step - 1e-9).ceil() as i64;
    let last = (high / step + 1e-9).floor() as i64;
    let places = (first..=last).map(|i| i as f64 * step).collect();
    (places, decimals_of(step))
}

/// The step of 1, 2 or 5 times a power of ten nearest above or about `rough`.
fn round_step(rough: f64) -> f64 {
    if !rough.is_finite() || rough <= 0.0 {
        return 1.0;
    }
    let power = libm::pow(10.0, libm::floor(libm::log10(rough)));
    let factor = match rough / power {
        f if f < 1.5 => 1.0,
        f if f < 3.5 => 2.0,
        f if f < 7.5 => 5.0,
        _ => 10.0,
    };
    factor * power
}

fn decimals_of(step: f64) -> usize {
    (-libm::floor(libm::log10(step * 1.000_001))).max(0.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(
            ticks([-12.0, 12.0], 5),
            (vec![-10.0, -5.0, 0.0, 5.0, 10.0], 0)
        );
        let (places, decimals) = ticks([0.0, 0.23], 5);
        assert_eq!(decimals, 2);
        assert_eq!(places.len(), 5);
        assert!(places.iter().all(|p| (0.0..=0.23).contains(p)));
        assert_eq!(ticks([3.0, 3.0], 4).0, [3.0]);
    }

    #[test]
    fn a_flat_line_gets_room() {
        assert_eq!(roomy([2.0, 2.0], 0.0, 1.0), [1.5, 2.5]);
        assert_eq!(extent([f64::NAN, 3.0, -1.0]), Some([-1.0, 3.0]));
        assert_eq!(extent([]), None);
    }

    #[test]
    fn scales_turn_round() {
        let scale = Scale {
            data: [0.0, 10.0],
            paper: [200.0, 100.0],
        };
        assert_eq!(scale.at(2.5), 175.0);
        assert!(scale.holds(10.0) && !scale.holds(10.1));
    }
}
