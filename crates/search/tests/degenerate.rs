//! Problems at the edge of what can be asked, and tellers at the edge of what can be told.

#![allow(clippy::unwrap_used)]

use leanwright_search::{Archive, Evaluation, Island, Problem, ProblemFault, Settings, Variable};
use proptest::prelude::*;

fn real(low: f64, high: f64) -> Variable {
    Variable::Real { low, high }
}

fn search(
    problem: &Problem,
    evaluations: u64,
    evaluate: impl Fn(&[f64]) -> Evaluation,
) -> (Archive, Island) {
    let mut island = Island::start(problem, &Settings::new(1, 0)).unwrap();
    while island.evaluations() < evaluations {
        let told: Vec<Evaluation> = island.ask().iter().map(&evaluate).collect();
        island.tell(&told).unwrap();
    }
    (
        Archive::merge(problem, &[island.snapshot()]).unwrap(),
        island,
    )
}

#[test]
fn equal_bounds_everywhere() {
    let problem = Problem::new(vec![real(2.0, 2.0), real(-1.0, -1.0)], 2, 1).unwrap();
    let evaluate = |x: &[f64]| Evaluation::assembled(x.to_vec(), vec![-1.0]);
    let points = search(&problem, 1_000, evaluate).0.points();
    assert_eq!(points.len(), 1);
    assert_eq!(points[0].vector, [2.0, -1.0]);
}

#[test]
fn one_variable_one_goal() {
    let problem = Problem::new(vec![real(-10.0, 10.0)], 1, 0).unwrap();
    let evaluate = |x: &[f64]| Evaluation::met(vec![(x[0] - 3.0).powi(2)]);
    let points = search(&problem, 2_000, evaluate).0.choose(5);
    assert_eq!(points.len(), 1);
    assert!((points[0].vector[0] - 3.0).abs() < 1e-3, "{points:?}");
}

#[test]
fn two_hundred_variables() {
    let problem = Problem::new(vec![real(0.0, 1.0); 200], 2, 0).unwrap();
    let evaluate = |x: &[f64]| {
        let rest: f64 = x[1..].iter().sum();
        Evaluation::met(vec![x[0], 1.0 - x[0] + rest])
    };
    let (archive, _) = search(&problem, 3_000, evaluate);
    // A random vector's rest is about 100; the search must be far ahead of that.
    assert!(archive.progress().best.unwrap()[1] < 60.0);
}

#[test]
fn constant_goals() {
    for goals in 1..=6 {
        let problem = Problem::new(vec![real(0.0, 1.0); 3], goals, 0).unwrap();
        let (archive, _) = search(&problem, 1_500, |_| Evaluation::met(vec![7.0; goals]));
        assert_eq!(archive.points().len(), 1);
    }
    let problem = Problem::new(vec![real(0.0, 1.0); 3], 3, 0).unwrap();
    let evaluate = |x: &[f64]| Evaluation::met(vec![x[0], 1.0 - x[0] + x[1], 7.0]);
    let (archive, _) = search(&problem, 3_000, evaluate);
    assert!(archive.choose(10).len() == 10 && archive.progress().hypervolume.unwrap() > 0.0);
}

#[test]
fn nothing_feasible_says_what_blocks() {
    let problem = Problem::new(vec![real(0.0, 1.0); 2], 2, 3).unwrap();
    // The first can always be met, the second never, the third fails for a half.
    let evaluate = |x: &[f64]| {
        Evaluation::assembled(
            x.to_vec(),
            vec![-1.0, 0.5 + x[0], if x[1] > 0.5 { 2.0 } else { -1.0 }],
        )
    };
    let (archive, island) = search(&problem, 2_000, evaluate);
    assert!(archive.is_empty() && archive.choose(10).is_empty());
    assert!(!island.migrants().is_empty());
    let blocks = archive.blocks();
    assert_eq!(
        (blocks.evaluations, blocks.feasible, blocks.apart),
        (2_000, 0, 0)
    );
    assert_eq!(
        blocks
            .failing
            .iter()
            .map(|f| f.violation)
            .collect::<Vec<_>>(),
        [1, 2, 0]
    );
    assert_eq!(
        (blocks.failing[0].count, blocks.failing[2].count),
        (2_000, 0)
    );
    assert!(blocks.failing[0].alone > 1_000 && blocks.failing[0].mean >= 0.5);
    let least = blocks.least.unwrap();
    assert!(least.violations[1] < 0.51 && least.vector[0] < 0.01 && least.apart.is_none());
}

#[test]
fn nothing_assembles_until_it_gets_near() {
    let problem = Problem::new(vec![real(0.0, 1.0); 6], 2, 0).unwrap();
    // Only a ball of a few millionths of the volume assembles.
    let evaluate = |x: &[f64]| {
        let distance = x.iter().map(|v| (v - 0.7).powi(2)).sum::<f64>().sqrt();
        if distance > 0.1 {
            Evaluation::apart(distance)
        } else {
            Evaluation::met(vec![x[0], x[1]])
        }
    };
    let (archive, _) = search(&problem, 4_000, evaluate);
    assert!(archive.feasible() > 100 && archive.blocks().apart > 100);
    assert!(archive.blocks().least.is_none());
}

