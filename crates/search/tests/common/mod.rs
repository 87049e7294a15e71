//! Test problems from the literature, and a driver.
#![allow(
    dead_code,
    unused_imports,
    clippy::unwrap_used,
    clippy::approx_constant
)]

mod bound;
mod fresh;
mod holdout;
mod machines;
mod open;
mod single;

pub use bound::*;
pub use fresh::*;
pub use holdout::*;
pub use machines::*;
pub use open::*;
pub use single::*;

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
    evaluate: fn(&[f64]) -> Evaluation,
) -> Case {
    bound(name, bounds, 0, ends, evaluate)
}

fn bound(
    name: &'static str,
    bounds: Vec<(f64, f64)>,
    violations: usize,
    ends: (&[f64], &[f64]),
    evaluate: fn(&[f64]) -> Evaluation,
) -> Case {
    let goals = ends.0.len();
    let answer = match goals {
        0..=2 => 100,
        3 => 105,
        4 => 120,
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
    }
}

/// The problems that the search is held to.
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

/// Problems beside them, to see whether something was adjusted to the list.
pub fn others() -> Vec<Case> {
    vec![
        zdt2(),
        zdt6(),
        dtlz1(),
        dtlz5(),
        dtlz2_four(),
        dtlz2_five(),
        wfg4(),
        kursawe(),
        linked(),
        srn(),
        turned(),
        mw1(),
        mw2(),
        mw7(),
        shell(),
        truss(),
        four_bars(),
        mw3(),
        c1_dtlz1(),
        c3_dtlz4(),
        uf2(),
    ]
}
