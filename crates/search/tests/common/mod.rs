//! Test problems from the literature, and a driver.
#![allow(dead_code, clippy::unwrap_used, clippy::approx_constant)]

use leanwright_search::{Archive, Evaluation, Island, Problem, Settings, Variable, hypervolume};

/// A problem with known scales.
pub struct Case {
    pub name: &'static str,
    pub bounds: Vec<(f64, f64)>,
    pub goals: usize,
    pub violations: usize,
    pub evaluate: fn(&[f64]) -> Evaluation,
    pub ideal: Vec<f64>,
    pub nadir: Vec<f64>,
    /// How many points an answer holds.
    pub answer: usize,
    /// The best peer's median hypervolume after 20,000 evaluations, normalised, reference 1.1.
    pub peer: f64,
}

impl Case {
    pub fn problem(&self) -> Problem {
        let variables = self.bounds.iter().map(|(low, high)| Variable::Real {
            low: *low,
            high: *high,
        });
        Problem::new(variables.collect(), self.goals, self.violations).unwrap()
    }

    /// Runs one island and returns the chosen points' goals.
    pub fn run(&self, seed: u64, evaluations: u64, count: usize) -> Vec<Vec<f64>> {
        let problem = self.problem();
        let mut island = Island::start(&problem, &Settings::new(seed, 0)).unwrap();
        run(&mut island, self.evaluate, evaluations);
        let archive = Archive::merge(&problem, &[island.snapshot()]).unwrap();
        archive
            .choose(count)
            .into_iter()
            .map(|point| point.goals)
            .collect()
    }

    /// Hypervolume on the case's scales with reference 1.1.
    pub fn score(&self, front: &[Vec<f64>]) -> f64 {
        let normal = |v: &Vec<f64>| -> Vec<f64> {
            (0..self.goals)
                .map(|i| (v[i] - self.ideal[i]) / (self.nadir[i] - self.ideal[i]))
                .collect()
        };
        let points: Vec<Vec<f64>> = front.iter().map(normal).collect();
        hypervolume(&points, &vec![1.1; self.goals]).unwrap()
    }
}

/// Tells an island until it has had at least so many evaluations.
pub fn run(island: &mut Island, evaluate: fn(&[f64]) -> Evaluation, evaluations: u64) {
    while island.evaluations() < evaluations {
        let told: Vec<Evaluation> = island.ask().iter().map(evaluate).collect();
        island.tell(&told).unwrap();
    }
}

fn unit_box(count: usize) -> Vec<(f64, f64)> {
    vec![(0.0, 1.0); count]
}

fn free(
    name: &'static str,
    bounds: Vec<(f64, f64)>,
    ends: (&[f64], &[f64]),
    peer: f64,
    evaluate: fn(&[f64]) -> Evaluation,
) -> Case {
    bound(name, bounds, 0, ends, peer, evaluate)
}

fn bound(
    name: &'static str,
    bounds: Vec<(f64, f64)>,
    violations: usize,
    ends: (&[f64], &[f64]),
    peer: f64,
    evaluate: fn(&[f64]) -> Evaluation,
) -> Case {
    let goals = ends.0.len();
    let answer = match goals {
        0..=2 => 100,
        3 => 105,
        _ => 126,
    };
    let (ideal, nadir) = (ends.0.to_vec(), ends.1.to_vec());
    Case {
        name,
        bounds,
        goals,
        violations,
        evaluate,
        ideal,
        nadir,
        answer,
        peer,
    }
}

/// Zitzler, Deb & Thiele 2000.
pub fn zdt1() -> Case {
    free(
        "ZDT1",
        unit_box(30),
        (&[0.0, 0.0], &[1.0, 1.0]),
        0.87145,
        |x| {
            let g = 1.0 + 9.0 * x[1..].iter().sum::<f64>() / (x.len() - 1) as f64;
            Evaluation::met(vec![x[0], g * (1.0 - (x[0] / g).sqrt())])
        },
    )
}

pub fn zdt2() -> Case {
    free("ZDT2", unit_box(30), (&[0.0, 0.0], &[1.0, 1.0]), 0.0, |x| {
        let g = 1.0 + 9.0 * x[1..].iter().sum::<f64>() / (x.len() - 1) as f64;
        Evaluation::met(vec![x[0], g * (1.0 - (x[0] / g).powi(2))])
    })
}

pub fn zdt3() -> Case {
    let ends: (&[f64], &[f64]) = (&[0.0, 0.0], &[1.0, 1.0]);
    free("ZDT3", unit_box(30), ends, 1.32815, |x| {
        let g = 1.0 + 9.0 * x[1..].iter().sum::<f64>() / (x.len() - 1) as f64;
        let r = x[0] / g;
        let wave = r * (10.0 * std::f64::consts::PI * x[0]).sin();
        Evaluation::met(vec![x[0], g * (1.0 - r.sqrt() - wave)])
    })
}

