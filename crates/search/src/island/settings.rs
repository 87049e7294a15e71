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

/// The start points of one island of several, of those that a job begins with: every island gets the
/// first, which is the caller's own vehicle or the point that matters most; the others go round. So
/// the islands begin with the whole of a front that is started from, and still differ. At most half
/// of [`MOST_STARTS`] each, so that half of the first batch looks elsewhere; what is beyond that is
/// left out, so give the points in the order in which they should come in.
pub fn deal_starts(starts: &[Vec<f64>], islands: u32, island: u32) -> Vec<Vec<f64>> {
    let Some((first, others)) = starts.split_first() else {
        return Vec::new();
    };
    let own = others
        .iter()
        .skip(island as usize)
        .step_by(islands.max(1) as usize);
    std::iter::once(first)
        .chain(own)
        .take(MOST_STARTS / 2)
        .cloned()
        .collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    fn dealt(count: u32, islands: u32, island: u32) -> Vec<f64> {
        let starts: Vec<Vec<f64>> = (0..count).map(|i| vec![f64::from(i)]).collect();
        deal_starts(&starts, islands, island)
            .into_iter()
            .map(|start| start[0])
            .collect()
    }

    #[test]
    fn the_first_start_goes_to_all_and_the_others_round() {
        assert_eq!(dealt(6, 2, 0), [0.0, 1.0, 3.0, 5.0]);
        assert_eq!(dealt(6, 2, 1), [0.0, 2.0, 4.0]);
        assert_eq!(dealt(1, 8, 7), [0.0]);
        assert!(dealt(0, 8, 7).is_empty());
        assert_eq!(dealt(200, 1, 0).len(), MOST_STARTS / 2);
    }
}
