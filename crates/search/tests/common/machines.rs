//! Mechanical problems of Tanabe & Ishibuchi 2020, with constraints, written from the paper.

use super::{Case, bound};
use leanwright_search::Evaluation;

/// Two-goal welded beam of Ray & Liew 2002, as in Tanabe & Ishibuchi 2020 (CRE22).
pub fn welded_beam() -> Case {
    let bounds = vec![(0.125, 5.0), (0.1, 10.0), (0.1, 10.0), (0.125, 5.0)];
    let ends: (&[f64], &[f64]) = (&[2.381, 0.000_439], &[36.4, 0.015_7]);
    bound("welded beam", bounds, 4, ends, |x| {
        let (load, span, e, g) = (6_000.0, 14.0, 30e6f64, 12e6f64);
        let arm = ((x[1] * x[1]) / 4.0 + ((x[0] + x[2]) / 2.0).powi(2)).sqrt();
        let polar = 2.0
            * (2f64.sqrt() * x[0] * x[1] * (x[1] * x[1] / 12.0 + ((x[0] + x[2]) / 2.0).powi(2)));
        let bending = load * (span + x[1] / 2.0) * arm / polar;
        let direct = load / (2f64.sqrt() * x[0] * x[1]);
        let shear = (direct * direct + direct * bending * x[1] / arm + bending * bending).sqrt();
        let stress = 6.0 * load * span / (x[3] * x[2] * x[2]);
        let buckling = 4.013 * e * (x[2] * x[2] * x[3].powi(6) / 36.0).sqrt() / (span * span)
            * (1.0 - x[2] / (2.0 * span) * (e / (4.0 * g)).sqrt());
        Evaluation::assembled(
            vec![
                1.10471 * x[0] * x[0] * x[1] + 0.04811 * x[2] * x[3] * (14.0 + x[1]),
                4.0 * load * span.powi(3) / (e * x[3] * x[2].powi(3)),
            ],
            vec![
                shear / 13_600.0 - 1.0,
                stress / 30_000.0 - 1.0,
                x[0] - x[3],
                1.0 - buckling / load,
            ],
        )
    })
}

/// Disc brake of Ray & Liew 2002, as in Tanabe & Ishibuchi 2020 (CRE23).
pub fn disc_brake() -> Case {
    let bounds = vec![
        (55.0, 80.0),
        (75.0, 110.0),
        (1_000.0, 3_000.0),
        (11.0, 20.0),
    ];
    let ends: (&[f64], &[f64]) = (&[0.127, 2.08], &[2.79, 16.7]);
    bound("disc brake", bounds, 4, ends, |x| {
        let (squares, cubes) = (x[1] * x[1] - x[0] * x[0], x[1].powi(3) - x[0].powi(3));
        Evaluation::assembled(
            vec![
                4.9e-5 * squares * (x[3] - 1.0),
                9.82e6 * squares / (x[2] * x[3] * cubes),
            ],
            vec![
                (20.0 - x[1] + x[0]) / 20.0,
                x[2] / (3.14 * squares) / 0.4 - 1.0,
                2.22e-3 * x[2] * cubes / (squares * squares) - 1.0,
                1.0 - 2.66e-2 * x[2] * x[3] * cubes / squares / 900.0,
            ],
        )
    })
}

/// Speed reducer of Golinski, as in Tanabe & Ishibuchi 2020 (CRE24); the number of teeth is real
/// here.
pub fn speed_reducer() -> Case {
    let bounds = vec![
        (2.6, 3.6),
        (0.7, 0.8),
        (17.0, 28.0),
        (7.3, 8.3),
        (7.3, 8.3),
        (2.9, 3.9),
        (5.0, 5.5),
    ];
    let ends: (&[f64], &[f64]) = (&[2_994.0, 694.2], &[5_650.0, 1_300.0]);
    bound("speed reducer", bounds, 11, ends, |x| {
        let square = |v: f64| v * v;
        let weight =
            0.7854 * x[0] * square(x[1]) * (10.0 * square(x[2]) / 3.0 + 14.933 * x[2] - 43.0934)
                - 1.508 * x[0] * (square(x[5]) + square(x[6]))
                + 7.477 * (x[5].powi(3) + x[6].powi(3))
                + 0.7854 * (x[3] * square(x[5]) + x[4] * square(x[6]));
        let teeth = x[1] * x[2];
        let first = (square(745.0 * x[3] / teeth) + 1.69e7).sqrt() / (0.1 * x[5].powi(3));
        let second = (square(745.0 * x[4] / teeth) + 1.575e8).sqrt() / (0.1 * x[6].powi(3));
        Evaluation::assembled(
            vec![weight, first],
            vec![
                27.0 / (x[0] * x[1] * teeth) - 1.0,
                397.5 / (x[0] * square(teeth)) - 1.0,
                1.93 * x[3].powi(3) / (teeth * x[5].powi(4)) - 1.0,
                1.93 * x[4].powi(3) / (teeth * x[6].powi(4)) - 1.0,
                teeth / 40.0 - 1.0,
                x[0] / x[1] / 12.0 - 1.0,
                1.0 - x[0] / x[1] / 5.0,
                1.9 + 1.5 * x[5] - x[3],
                1.9 + 1.1 * x[6] - x[4],
                first / 1_300.0 - 1.0,
                second / 1_100.0 - 1.0,
            ],
        )
    })
}

