//! Exact hypervolume: what a set of points dominates up to a reference point. All goals minimised.

mod contribution;
mod limit;
mod staircase;
mod thin;
mod together;
mod wfg;

pub(crate) use limit::{keep, limit, moved};
pub(crate) use thin::thin;
pub(crate) use wfg::{Wfg, inclusive};

use crate::problem::MOST_GOALS;
use crate::standing::{Goals, padded};
use staircase::Staircase;
use thiserror::Error;

/// Why a hypervolume can't be computed.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum HypervolumeFault {
    /// The number of goals is out of range.
    #[error("reference: {found} goals, must be from 1 to {MOST_GOALS}")]
    Goals {
        /// Length of the reference.
        found: usize,
    },
    /// A point and the reference differ in length.
    #[error("points[{index}]: {found} goals, must be {expected}")]
    Width {
        /// Index of the point.
        index: usize,
        /// Length of the reference.
        expected: usize,
        /// Length of the point.
        found: usize,
    },
    /// A coordinate that is not finite.
    #[error("points[{index}]: a goal is {value}, must be finite")]
    Value {
        /// Index of the point; the number of points stands for the reference.
        index: usize,
        /// The coordinate.
        value: f64,
    },
}

/// The volume dominated by `points` and bounded by `reference`, in the product of the goals'
/// units, by a sweep for up to three goals and by WFG beyond. Points that are not better than the
/// reference in every goal add nothing.
///
/// # Errors
/// When lengths differ, or a coordinate is not finite.
pub fn hypervolume<P: AsRef<[f64]>>(
    points: &[P],
    reference: &[f64],
) -> Result<f64, HypervolumeFault> {
    let goals = reference.len();
    if !(1..=MOST_GOALS).contains(&goals) {
        return Err(HypervolumeFault::Goals { found: goals });
    }
    let mut inside = Vec::with_capacity(points.len());
    for (index, point) in points
        .iter()
        .map(AsRef::as_ref)
        .chain([reference])
        .enumerate()
    {
        if point.len() != goals {
            return Err(HypervolumeFault::Width {
                index,
                expected: goals,
                found: point.len(),
            });
        }
        if let Some(value) = point.iter().find(|v| !v.is_finite()) {
            return Err(HypervolumeFault::Value {
                index,
                value: *value,
            });
        }
        inside.push(padded(point));
    }
    inside.pop();
    Ok(volume(&inside, goals, &padded(reference)))
}

/// The hypervolume of padded points; those outside the reference add nothing.
pub(crate) fn volume(points: &[Goals], goals: usize, reference: &Goals) -> f64 {
    let inside: Vec<Goals> = points
        .iter()
        .filter(|p| p[..goals].iter().zip(reference).all(|(x, r)| x < r))
        .copied()
        .collect();
    match goals {
        1 => inside
            .iter()
            .map(|p| reference[0] - p[0])
            .fold(0.0, f64::max),
        2 => plane(&inside, reference),
        _ => Wfg::default().volume(&inside, goals, reference),
    }
}

fn plane(points: &[Goals], reference: &Goals) -> f64 {
    let mut stairs = Staircase::new(reference[0], reference[1]);
    points.iter().map(|p| stairs.insert(p[0], p[1])).sum()
}
