//! The problems by name: those of the literature, our demo jobs, and some with one goal.

use design::{Compiled, parse_job};
use leanwright_tests::program::demo;
use search::{Evaluation, Problem, Variable};

use crate::common;

const DEMO_JOBS: [&str; 3] = ["rod-ends", "zero-scrub", "more-lean"];

type Evaluate = Box<dyn FnMut(&[f64]) -> Evaluation>;

/// One problem and what is known of it.
pub struct Entry {
    pub name: String,
    pub group: &'static str,
    pub problem: Problem,
    /// Points of an answer.
    pub answer: usize,
    /// Fixed ideal and nadir.
    pub ends: Option<(Vec<f64>, Vec<f64>)>,
    pub evaluate: Evaluate,
}

/// All problems, in the order of the table.
pub fn entries() -> Vec<Entry> {
    let mut all: Vec<Entry> = Vec::new();
    all.extend(common::all().into_iter().map(|case| known("listed", case)));
    all.extend(DEMO_JOBS.map(job));
    all.extend(
        common::others()
            .into_iter()
            .map(|case| known("held out", case)),
    );
    all.extend(one_goal());
    all
}

fn known(group: &'static str, case: common::Case) -> Entry {
    Entry {
        name: case.name.to_owned(),
        group,
        problem: case.problem(),
        answer: case.answer,
        ends: Some((case.ideal, case.nadir)),
        evaluate: Box::new(case.evaluate),
    }
}

fn job(name: &str) -> Entry {
    let text = demo(&format!("{name}.json")).to_string();
    let job = parse_job(&text).expect("a demo job is accepted");
    let compiled = Compiled::new(&job).expect("a demo job is accepted");
    let problem = compiled.problem().clone();
    let answer = [0, 1, 100, 105, 120, 126, 126][problem.goals()];
    let mut scratch = compiled.scratch();
    Entry {
        name: name.to_owned(),
        group: "demo job",
        problem,
        answer,
        ends: None,
        evaluate: Box::new(move |x| compiled.evaluate(&compiled.round(x), &mut scratch)),
    }
}

fn one_goal() -> Vec<Entry> {
    let single = |name: &str, bounds: Vec<(f64, f64)>, violations, evaluate: fn(&[f64]) -> _| {
        let real = |b: &(f64, f64)| Variable::Real {
            low: b.0,
            high: b.1,
        };
        let variables = bounds.iter().map(real).collect();
        Entry {
            name: name.to_owned(),
            group: "one goal",
            problem: Problem::new(variables, 1, violations).expect("valid"),
            answer: 1,
            ends: None,
            evaluate: Box::new(evaluate),
        }
    };
    vec![
        single(
            "welded beam, one goal",
            common::welded_bounds(),
            4,
            common::welded_cost,
        ),
        single(
            "speed reducer, one goal",
            common::speed_reducer().bounds,
            11,
            |x| {
                let mut told = (common::speed_reducer().evaluate)(x);
                told.goals.truncate(1);
                told
            },
        ),
        single(
            "turned ellipsoid",
            vec![(-5.0, 5.0); 20],
            0,
            common::turned_ellipsoid,
        ),
        single("Rosenbrock", vec![(-2.0, 2.0); 10], 0, common::rosenbrock),
        single("Rastrigin", vec![(-5.12, 5.12); 10], 0, common::rastrigin),
    ]
}