#[test]
fn faults_of_a_problem_name_the_field() {
    let text = |fault: ProblemFault| fault.to_string();
    let one = |variable| Problem::new(vec![variable], 2, 0).unwrap_err();
    assert_eq!(
        text(Problem::new(vec![], 2, 0).unwrap_err()),
        "variables: 0, must be from 1 to 1000"
    );
    assert_eq!(
        text(Problem::new(vec![real(0.0, 1.0)], 7, 0).unwrap_err()),
        "goals: 7, must be from 1 to 6"
    );
    assert_eq!(
        text(one(real(f64::NAN, 1.0))),
        "variables[0]: low is NaN, must be finite"
    );
    for bad in [
        real(1.0, 0.0),
        real(0.0, f64::INFINITY),
        real(f64::MIN, f64::MAX),
    ] {
        assert!(text(one(bad)).contains("high"));
    }
    for step in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e-300] {
        assert!(
            text(one(Variable::Grid {
                low: 0.0,
                high: 1.0,
                step
            }))
            .contains("step")
        );
    }
    assert!(text(one(Variable::List(vec![]))).contains("holds 0 values"));
    assert!(text(one(Variable::List(vec![1.0, f64::NAN]))).contains("list is NaN"));
}

fn value() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => -10.0..10.0f64,
        1 => Just(0.0),
        1 => Just(-0.0),
        1 => Just(1e100),
        1 => Just(-1e100),
        1 => Just(5e-324),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(f64::NEG_INFINITY),
    ]
}

fn told(goals: usize, violations: usize) -> impl Strategy<Value = Evaluation> {
    prop_oneof![
        4 => (prop::collection::vec(value(), goals), prop::collection::vec(value(), violations))
            .prop_map(|(goals, violations)| Evaluation::assembled(goals, violations)),
        1 => value().prop_map(Evaluation::apart),
        1 => prop::collection::vec(value(), 0..4).prop_map(Evaluation::met),
    ]
}

fn holds(variable: &Variable, value: f64) -> bool {
    match variable {
        Variable::Real { low, high } | Variable::Grid { low, high, .. } => {
            (low..=high).contains(&&value)
        }
        Variable::List(values) => values.contains(&value),
    }
}

fn variable() -> impl Strategy<Value = Variable> {
    prop_oneof![
        (-5.0..5.0f64, 0.0..5.0f64).prop_map(|(low, range)| real(low, low + range)),
        Just(real(1.0, 1.0)),
        (-5.0..5.0f64, 0.0..5.0f64, 0.01..3.0f64).prop_map(|(low, range, step)| Variable::Grid {
            low,
            high: low + range,
            step
        }),
        prop::collection::vec(-5.0..5.0f64, 1..5).prop_map(Variable::List),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Whatever is told, the machine refuses it or goes on; it never panics, and what it hands out
    /// stays within the variables.
    #[test]
    fn a_careless_teller_does_no_harm(
        variables in prop::collection::vec(variable(), 1..5),
        goals in 1usize..=6,
        violations in 0usize..3,
        seed: u64,
        choices in prop::collection::vec(told(2, 1), 8),
        picks in prop::collection::vec(0usize..8, 64),
    ) {
        let problem = Problem::new(variables, goals, violations).unwrap();
        let mut island = Island::start(&problem, &Settings::new(seed, 0)).unwrap();
        for round in 0..12 {
            let batch = island.ask().clone();
            for x in batch.iter() {
                for (value, variable) in x.iter().zip(problem.variables()) {
prop_assert!(holds(variable, *value));
                }
            }
            // Reshape what was drawn, so that about half of the batches are acceptable.
            let fit = |e: &Evaluation| {
                let mut e = e.clone();
                if e.apart.is_none() && picks[round] % 4 != 0 {
                    e.goals.resize(goals, 1.0);
                    e.violations.resize(violations, -1.0);
                    e.goals.iter_mut().chain(&mut e.violations).for_each(|v| {
                        if !v.is_finite() { *v = 3.0 }
                    });
                }
                e
            };
            let all: Vec<Evaluation> = (0..batch.len())
                .map(|i| fit(&choices[picks[(i * 7 + round) % 64]]))
                .collect();
            if island.tell(&all).is_err() {
                prop_assert_eq!(island.ask(), &batch);
                let plain = |x: &[f64]| Evaluation::assembled(
                    (0..goals).map(|g| x[g % x.len()] * (g as f64 - 1.5)).collect(),
                    vec![x[0]; violations],
                );
                let plain: Vec<Evaluation> = batch.iter().map(plain).collect();
                island.tell(&plain).unwrap();
            }
            island = Island::resume(&problem, &island.snapshot()).unwrap();
        }
        let archive = Archive::merge(&problem, &[island.snapshot()]).unwrap();
        prop_assert!(archive.choose(5).len() <= 5);
        let _ = (archive.blocks(), archive.progress(), island.migrants());
    }
}
