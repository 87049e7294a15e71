//! All islands into one archive.

use super::{Stopped, islands};
use crate::documents::{ProgressDocument, bytes};
use crate::model::Model;
use crate::plan::AfterMerge;
use crate::together::Together;

/// What the merge leaves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Merged {
    /// The archive's snapshot.
    pub checkpoint: Vec<u8>,
    /// How many slices follow.
    pub after: AfterMerge,
    /// The figures after the search, as the body of an event.
    pub progress: Vec<u8>,
}

/// Merges the last checkpoints of the search, given in the order of their slices.
///
/// # Errors
/// [`Stopped::Failed`] when a checkpoint can't be read.
pub fn run_merge(model: &dyn Model, last: &[Vec<u8>]) -> Result<Merged, Stopped> {
    let islands: Vec<(u32, Vec<u8>)> = (0..).zip(islands(model, last)?).collect();
    let archive = Together::merge(model, &islands)?;
    let figures = archive.progress();
    let document = ProgressDocument::new(model, "polish", archive.evaluations(), &figures);
    Ok(Merged {
        checkpoint: archive.snapshot(),
        after: count(model, &archive),
        progress: bytes(&document),
    })
}

/// How many slices follow a merge that left this archive.
///
/// # Errors
/// [`Stopped::Failed`] when the archive can't be read.
pub fn after_merge(model: &dyn Model, archive: &[u8]) -> Result<AfterMerge, Stopped> {
    Ok(count(model, &Together::resume(model, archive)?))
}

/// Where nothing is feasible there is nothing to polish or to study.
fn count(model: &dyn Model, archive: &Together) -> AfterMerge {
    let studies = match archive.len() {
        0 => 0,
        _ => model.study_points().min(model.front_size()),
    };
    AfterMerge {
        polishes: archive.len().min(model.polish_points()) as u32,
        studies: studies as u32,
    }
}
