//! Problems held out to the last: the search was finished before it ran on them.

use super::open::sphere;
use super::{Case, bound, free, unit_box};
use leanwright_search::Evaluation;
use std::f64::consts::PI;

/// Cheng & Li 1999, a truss of four bars: volume against sag, as RE21 of Tanabe & Ishibuchi 2020.
pub fn four_bars() -> Case {
    let root = 2f64.sqrt();
    let bounds = vec![(1.0, 3.0), (root, 3.0), (root, 3.0), (1.0, 3.0)];
    let ends: (&[f64], &[f64]) = (&[1_237.8, 0.002_76], &[2_886.4, 0.04]);
    free("four bars", bounds, ends, |x| {
        let (force, modulus, length, root) = (10.0, 2e5, 200.0, 2f64.sqrt());
        let volume = length * (2.0 * x[0] + root * x[1] + x[2].sqrt() + x[3]);
        let sag = force * length / modulus
            * (2.0 / x[0] + 2.0 * root / x[1] - 2.0 * root / x[2] + 2.0 / x[3]);
        Evaluation::met(vec![volume, sag])
    })
}

/// After MW3 of Ma & Wang 2019 (written from memory): linked variables between two wavy borders.
pub fn mw3() -> Case {
    bound("MW3", unit_box(15), 2, (&[0.0; 2], &[1.0; 2]), |x| {
        let link = |w: &[f64]| 2.0 * (w[1] + (w[0] - 0.5).powi(2) - 1.0).powi(2);
        let g = 1.0 + x.windows(2).map(link).sum::<f64>();
        let f = vec![x[0], g - x[0]];
        let (sum, across) = (f[0] + f[1], 2f64.sqrt() * (f[1] - f[0]));
        let wave = (0.75 * PI * across).sin();
        let outer = sum - 1.05 - 0.45 * wave.powi(6);
        let inner = 0.85 - sum + 0.3 * wave * wave;
        Evaluation::assembled(f, vec![outer, inner])
    })
}

/// Jain & Deb 2014, C1-DTLZ1: a thin feasible layer before the flat front with many local ones.
pub fn c1_dtlz1() -> Case {
    bound("C1-DTLZ1", unit_box(7), 1, (&[0.0; 3], &[0.5; 3]), |x| {
        let goals = (super::dtlz1().evaluate)(x).goals;
        let beyond = goals[2] / 0.6 + (goals[0] + goals[1]) / 0.5 - 1.0;
        Evaluation::assembled(goals, vec![beyond])
    })
}

/// Jain & Deb 2014, C3-DTLZ4: every goal's own ellipsoid bounds the front, and most points of a
/// uniform draw lie at its edges.
pub fn c3_dtlz4() -> Case {
    bound("C3-DTLZ4", unit_box(12), 3, (&[0.0; 3], &[2.0; 3]), |x| {
        let mut drawn = x.to_vec();
        drawn[..2].iter_mut().for_each(|v| *v = v.powi(100));
        let goals = sphere(&drawn, 3);
        let all: f64 = goals.iter().map(|f| f * f).sum();
        let short = |f: &f64| 1.0 - (all - 0.75 * f * f);
        let beyond = goals.iter().map(short).collect();
        Evaluation::assembled(goals, beyond)
    })
}

/// Zhang, Zhou, Zhao et al. 2009, UF2 of the CEC contest: variables linked along another curve.
pub fn uf2() -> Case {
    let mut bounds = vec![(-1.0, 1.0); 30];
    bounds[0] = (0.0, 1.0);
    free("UF2", bounds, (&[0.0; 2], &[1.0; 2]), |x| {
        let n = x.len() as f64;
        let off = |j: usize| {
            let phase = 6.0 * PI * x[0] + j as f64 * PI / n;
            let turn = if j % 2 == 1 { phase.cos() } else { phase.sin() };
            let swell = 0.3 * x[0] * x[0] * (4.0 * phase).cos();
            (x[j - 1] - (swell + 0.6 * x[0]) * turn).powi(2)
        };
        let mean = |from: usize| {
            let all: Vec<f64> = (from..=x.len()).step_by(2).map(off).collect();
            2.0 * all.iter().sum::<f64>() / all.len() as f64
        };
        Evaluation::met(vec![x[0] + mean(3), 1.0 - x[0].sqrt() + mean(2)])
    })
}
