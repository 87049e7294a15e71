//! Problems under requirements.

use super::open::sphere;
use super::{Case, bound, unit_box};
use leanwright_search::Evaluation;

/// Jain & Deb 2014: DTLZ2 with most of the front forbidden.
pub fn c2_dtlz2() -> Case {
    bound("C2-DTLZ2", unit_box(12), 1, (&[0.0; 3], &[1.0; 3]), |x| {
        let f = sphere(x, 3);
        let (r, third) = (0.4f64, 1.0 / 3f64.sqrt());
        let square = |v: f64| v * v;
        let corner = (0..3)
            .map(|i| {
                let rest: f64 = (0..3).filter(|j| *j != i).map(|j| square(f[j])).sum();
                square(f[i] - 1.0) + rest - r * r
            })
            .fold(f64::INFINITY, f64::min);
        let middle = f.iter().map(|v| square(v - third)).sum::<f64>() - r * r;
        Evaluation::assembled(f, vec![corner.min(middle)])
    })
}

/// Binh & Korn 1997.
pub fn bnh() -> Case {
    let ends: (&[f64], &[f64]) = (&[0.0, 4.0], &[136.0, 50.0]);
    bound("BNH", vec![(0.0, 5.0), (0.0, 3.0)], 2, ends, |x| {
        let square = |v: f64| v * v;
        Evaluation::assembled(
            vec![
                4.0 * square(x[0]) + 4.0 * square(x[1]),
                square(x[0] - 5.0) + square(x[1] - 5.0),
            ],
            vec![
                (square(x[0] - 5.0) + square(x[1]) - 25.0) / 25.0,
                (7.7 - square(x[0] - 8.0) - square(x[1] + 3.0)) / 7.7,
            ],
        )
    })
}

/// Osyczka & Kundu 1995.
pub fn osy() -> Case {
    let bounds = vec![
        (0.0, 10.0),
        (0.0, 10.0),
        (1.0, 5.0),
        (0.0, 6.0),
        (1.0, 5.0),
        (0.0, 10.0),
    ];
    let ends: (&[f64], &[f64]) = (&[-274.0, 4.0], &[-42.0, 76.0]);
    bound("OSY", bounds, 6, ends, |x| {
        let square = |v: f64| v * v;
        let first = 25.0 * square(x[0] - 2.0)
            + square(x[1] - 2.0)
            + square(x[2] - 1.0)
            + square(x[3] - 4.0)
            + square(x[4] - 1.0);
        let g = [
            (x[0] + x[1] - 2.0) / 2.0,
            (6.0 - x[0] - x[1]) / 6.0,
            (2.0 - x[1] + x[0]) / 2.0,
            (2.0 - x[0] + 3.0 * x[1]) / 2.0,
            (4.0 - square(x[2] - 3.0) - x[3]) / 4.0,
            (square(x[4] - 3.0) + x[5] - 4.0) / 4.0,
        ];
        Evaluation::assembled(
            vec![-first, x.iter().map(|v| v * v).sum()],
            g.iter().map(|v| -v).collect(),
        )
    })
}

/// Tanaka, Watanabe, Furukawa & Tanino 1995.
pub fn tnk() -> Case {
    let ends: (&[f64], &[f64]) = (&[0.041_66; 2], &[1.038_33; 2]);
    let bounds = vec![(1e-12, std::f64::consts::PI); 2];
    bound("TNK", bounds, 2, ends, |x| {
        let wave = 0.1 * (16.0 * (x[0] / x[1]).atan()).cos();
        Evaluation::assembled(
            x.to_vec(),
            vec![
                1.0 + wave - x[0] * x[0] - x[1] * x[1],
                (x[0] - 0.5).powi(2) + (x[1] - 0.5).powi(2) - 0.5,
            ],
        )
    })
}

/// Srinivas & Deb 1994.
pub fn srn() -> Case {
    let ends: (&[f64], &[f64]) = (&[8.0, -217.0], &[223.0, 2.0]);
    bound("SRN", vec![(-20.0, 20.0); 2], 2, ends, |x| {
        Evaluation::assembled(
            vec![
                2.0 + (x[0] - 2.0).powi(2) + (x[1] - 1.0).powi(2),
                9.0 * x[0] - (x[1] - 1.0).powi(2),
            ],
            vec![
                (x[0] * x[0] + x[1] * x[1] - 225.0) / 225.0,
                (x[0] - 3.0 * x[1] + 10.0) / 10.0,
            ],
        )
    })
}

/// Two ellipsoids with scales over two decades, turned, and one requirement.
pub fn turned() -> Case {
    bound(
        "turned",
        vec![(-1.0, 1.0); 10],
        1,
        (&[0.0; 2], &[40.0; 2]),
        |x| {
            let mean = x.iter().sum::<f64>() / 10.0;
            let far = |shift: f64| {
                let part = |(i, v): (usize, &f64)| {
                    100f64.powf(i as f64 / 9.0) * (v - 2.0 * mean + 0.3 + shift).powi(2)
                };
                x.iter().enumerate().map(part).sum::<f64>()
            };
            Evaluation::assembled(vec![far(-0.2), far(0.2)], vec![x[0] + x[1] - 0.5])
        },
    )
}

/// A beam of one goal and one requirement: the lightest rectangle b × h (mm) whose section modulus
/// is at least 20,000 mm³ and whose height is at most three widths.
pub fn beam() -> Case {
    let bounds = vec![(5.0, 100.0), (5.0, 200.0)];
    bound("beam", bounds, 2, (&[0.0], &[20_000.0]), |x| {
        let modulus = x[0] * x[1] * x[1] / 6.0;
        Evaluation::assembled(
            vec![x[0] * x[1]],
            vec![1.0 - modulus / 20_000.0, x[1] / (3.0 * x[0]) - 1.0],
        )
    })
}
