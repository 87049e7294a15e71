//! Goals and requirements that say little or nothing, searched until the front is being refined.

#![allow(clippy::unwrap_used)]

use leanwright_search::{Archive, Evaluation, Island, Point, Problem, Settings, Variable};
use proptest::prelude::*;

const EVALUATIONS: u64 = 2_000;

/// What becomes of a goal's value, which is from 0 to 2.
#[derive(Clone, Copy, Debug)]
enum Goal {
    Plain,
    Constant,
    /// Few values, so that many candidates are equal.
    Levels,
    Huge,
    /// So small that differences have no reciprocal.
    Tiny,
    /// So large an offset that nothing is left of the value.
    Drowned,
    /// The same as every other goal of this kind.
    Shared,
}

impl Goal {
    fn of(self, value: f64, first: f64) -> f64 {
        match self {
            Self::Plain => value,
            Self::Constant => 7.0,
            Self::Levels => (4.0 * value).floor(),
            Self::Huge => (value - 1.0) * 1e100,
            Self::Tiny => value * 1e-310,
            Self::Drowned => 1e60 + value,
            Self::Shared => first,
        }
    }
}

#[derive(Clone, Copy, Debug)]
enum Requirement {
    None,
    Never,
    Seldom,
    /// Most candidates have no numbers.
    Apart,
}

fn evaluate(x: &[f64], goals: &[Goal], requirement: Requirement) -> Evaluation {
    let rest = |g: usize| (x[g % x.len()] - 0.5).abs();
    let value = |g: usize| match g {
        0 => x[0],
        _ => {
            (1.0 - x[0])
                * if g.is_multiple_of(2) {
                    x[g % x.len()]
                } else {
                    1.0
                }
                + rest(g)
        }
    };
    let told: Vec<f64> = (0..goals.len())
        .map(|g| goals[g].of(value(g), x[0]))
        .collect();
    match requirement {
        Requirement::None => Evaluation::assembled(told, vec![-1.0]),
        Requirement::Never => Evaluation::assembled(told, vec![0.5 + x[0]]),
        Requirement::Seldom => Evaluation::assembled(told, vec![100.0 * (rest(1) - 0.01)]),
        Requirement::Apart if rest(1) > 0.02 => Evaluation::apart(rest(1)),
        Requirement::Apart => Evaluation::assembled(told, vec![-1.0]),
    }
}

fn goal() -> impl Strategy<Value = Goal> {
    prop_oneof![
        4 => Just(Goal::Plain),
        1 => Just(Goal::Constant),
        1 => Just(Goal::Levels),
        1 => Just(Goal::Huge),
        1 => Just(Goal::Tiny),
        1 => Just(Goal::Drowned),
        1 => Just(Goal::Shared),
    ]
}

fn requirement() -> impl Strategy<Value = Requirement> {
    prop_oneof![
        3 => Just(Requirement::None),
        1 => Just(Requirement::Never),
        1 => Just(Requirement::Seldom),
        1 => Just(Requirement::Apart),
    ]
}

/// One to two hundred variables from 0 to 1, some fixed.
fn variables() -> impl Strategy<Value = Vec<Variable>> {
    let count = prop_oneof![2 => Just(1usize), 4 => 2..8usize, 1 => Just(200usize)];
    let variable = prop_oneof![
        5 => Just(Variable::Real { low: 0.0, high: 1.0 }),
        1 => Just(Variable::Real { low: 0.5, high: 0.5 }),
        1 => Just(Variable::Grid { low: 0.0, high: 1.0, step: 0.125 }),
    ];
    count.prop_flat_map(move |count| prop::collection::vec(variable.clone(), count))
}

fn dominates_or_equals(a: &Point, b: &Point) -> bool {
    a.goals.iter().zip(&b.goals).all(|(a, b)| a <= b)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    /// The front holds what can be said: nothing dominated, nothing twice, nothing that was not told,
    /// and the same from a snapshot.
    #[test]
    fn a_front_of_poor_goals_is_still_a_front(
        variables in variables(),
        goals in prop::collection::vec(goal(), 1..=6),
        requirement in requirement(),
        seed: u64,
    ) {
        let problem = Problem::new(variables, goals.len(), 1).unwrap();
        let mut island = Island::start(&problem, &Settings::new(seed, 0)).unwrap();
        while island.evaluations() < EVALUATIONS {
            let told: Vec<Evaluation> =
                island.ask().iter().map(|x| evaluate(x, &goals, requirement)).collect();
            island.tell(&told).unwrap();
        }
        let archive = Archive::merge(&problem, &[island.snapshot()]).unwrap();
        let points = archive.points();
        for (i, point) in points.iter().enumerate() {
            let told = evaluate(&point.vector, &goals, requirement);
            prop_assert_eq!(&told.goals, &point.goals);
            prop_assert!(told.violations.iter().all(|v| *v <= 0.0));
            let others = points.iter().enumerate().filter(|(j, _)| *j != i);
            prop_assert!(others.into_iter().all(|(_, other)| !dominates_or_equals(other, point)));
        }
        let chosen = archive.choose(20);
        prop_assert_eq!(chosen.len(), points.len().min(20));
        prop_assert!(chosen.iter().all(|point| points.contains(point)));
        prop_assert_eq!(points.is_empty(), archive.feasible() == 0);
        prop_assert!(!matches!(requirement, Requirement::Never) || points.is_empty());
        let hypervolume = archive.progress().hypervolume;
        prop_assert!(hypervolume.is_none_or(|volume| volume.is_finite() && volume >= 0.0));
        let mut again = Island::resume(&problem, &island.snapshot()).unwrap();
        prop_assert_eq!(again.ask(), island.ask());
    }
}