/// Car side impact of Jain & Deb 2014, as in Tanabe & Ishibuchi 2020 (CRE31).
pub fn side_impact() -> Case {
    let bounds = vec![
        (0.5, 1.5),
        (0.45, 1.35),
        (0.5, 1.5),
        (0.5, 1.5),
        (0.875, 2.625),
        (0.4, 1.2),
        (0.4, 1.2),
    ];
    let ends: (&[f64], &[f64]) = (&[23.58, 3.585, 10.61], &[42.77, 4.0, 12.53]);
    bound("side impact", bounds, 10, ends, |x| {
        let pillar = 10.58 - 0.674 * x[0] * x[1] - 0.67275 * x[1];
        let door = 16.45 - 0.489 * x[2] * x[6] - 0.843 * x[4] * x[5];
        let force = 4.72 - 0.5 * x[3] - 0.19 * x[1] * x[2];
        let weight = 1.98
            + 4.9 * x[0]
            + 6.67 * x[1]
            + 6.98 * x[2]
            + 4.01 * x[3]
            + 1.78 * x[4]
            + 0.00001 * x[5]
            + 2.73 * x[6];
        let limits = [
            (1.16 - 0.3717 * x[1] * x[3] - 0.0092928 * x[2], 1.0),
            (
                0.261 - 0.0159 * x[0] * x[1] - 0.06486 * x[0] - 0.019 * x[1] * x[6]
                    + 0.0144 * x[2] * x[4]
                    + 0.0154464 * x[5],
                0.32,
            ),
            (
                0.214 + 0.00817 * x[4] - 0.045195 * x[0] - 0.0135168 * x[0] + 0.03099 * x[1] * x[5]
                    - 0.018 * x[1] * x[6]
                    + 0.007176 * x[2]
                    + 0.023232 * x[2]
                    - 0.00364 * x[4] * x[5]
                    - 0.018 * x[1] * x[1],
                0.32,
            ),
            (
                0.74 - 0.61 * x[1] - 0.031296 * x[2] - 0.031872 * x[6] + 0.227 * x[1] * x[1],
                0.32,
            ),
            (
                28.98 + 3.818 * x[2] - 4.2 * x[0] * x[1] + 1.27296 * x[5] - 2.68065 * x[6],
                32.0,
            ),
            (
                33.86 + 2.95 * x[2] - 5.057 * x[0] * x[1] - 3.795 * x[1] - 3.4431 * x[6] + 1.45728,
                32.0,
            ),
            (46.36 - 9.9 * x[1] - 4.4505 * x[0], 32.0),
            (force, 4.0),
            (pillar, 9.9),
            (door, 15.7),
        ];
        Evaluation::assembled(
            vec![weight, force, 0.5 * (pillar + door)],
            limits
                .iter()
                .map(|(value, limit)| value / limit - 1.0)
                .collect(),
        )
    })
}

/// Water resource planning of Ray, Tai & Seow 2001, as in Tanabe & Ishibuchi 2020 (CRE51).
pub fn water() -> Case {
    let bounds = vec![(0.01, 0.45), (0.01, 0.1), (0.01, 0.1)];
    let ends: (&[f64], &[f64]) = (
        &[63_840.0, 30.0, 285_300.0, 183_700.0, 7.2],
        &[83_060.0, 1_350.0, 2_853_000.0, 16_027_000.0, 357_700.0],
    );
    bound("water", bounds, 7, ends, |x| {
        let flow = x[0] * x[1];
        let limits = [
            (0.00139 / flow + 4.94 * x[2] - 0.08, 1.0),
            (0.000306 / flow + 1.082 * x[2] - 0.0986, 1.0),
            (12.307 / flow + 49_408.24 * x[2] + 4_051.02, 50_000.0),
            (2.098 / flow + 8_046.33 * x[2] - 696.71, 16_000.0),
            (2.138 / flow + 7_883.39 * x[2] - 705.04, 10_000.0),
            (0.417 * flow + 1_721.26 * x[2] - 136.54, 2_000.0),
            (0.164 / flow + 631.13 * x[2] - 54.48, 550.0),
        ];
        Evaluation::assembled(
            vec![
                106_780.37 * (x[1] + x[2]) + 61_704.67,
                3_000.0 * x[0],
                305_700.0 * 2_289.0 * x[1] / (0.06f64 * 2_289.0).powf(0.65),
                250.0 * 2_289.0 * (-39.75 * x[1] + 9.9 * x[2] + 2.74).exp(),
                25.0 * (1.39 / flow + 4_940.0 * x[2] - 80.0),
            ],
            limits
                .iter()
                .map(|(value, limit)| value / limit - 1.0)
                .collect(),
        )
    })
}
