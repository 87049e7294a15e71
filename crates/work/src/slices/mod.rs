//! The slices as plain functions of a model and bytes: no store, no clock, no threads.

mod answer;
mod merge;
mod polish;
mod publish;
mod search;
mod study;

pub use merge::{Merged, after_merge, run_merge};
pub use polish::{Polished, run_polish};
pub use publish::{Left, run_publish};
pub use search::{Searched, run_search};
pub use study::{Studied, run_study};

use ::search::{Evaluation, SnapshotFault, TellFault};

/// Asked at every batch border: whether to stop and forget the slice.
pub type Halt<'a> = &'a dyn Fn() -> bool;

/// Why a slice gave no output.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Stopped {
    /// The caller asked for it; the slice can be run again.
    #[error("the slice was interrupted")]
    Interrupted,
    /// It fails on these inputs on every worker.
    #[error("{0}")]
    Failed(String),
}

impl From<SnapshotFault> for Stopped {
    fn from(fault: SnapshotFault) -> Stopped {
        Stopped::Failed(format!("a checkpoint of this build can't be read: {fault}"))
    }
}

impl From<TellFault> for Stopped {
    fn from(fault: TellFault) -> Stopped {
        Stopped::Failed(format!("the search refused an evaluation: {fault}"))
    }
}

/// Evaluates vectors in index order.
fn evaluate_all<'a>(
    vectors: impl Iterator<Item = &'a [f64]>,
    evaluate: &mut dyn FnMut(&[f64]) -> Evaluation,
) -> Vec<Evaluation> {
    vectors.map(evaluate).collect()
}
