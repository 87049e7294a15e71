//! Problems without requirements.

use super::{Case, free, unit_box};
use leanwright_search::Evaluation;

/// Zitzler, Deb & Thiele 2000.
pub fn zdt1() -> Case {
    free("ZDT1", unit_box(30), (&[0.0, 0.0], &[1.0, 1.0]), |x| {
        let g = 1.0 + 9.0 * x[1..].iter().sum::<f64>() / (x.len() - 1) as f64;
        Evaluation::met(vec![x[0], g * (1.0 - (x[0] / g).sqrt())])
    })
}

pub fn zdt2() -> Case {
    free("ZDT2", unit_box(30), (&[0.0, 0.0], &[1.0, 1.0]), |x| {
        let g = 1.0 + 9.0 * x[1..].iter().sum::<f64>() / (x.len() - 1) as f64;
        Evaluation::met(vec![x[0], g * (1.0 - (x[0] / g).powi(2))])
    })
}

pub fn zdt3() -> Case {
    let ends: (&[f64], &[f64]) = (&[0.0, 0.0], &[1.0, 1.0]);
    free("ZDT3", unit_box(30), ends, |x| {
        let g = 1.0 + 9.0 * x[1..].iter().sum::<f64>() / (x.len() - 1) as f64;
        let r = x[0] / g;
        let wave = r * (10.0 * std::f64::consts::PI * x[0]).sin();
        Evaluation::met(vec![x[0], g * (1.0 - r.sqrt() - wave)])
    })
}

pub fn zdt4() -> Case {
    let mut bounds = vec![(-5.0, 5.0); 10];
    bounds[0] = (0.0, 1.0);
    free("ZDT4", bounds, (&[0.0, 0.0], &[1.0, 1.0]), |x| {
        let wave = |y: &f64| y * y - 10.0 * (4.0 * std::f64::consts::PI * y).cos();
        let g = 1.0 + 10.0 * (x.len() - 1) as f64 + x[1..].iter().map(wave).sum::<f64>();
        Evaluation::met(vec![x[0], g * (1.0 - (x[0] / g).sqrt())])
    })
}

pub fn zdt6() -> Case {
    free(
        "ZDT6",
        unit_box(10),
        (&[0.280_775, 0.0], &[1.0, 0.921_165]),
        |x| {
            let pi = std::f64::consts::PI;
            let f = 1.0 - (-4.0 * x[0]).exp() * (6.0 * pi * x[0]).sin().powi(6);
            let g = 1.0 + 9.0 * (x[1..].iter().sum::<f64>() / (x.len() - 1) as f64).powf(0.25);
            Evaluation::met(vec![f, g * (1.0 - (f / g).powi(2))])
        },
    )
}

/// Deb, Thiele, Laumanns & Zitzler 2005: the spherical front.
pub(super) fn sphere(x: &[f64], goals: usize) -> Vec<f64> {
    let (angles, rest) = x.split_at(goals - 1);
    let g: f64 = rest.iter().map(|y| (y - 0.5) * (y - 0.5)).sum();
    let half = std::f64::consts::FRAC_PI_2;
    (0..goals)
        .map(|i| {
            let across: f64 = angles[..goals - 1 - i]
                .iter()
                .map(|a| (a * half).cos())
                .product();
            let up = if i == 0 {
                1.0
            } else {
                (angles[goals - 1 - i] * half).sin()
            };
            (1.0 + g) * across * up
        })
        .collect()
}

pub fn dtlz2() -> Case {
    free("DTLZ2", unit_box(12), (&[0.0; 3], &[1.0; 3]), |x| {
        Evaluation::met(sphere(x, 3))
    })
}

pub fn dtlz2_four() -> Case {
    free("DTLZ2/4", unit_box(13), (&[0.0; 4], &[1.0; 4]), |x| {
        Evaluation::met(sphere(x, 4))
    })
}

pub fn dtlz2_five() -> Case {
    free("DTLZ2/5", unit_box(14), (&[0.0; 5], &[1.0; 5]), |x| {
        Evaluation::met(sphere(x, 5))
    })
}

pub fn dtlz2_six() -> Case {
    free("DTLZ2/6", unit_box(15), (&[0.0; 6], &[1.0; 6]), |x| {
        Evaluation::met(sphere(x, 6))
    })
}

pub fn dtlz7() -> Case {
    let ends: (&[f64], &[f64]) = (&[0.0, 0.0, 2.614_009], &[0.859_401, 0.859_401, 6.0]);
    free("DTLZ7", unit_box(22), ends, |x| {
        let g = 1.0 + 9.0 * x[2..].iter().sum::<f64>() / (x.len() - 2) as f64;
        let part = |f: f64| f / (1.0 + g) * (1.0 + (3.0 * std::f64::consts::PI * f).sin());
        let h = 3.0 - part(x[0]) - part(x[1]);
        Evaluation::met(vec![x[0], x[1], (1.0 + g) * h])
    })
}

/// Deb, Thiele, Laumanns & Zitzler 2005: the flat front with many local ones.
pub fn dtlz1() -> Case {
    free("DTLZ1", unit_box(7), (&[0.0; 3], &[0.5; 3]), |x| {
        let wave =
            |y: &f64| (y - 0.5) * (y - 0.5) - (20.0 * std::f64::consts::PI * (y - 0.5)).cos();
        let g = 1.0 + 100.0 * (5.0 + x[2..].iter().map(wave).sum::<f64>());
        Evaluation::met(vec![
            0.5 * g * x[0] * x[1],
            0.5 * g * x[0] * (1.0 - x[1]),
            0.5 * g * (1.0 - x[0]),
        ])
    })
}

/// Kursawe 1991.
pub fn kursawe() -> Case {
    let ends: (&[f64], &[f64]) = (&[-20.0, -12.0], &[-14.0, 0.0]);
    free("Kursawe", vec![(-5.0, 5.0); 3], ends, |x| {
        let pair = |w: &[f64]| -10.0 * (-0.2 * (w[0] * w[0] + w[1] * w[1]).sqrt()).exp();
        let wave = |v: &f64| v.abs().powf(0.8) + 5.0 * v.powi(3).sin();
        Evaluation::met(vec![x.windows(2).map(pair).sum(), x.iter().map(wave).sum()])
    })
}

/// Li & Zhang 2009, F2: variables linked along a curve.
pub fn linked() -> Case {
    let mut bounds = vec![(-1.0, 1.0); 30];
    bounds[0] = (0.0, 1.0);
    free("linked", bounds, (&[0.0; 2], &[1.0; 2]), |x| {
        let n = x.len() as f64;
        let off = |j: usize| {
            let turn = 6.0 * std::f64::consts::PI * x[0] + j as f64 * std::f64::consts::PI / n;
            (x[j - 1] - turn.sin()).powi(2)
        };
        let mean = |from: usize| {
            let all: Vec<f64> = (from..=x.len()).step_by(2).map(off).collect();
            2.0 * all.iter().sum::<f64>() / all.len() as f64
        };
        Evaluation::met(vec![x[0] + mean(3), 1.0 - x[0].sqrt() + mean(2)])
    })
}
