//! Problems with one goal.

use super::machines::welded_beam;
use leanwright_search::Evaluation;
use std::f64::consts::PI;

/// Bounds of the welded beam of Coello 2000.
pub fn welded_bounds() -> Vec<(f64, f64)> {
    vec![(0.1, 2.0), (0.1, 10.0), (0.1, 10.0), (0.1, 2.0)]
}

/// The welded beam by cost alone, its sag limited to 0.25 in instead.
pub fn welded_cost(x: &[f64]) -> Evaluation {
    let mut told = (welded_beam().evaluate)(x);
    let sag = told.goals.pop().unwrap();
    let buckling = told.violations.pop().unwrap();
    told.violations.push(buckling.max(sag / 0.25 - 1.0));
    told
}

/// Scales over six decades, reflected along the diagonal, which mixes all coordinates; minimum 0.
pub fn turned_ellipsoid(x: &[f64]) -> Evaluation {
    let n = x.len() as f64;
    let mean = x.iter().sum::<f64>() / n;
    let part =
        |(i, v): (usize, &f64)| 1e6f64.powf(i as f64 / (n - 1.0)) * (v - 2.0 * mean + 0.7).powi(2);
    Evaluation::met(vec![x.iter().enumerate().map(part).sum()])
}

/// A bent valley; minimum 0 at ones.
pub fn rosenbrock(x: &[f64]) -> Evaluation {
    let part = |w: &[f64]| 100.0 * (w[1] - w[0] * w[0]).powi(2) + (1.0 - w[0]).powi(2);
    Evaluation::met(vec![x.windows(2).map(part).sum()])
}

/// A bowl full of local minima, its lowest off the middle; minimum 0.
pub fn rastrigin(x: &[f64]) -> Evaluation {
    let part = |v: &f64| {
        let y = v - 0.7;
        y * y - 10.0 * (2.0 * PI * y).cos() + 10.0
    };
    Evaluation::met(vec![x.iter().map(part).sum()])
}