pub fn zdt4() -> Case {
    let mut bounds = vec![(-5.0, 5.0); 10];
    bounds[0] = (0.0, 1.0);
    free("ZDT4", bounds, (&[0.0, 0.0], &[1.0, 1.0]), 0.86399, |x| {
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
        0.0,
        |x| {
            let pi = std::f64::consts::PI;
            let f = 1.0 - (-4.0 * x[0]).exp() * (6.0 * pi * x[0]).sin().powi(6);
            let g = 1.0 + 9.0 * (x[1..].iter().sum::<f64>() / (x.len() - 1) as f64).powf(0.25);
            Evaluation::met(vec![f, g * (1.0 - (f / g).powi(2))])
        },
    )
}

/// Deb, Thiele, Laumanns & Zitzler 2005: the spherical front.
fn sphere(x: &[f64], goals: usize) -> Vec<f64> {
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
    free(
        "DTLZ2",
        unit_box(12),
        (&[0.0; 3], &[1.0; 3]),
        0.75787,
        |x| Evaluation::met(sphere(x, 3)),
    )
}

pub fn dtlz2_four() -> Case {
    free("DTLZ2/4", unit_box(13), (&[0.0; 4], &[1.0; 4]), 0.0, |x| {
        Evaluation::met(sphere(x, 4))
    })
}

pub fn dtlz2_five() -> Case {
    free("DTLZ2/5", unit_box(14), (&[0.0; 5], &[1.0; 5]), 0.0, |x| {
        Evaluation::met(sphere(x, 5))
    })
}

pub fn dtlz7() -> Case {
    let ends: (&[f64], &[f64]) = (&[0.0, 0.0, 2.614_009], &[0.859_401, 0.859_401, 6.0]);
    free("DTLZ7", unit_box(22), ends, 0.55672, |x| {
        let g = 1.0 + 9.0 * x[2..].iter().sum::<f64>() / (x.len() - 2) as f64;
        let part = |f: f64| f / (1.0 + g) * (1.0 + (3.0 * std::f64::consts::PI * f).sin());
        let h = 3.0 - part(x[0]) - part(x[1]);
        Evaluation::met(vec![x[0], x[1], (1.0 + g) * h])
    })
}

/// Jain & Deb 2014: DTLZ2 with most of the front forbidden.
pub fn c2_dtlz2() -> Case {
    bound(
        "C2-DTLZ2",
        unit_box(12),
        1,
        (&[0.0; 3], &[1.0; 3]),
        0.70041,
        |x| {
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
        },
    )
}

/// Binh & Korn 1997.
pub fn bnh() -> Case {
    let ends: (&[f64], &[f64]) = (&[0.0, 4.0], &[136.0, 50.0]);
    bound("BNH", vec![(0.0, 5.0), (0.0, 3.0)], 2, ends, 1.02188, |x| {
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
    bound("OSY", bounds, 6, ends, 0.96178, |x| {
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
    bound("TNK", bounds, 2, ends, 0.51424, |x| {
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

/// Two-goal welded beam of Ray & Liew 2002, as in Tanabe & Ishibuchi 2020 (CRE22).
pub fn welded_beam() -> Case {
    let bounds = vec![(0.125, 5.0), (0.1, 10.0), (0.1, 10.0), (0.125, 5.0)];
    let ends: (&[f64], &[f64]) = (&[2.381, 0.000_439], &[36.4, 0.015_7]);
    bound("welded beam", bounds, 4, ends, 0.0, |x| {
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
    bound("disc brake", bounds, 4, ends, 0.0, |x| {
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
    bound("speed reducer", bounds, 11, ends, 0.0, |x| {
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
    bound("side impact", bounds, 10, ends, 0.0, |x| {
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
    bound("water", bounds, 7, ends, 0.0, |x| {
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

/// Srinivas & Deb 1994.
pub fn srn() -> Case {
    let ends: (&[f64], &[f64]) = (&[8.0, -217.0], &[223.0, 2.0]);
    bound("SRN", vec![(-20.0, 20.0); 2], 2, ends, 0.0, |x| {
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

/// Kursawe 1991.
pub fn kursawe() -> Case {
    let ends: (&[f64], &[f64]) = (&[-20.0, -12.0], &[-14.0, 0.0]);
    free("Kursawe", vec![(-5.0, 5.0); 3], ends, 0.0, |x| {
        let pair = |w: &[f64]| -10.0 * (-0.2 * (w[0] * w[0] + w[1] * w[1]).sqrt()).exp();
        let wave = |v: &f64| v.abs().powf(0.8) + 5.0 * v.powi(3).sin();
        Evaluation::met(vec![x.windows(2).map(pair).sum(), x.iter().map(wave).sum()])
    })
}

/// Deb, Thiele, Laumanns & Zitzler 2005: the flat front with many local ones.
pub fn dtlz1() -> Case {
    free("DTLZ1", unit_box(7), (&[0.0; 3], &[0.5; 3]), 0.0, |x| {
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

/// Li & Zhang 2009, F2: variables linked along a curve.
pub fn linked() -> Case {
    let mut bounds = vec![(-1.0, 1.0); 30];
    bounds[0] = (0.0, 1.0);
    free("linked", bounds, (&[0.0; 2], &[1.0; 2]), 0.0, |x| {
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

/// Two ellipsoids with scales over two decades, turned, and one requirement.
pub fn turned() -> Case {
    bound(
        "turned",
        vec![(-1.0, 1.0); 10],
        1,
        (&[0.0; 2], &[40.0; 2]),
        0.0,
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
    bound("beam", bounds, 2, (&[0.0], &[20_000.0]), 0.0, |x| {
        let modulus = x[0] * x[1] * x[1] / 6.0;
        Evaluation::assembled(
            vec![x[0] * x[1]],
            vec![1.0 - modulus / 20_000.0, x[1] / (3.0 * x[0]) - 1.0],
        )
    })
}

/// The problems of the quality table.
pub fn all() -> Vec<Case> {
    vec![
        zdt1(),
        zdt3(),
        zdt4(),
        dtlz2(),
        dtlz7(),
        c2_dtlz2(),
        bnh(),
        osy(),
        tnk(),
        welded_beam(),
        disc_brake(),
        speed_reducer(),
        side_impact(),
        water(),
    ]
}
