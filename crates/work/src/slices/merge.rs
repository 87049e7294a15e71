//! All islands into one archive.

use super::Stopped;
use crate::documents::{ProgressDocument, bytes};
use crate::model::Model;
use search::Archive;

/// What the merge leaves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Merged {
    /// The archive's snapshot.
    pub checkpoint: Vec<u8>,
    /// How many points are to be polished.
    pub chosen: u32,
    /// The figures after the search, as the body of an event.
    pub progress: Vec<u8>,
}

/// Merges the islands' last checkpoints, given in island order.
///
/// # Errors
/// [`Stopped::Failed`] when a checkpoint can't be read.
pub fn run_merge(model: &dyn Model, islands: &[Vec<u8>]) -> Result<Merged, Stopped> {
    let archive = Archive::merge(model.problem(), islands)?;
    let figures = archive.progress();
    let document = ProgressDocument::new(model, "polish", archive.evaluations(), &figures);
    let chosen = count(model, &archive);
    Ok(Merged {
        checkpoint: archive.snapshot(),
        chosen,
        progress: bytes(&document),
    })
}

/// How many points of a merged archive are polished.
///
/// # Errors
/// [`Stopped::Failed`] when the archive can't be read.
pub fn chosen(model: &dyn Model, archive: &[u8]) -> Result<u32, Stopped> {
    Ok(count(model, &Archive::resume(model.problem(), archive)?))
}

fn count(model: &dyn Model, archive: &Archive) -> u32 {
    archive.len().min(model.polish_points()) as u32
}
