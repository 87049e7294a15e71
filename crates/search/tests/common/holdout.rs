//! Problems that the search was never adjusted to.

use super::open::sphere;
use super::{Case, bound, free, unit_box};
use leanwright_search::Evaluation;
use std::f64::consts::{FRAC_PI_2, PI};

/// Deb, Thiele, Laumanns & Zitzler 2005: a front that is a curve in three goals.
pub fn dtlz5() -> Case {
    let half = 0.5f64.sqrt();
    let ends: (&[f64], &[f64]) = (&[0.0; 3], &[half, half, 1.0]);
    free("DTLZ5", unit_box(12), ends, |x| {
        let far: f64 = x[2..].iter().map(|v| (v - 0.5) * (v - 0.5)).sum();
        let mut bent = x.to_vec();
        bent[1] = (1.0 + 2.0 * far * x[1]) / (2.0 * (1.0 + far));
        Evaluation::met(sphere(&bent, 3))
    })
}

/// Huband, Hingston, Barone & While 2006: many local optima in every coordinate.
pub fn wfg4() -> Case {
    let bounds = (1..=10).map(|i| (0.0, 2.0 * f64::from(i))).collect();
    free("WFG4", bounds, (&[0.0; 2], &[2.0, 4.0]), |x| {
        let shift = |(i, v): (usize, &f64)| {
            let y = v / (2.0 * (i + 1) as f64);
            let part = (y - 0.35).abs() / (2.0 * ((0.35 - y).floor() + 0.35));
            (1.0 + (122.0 * PI * (0.5 - part)).cos() + 40.0 * part * part) / 12.0
        };
        let y: Vec<f64> = x.iter().enumerate().map(shift).collect();
        let mean = |part: &[f64]| part.iter().sum::<f64>() / part.len() as f64;
        let (along, off) = (mean(&y[..4]), mean(&y[4..]));
        let turn = (along - 0.5) * off.max(1.0) + 0.5;
        let (sine, cosine) = (turn * FRAC_PI_2).sin_cos();
        Evaluation::met(vec![off + 2.0 * sine, off + 4.0 * cosine])
    })
}

/// How far across the front a point lies, in the coordinates of Ma & Wang 2019.
fn across(f: &[f64]) -> f64 {
    2f64.sqrt() * (f[1] - f[0])
}

/// Ma & Wang 2019, MW1: most of the front is cut away.
pub fn mw1() -> Case {
    bound("MW1", unit_box(15), 1, (&[0.0; 2], &[1.0; 2]), |x| {
        let off = |i: usize| (x[i].powi(13) - 0.5 - i as f64 / 30.0).powi(2);
        let g: f64 = 1.0 + (1..15).map(|i| 1.0 - (-10.0 * off(i)).exp()).sum::<f64>();
        let f = vec![x[0], g - 0.85 * x[0]];
        let wave = 0.5 * (2.0 * PI * across(&f)).sin().powi(8);
        let beyond = f[0] + f[1] - 1.0 - wave;
        Evaluation::assembled(f, vec![beyond])
    })
}

/// Ma & Wang 2019, MW2: many local fronts, and islands of feasible points.
pub fn mw2() -> Case {
    bound("MW2", unit_box(15), 1, (&[0.0; 2], &[1.0; 2]), |x| {
        let wave = |i: usize| {
            let z = 1.0 - (-10.0 * (x[i] - i as f64 / 15.0).powi(2)).exp();
            0.1 / 15.0 * z * z + 1.5 - 1.5 * (2.0 * PI * z).cos()
        };
        let g: f64 = 1.0 + (1..15).map(wave).sum::<f64>();
        let f = vec![x[0], g - x[0]];
        let beyond = f[0] + f[1] - 1.0 - 0.5 * (3.0 * PI * across(&f)).sin().powi(8);
        Evaluation::assembled(f, vec![beyond])
    })
}

/// Ma & Wang 2019, MW7: linked variables, and a front partly on the border of the feasible points.
pub fn mw7() -> Case {
    bound("MW7", unit_box(15), 2, (&[0.0; 2], &[1.2; 2]), |x| {
        let link = |w: &[f64]| 2.0 * (w[1] + (w[0] - 0.5).powi(2) - 1.0).powi(2);
        let g = 1.0 + x.windows(2).map(link).sum::<f64>();
        let f = vec![g * x[0], g * (1.0 - x[0] * x[0]).max(0.0).sqrt()];
        let turn = f[1].atan2(f[0]);
        let squares = f[0] * f[0] + f[1] * f[1];
        let outer = (1.2 + (0.4 * (4.0 * turn).sin().powi(16)).abs()).powi(2);
        let inner = (1.15 - 0.2 * (4.0 * turn).sin().powi(8)).powi(2);
        Evaluation::assembled(f, vec![squares - outer, inner - squares])
    })
}

/// After LIR-CMOP1 of Fan, Li, Cai et al. 2019, with 10 variables: a thin feasible shell along a
/// curve.
pub fn shell() -> Case {
    bound("shell", unit_box(10), 2, (&[0.5; 2], &[1.5; 2]), |x| {
        let (sine, cosine) = (x[0] * FRAC_PI_2).sin_cos();
        let off = |from: usize, to: f64| -> f64 {
            (from..10).step_by(2).map(|i| (x[i] - to).powi(2)).sum()
        };
        let (first, second) = (off(2, sine), off(1, cosine));
        let within = |g: f64| (0.5 - g).max(g - 0.51);
        Evaluation::assembled(
            vec![x[0] + first, 1.0 - x[0] * x[0] + second],
            vec![within(first), within(second)],
        )
    })
}

/// A truss of two bars under one load: volume against the greater stress (Deb, Pratap & Moitra
/// 2000).
pub fn truss() -> Case {
    let bounds = vec![(1e-5, 0.01), (1e-5, 0.01), (1.0, 3.0)];
    let ends: (&[f64], &[f64]) = (&[0.004, 8_432.0], &[0.053, 100_000.0]);
    bound("truss", bounds, 1, ends, |x| {
        let (long, short) = ((16.0 + x[2] * x[2]).sqrt(), (1.0 + x[2] * x[2]).sqrt());
        let stress = (20.0 * long / (x[2] * x[0])).max(80.0 * short / (x[2] * x[1]));
        Evaluation::assembled(
            vec![x[0] * long + x[1] * short, stress],
            vec![stress / 1e5 - 1.0],
        )
    })
}
