//! Counter-based random numbers: every draw is a pure function of its key, so none depends on
//! scheduling.
//!
//! Philox 2x64 with ten rounds: J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, "Parallel
//! random numbers: as easy as 1, 2, 3", SC '11. The key is the seed; the counter's first word is
//! (generation, child), its second (island, block), each half 32 bits; a block gives two 64-bit
//! words, used in order. The child [`WHOLE`] stands for draws of a generation as a whole.

const MULTIPLIER: u64 = 0xD2B7_4407_B1CE_6E93;
const WEYL: u64 = 0x9E37_79B9_7F4A_7C15;

/// The child number of draws that belong to no single child.
pub(crate) const WHOLE: u32 = u32::MAX;

fn philox(mut counter: [u64; 2], mut key: u64) -> [u64; 2] {
    for _ in 0..10 {
        let product = u128::from(counter[0]) * u128::from(MULTIPLIER);
        counter = [(product >> 64) as u64 ^ key ^ counter[1], product as u64];
        key = key.wrapping_add(WEYL);
    }
    counter
}

/// The draws of one (seed, island, generation, child).
#[derive(Clone, Debug)]
pub(crate) struct Stream {
    seed: u64,
    counter: [u64; 2],
    spare: Option<u64>,
}

impl Stream {
    pub fn new(seed: u64, island: u32, generation: u32, child: u32) -> Self {
        let place = (u64::from(generation) << 32) | u64::from(child);
        Self {
            seed,
            counter: [place, u64::from(island) << 32],
            spare: None,
        }
    }

    fn word(&mut self) -> u64 {
        if let Some(word) = self.spare.take() {
            return word;
        }
        let [first, second] = philox(self.counter, self.seed);
        self.counter[1] += 1;
        self.spare = Some(second);
        first
    }

    /// One draw, uniform in 0 ≤ u < 1.
    pub fn unit(&mut self) -> f64 {
        (self.word() >> 11) as f64 * (1.0 / (1u64 << 53) as f64)
    }

    /// One draw, uniform among 0 … `count` − 1; the bias is below `count` / 2^64.
    pub fn below(&mut self, count: usize) -> usize {
        ((u128::from(self.word()) * count as u128) >> 64) as usize
    }

    /// One draw: true with probability `share`.
    pub fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    /// Two draws, one standard normal (Box & Muller 1958).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * libm::log(1.0 - self.unit())).sqrt();
        radius * libm::cos(std::f64::consts::TAU * self.unit())
    }

    /// Permutes `items` (Fisher & Yates), one draw per item but the first, from the last down.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Known answers of Random123's kat_vectors for philox2x64-10, quoted from memory.
    #[test]
    fn philox_gives_the_published_answers() {
        let ones = u64::MAX;
        assert_eq!(
            philox([0, 0], 0),
            [0xca00_a045_9843_d731, 0x66c2_4222_c9a8_45b5]
        );
        assert_eq!(
            philox([ones, ones], ones),
            [0x65b0_21d6_0cd8_310f, 0x4d02_f322_2f86_df20]
        );
        assert_eq!(
            philox(
                [0x243f_6a88_85a3_08d3, 0x1319_8a2e_0370_7344],
                0xa409_3822_299f_31d0
            ),
            [0x0a5e_742c_2997_341c, 0xb0f8_83d3_8000_de5d]
        );
    }

    #[test]
    fn streams_with_different_keys_differ() {
        let first =
            |seed, island, generation, child| Stream::new(seed, island, generation, child).word();
        let base = first(1, 2, 3, 4);
        assert_eq!(base, first(1, 2, 3, 4));
        for other in [
            first(2, 2, 3, 4),
            first(1, 3, 3, 4),
            first(1, 2, 4, 4),
            first(1, 2, 3, 5),
        ] {
            assert_ne!(base, other);
        }
    }

    #[test]
    fn normal_draws_have_mean_zero_and_variance_one() {
        let mut stream = Stream::new(5, 0, 0, 0);
        let draws: Vec<f64> = (0..20_000).map(|_| stream.normal()).collect();
        let mean = draws.iter().sum::<f64>() / 20_000.0;
        let variance = draws.iter().map(|d| d * d).sum::<f64>() / 20_000.0;
        // Five standard errors of the mean (1/sqrt n) and of the variance (sqrt(2/n)).
        assert!(
            mean.abs() < 0.036 && (variance - 1.0).abs() < 0.05,
            "{mean} {variance}"
        );
    }
}
