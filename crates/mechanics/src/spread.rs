//! Evenly spread and random numbers for samples of machines as built.

/// Inverse of the normal distribution: the deviation, in standard deviations, below which this
/// share of all lies. Starts from formula 26.2.23 of Abramowitz & Stegun, *Handbook of
/// Mathematical Functions* (1964), and is refined by Halley's iteration on the error function.
pub fn normal_deviation(share: f64) -> f64 {
    let share = share.clamp(1e-12, 1.0 - 1e-12);
    let tail = share.min(1.0 - share);
    let t = libm::sqrt(-2.0 * libm::log(tail));
    let rough = t
        - (2.515517 + t * (0.802853 + t * 0.010328))
            / (1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    // x ≥ 0 with the upper tail given.
    let mut x = rough;
    for _ in 0..3 {
        let over = 0.5 * libm::erfc(x * core::f64::consts::FRAC_1_SQRT_2) - tail;
        let density = libm::exp(-0.5 * x * x) / libm::sqrt(2.0 * core::f64::consts::PI);
        let step = over / density;
        x += step / (1.0 + 0.5 * x * step);
    }
    if share < 0.5 { -x } else { x }
}

/// A random share, above 0 and below 1, that hangs on its three keys alone: Steele, Lea & Flood's
/// SplitMix64 (2014) stepped once for each key.
pub fn random_share(seed: u64, sample: u64, coordinate: u64) -> f64 {
    let mixed = mix(mix(mix(seed) ^ sample) ^ coordinate);
    ((mixed >> 11) as f64 + 0.5) / (1u64 << 53) as f64
}

fn mix(key: u64) -> u64 {
    let z = key.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quantiles of the standard normal distribution as tables print them: Abramowitz & Stegun,
    /// table 26.5 (from memory; SciPy's `norm.ppf` gives the same digits).
    #[test]
    fn deviations_are_those_of_the_tables() {
        for (share, x) in [
            (0.5, 0.0),
            (0.95, 1.644853626951),
            (0.975, 1.959963984540),
            (0.999, 3.090232306168),
            (0.05, -1.644853626951),
            (0.0001, -3.719016485456),
        ] {
            let found = normal_deviation(share);
            assert!((found - x).abs() < 1e-10, "{share}: {found} {x}");
        }
    }

    /// SplitMix64 from state 0 gives 0xe220a8397b1dcdaf first (from memory, Vigna's test program).
    #[test]
    fn shares_are_even_and_hang_on_every_key() {
        assert_eq!(mix(0), 0xe220_a839_7b1d_cdaf);
        let share = |i: u64| random_share(7, i, 3);
        let mean: f64 = (0..10_000).map(share).sum::<f64>() / 1e4;
        // Three standard errors of a mean of 10,000 even shares.
        assert!((mean - 0.5).abs() < 3.0 * 0.288_675 / 100.0, "{mean}");
        let base = random_share(7, 1, 3);
        for other in [
            random_share(8, 1, 3),
            random_share(7, 2, 3),
            random_share(7, 1, 4),
        ] {
            assert!((other - base).abs() > 1e-6);
        }
    }
}
