//! How an island starts.

use crate::problem::Problem;
use thiserror::Error;

/// The largest number of start points.
pub const MOST_STARTS: usize = 100;

/// What makes one island differ from another.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// The job's seed; every draw is keyed by it.
    pub seed: u64,
    /// The island's number. It keys the draws too, and islands lean to different operators.
    pub island: u32,
    /// Vectors to begin with, at most [`MOST_STARTS`], each with one finite value per variable.
    /// Values are moved into the bounds and onto the grid or list. The first batch holds them
    /// first and is filled up with a Latin hypercube.
    pub starts: Vec<Vec<f64>>,
}

impl Settings {
    /// Settings without start points.
    pub fn new(seed: u64, island: u32) -> Self {
        Self {
            seed,
            island,
            starts: Vec::new(),
        }
    }
}

/// Why an island can't start.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum StartFault {
    /// Too many start points.
    #[error("starts: {found} vectors, must be at most {MOST_STARTS}")]
    Count {
        /// As given.
        found: usize,
    },
    /// A start point of the wrong length.
    #[error("starts[{index}]: {found} values, must be {expected}")]
    Width {
        /// Which start point.
        index: usize,
        /// The number of variables.
        expected: usize,
        /// As given.
        found: usize,
    },
    /// A start value that is not finite.
    #[error("starts[{index}][{variable}] is {value}, must be finite")]
    Value {
        /// Which start point.
        index: usize,
        /// Which variable.
        variable: usize,
        /// As given.
        value: f64,
    },
}

pub(super) fn check(problem: &Problem, settings: &Settings) -> Result<(), StartFault> {
    if settings.starts.len() > MOST_STARTS {
        return Err(StartFault::Count {
            found: settings.starts.len(),
        });
    }
    let expected = problem.variables().len();
    for (index, start) in settings.starts.iter().enumerate() {
        if start.len() != expected {
            return Err(StartFault::Width {
                index,
                expected,
                found: start.len(),
            });
        }
        if let Some(variable) = start.iter().position(|v| !v.is_finite()) {
            return Err(StartFault::Value {
                index,
                variable,
                value: start[variable],
            });
        }
    }
    Ok(())
}
