//! The slices as plain functions of a model and bytes: no store, no clock, no threads.

mod answer;
mod merge;
mod polish;
mod publish;
mod search;
mod study;
mod together;

pub use merge::{Merged, after_merge, run_merge};
pub use polish::{Polished, run_polish};
pub use publish::{Left, run_publish};
pub use search::{Searched, run_search};
pub use study::{Studied, run_study};
pub(crate) use together::{islands, islands_of};

use std::panic::resume_unwind;

use ::search::{Evaluation, SnapshotFault, TellFault};

use crate::model::Model;

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

/// How many threads a batch may be split over at this moment, at least 1.
pub type Hands<'a> = &'a (dyn Fn() -> usize + Sync);

/// Evaluates a batch; answers in its order, whatever the number of threads. Only evaluations that cost
/// far more than a thread does are split.
fn evaluate_all(
    model: &dyn Model,
    batch: &[&[f64]],
    evaluate: &mut dyn FnMut(&[f64]) -> Evaluation,
    hands: Hands<'_>,
) -> Vec<Evaluation> {
    let hands = if model.is_costly() { hands() } else { 1 };
    let share = batch.len().div_ceil(hands.max(1)).max(1);
    let (own, others) = batch.split_at(share.min(batch.len()));
    std::thread::scope(|scope| {
        let others: Vec<_> = others
            .chunks(share)
            .map(|part| scope.spawn(move || evaluate_part(model, part)))
            .collect();
        let mut told: Vec<Evaluation> = own.iter().map(|vector| evaluate(vector)).collect();
        for part in others {
            // A panic goes on in the thread of the slice, which knows what to do with it.
            told.extend(part.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        told
    })
}

fn evaluate_part(model: &dyn Model, part: &[&[f64]]) -> Vec<Evaluation> {
    let mut evaluate = model.evaluator();
    part.iter().map(|vector| evaluate(vector)).collect()
}
