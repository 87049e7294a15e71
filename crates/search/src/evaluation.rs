//! What the caller tells about one vector, and the faults of a careless caller.

use crate::problem::Problem;
use thiserror::Error;

/// The largest magnitude of a goal, a violation or a distance from assembling. Larger values could
/// overflow when goals are scaled, so they are refused.
pub const LARGEST: f64 = 1e100;

/// The figures of one evaluated vector.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Evaluation {
    /// One value per goal, all minimised, any unit. Empty when `apart` is given.
    pub goals: Vec<f64>,
    /// One value per violation: ≤ 0 where the requirement is met, otherwise how far beyond it,
    /// divided by the requirement's own tolerance. Empty when `apart` is given.
    pub violations: Vec<f64>,
    /// How far from assembling (≥ 0, continuous), for a candidate that has no numbers at all.
    pub apart: Option<f64>,
}

impl Evaluation {
    /// A candidate that has numbers.
    pub fn assembled(goals: Vec<f64>, violations: Vec<f64>) -> Self {
        Self {
            goals,
            violations,
            apart: None,
        }
    }

    /// A candidate of a problem without violations.
    pub fn met(goals: Vec<f64>) -> Self {
        Self::assembled(goals, Vec::new())
    }

    /// A candidate without numbers, `distance` from assembling.
    pub fn apart(distance: f64) -> Self {
        Self {
            apart: Some(distance),
            ..Self::default()
        }
    }

    /// The sum of the positive violations.
    pub(crate) fn excess(&self) -> f64 {
        self.violations.iter().filter(|v| **v > 0.0).sum()
    }
}

/// Why `tell` refused what it was told. Nothing has changed: the same batch can be told again.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TellFault {
    /// `tell` without a batch asked for since the last one.
    #[error("no batch is waiting: ask for one before telling")]
    NothingAsked,
    /// The wrong number of evaluations.
    #[error("the batch holds {expected} vectors, but {found} evaluations were told")]
    Count {
        /// Vectors in the batch.
        expected: usize,
        /// Evaluations told.
        found: usize,
    },
    /// The wrong number of goals or violations in one evaluation.
    #[error("evaluation {index}: {found} {what}, must be {expected}")]
    Width {
        /// Index in the batch.
        index: usize,
        /// "goals" or "violations".
        what: &'static str,
        /// As the problem states, or 0 beside `apart`.
        expected: usize,
        /// As told.
        found: usize,
    },
    /// A value that is not a number, not finite, or too large.
    #[error("evaluation {index}: {what}[{position}] is {value}, must be from {low} to {high}")]
    Value {
        /// Index in the batch.
        index: usize,
        /// "goals", "violations" or "apart".
        what: &'static str,
        /// Position within goals or violations; 0 for `apart`.
        position: usize,
        /// As told.
        value: f64,
        /// Smallest allowed value.
        low: f64,
        /// Largest allowed value.
        high: f64,
    },
}

/// Checks a whole batch at the door.
pub(crate) fn check_all(
    problem: &Problem,
    expected: usize,
    told: &[Evaluation],
) -> Result<(), TellFault> {
    if told.len() != expected {
        return Err(TellFault::Count {
            expected,
            found: told.len(),
        });
    }
    told.iter()
        .enumerate()
        .try_for_each(|(index, evaluation)| check(problem, index, evaluation))
}

fn check(problem: &Problem, index: usize, told: &Evaluation) -> Result<(), TellFault> {
    let (goals, violations) = match told.apart {
        Some(distance) => {
            check_values(index, "apart", &[distance], 0.0)?;
            (0, 0)
        }
        None => (problem.goals(), problem.violations()),
    };
    check_width(index, "goals", goals, told.goals.len())?;
    check_width(index, "violations", violations, told.violations.len())?;
    check_values(index, "goals", &told.goals, -LARGEST)?;
    check_values(index, "violations", &told.violations, -LARGEST)
}

fn check_width(
    index: usize,
    what: &'static str,
    expected: usize,
    found: usize,
) -> Result<(), TellFault> {
    if expected == found {
        Ok(())
    } else {
        Err(TellFault::Width {
            index,
            what,
            expected,
            found,
        })
    }
}

fn check_values(
    index: usize,
    what: &'static str,
    values: &[f64],
    low: f64,
) -> Result<(), TellFault> {
    match values.iter().position(|v| !(low..=LARGEST).contains(v)) {
        None => Ok(()),
        Some(position) => {
            let value = values[position];
            Err(TellFault::Value {
                index,
                what,
                position,
                value,
                low,
                high: LARGEST,
            })
        }
    }
}
