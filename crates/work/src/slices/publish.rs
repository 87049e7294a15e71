//! The result, made from the archive and all polishes.

use store::Published;

use super::{Halt, Stopped};
use crate::documents::{
    FrontDocument, FrontRow, ProgressDocument, archive_rows, blocks, bytes, scale_rows,
};
use crate::model::{Described, Model};
use search::{Archive, Point, Polish, knees};

/// Joins the polishes, in their order, to the archive and describes the best candidates.
///
/// # Errors
/// [`Stopped::Interrupted`] when `halt` says so; [`Stopped::Failed`] when a checkpoint can't be read.
pub fn run_publish(
    model: &dyn Model,
    archive: &[u8],
    polishes: &[Vec<u8>],
    halt: Halt<'_>,
) -> Result<Published, Stopped> {
    let archive = joined(model, archive, polishes)?;
    let chosen = chosen(model, &archive);
    let knees = knees(&chosen);
    let mut rows = Vec::with_capacity(chosen.len());
    let mut candidates = Vec::with_capacity(chosen.len());
    for (number, point) in chosen.iter().enumerate() {
        if halt() {
            return Err(Stopped::Interrupted);
        }
        let vector = model.round(&point.vector);
        let Described {
            json,
            feasible,
            goals,
        } = model.describe(&vector);
        let knee = knees.binary_search(&number).is_ok();
        rows.push(FrontRow {
            number: number as u32,
            feasible,
            knee,
            vector,
            goals,
        });
        candidates.push(json);
    }
    let figures = archive.progress();
    let done = ProgressDocument::new(model, "publish", archive.evaluations(), &figures);
    Ok(Published {
        front: bytes(&front(model, &archive, rows)),
        candidates,
        event: bytes(&done),
    })
}

fn joined(model: &dyn Model, archive: &[u8], polishes: &[Vec<u8>]) -> Result<Archive, Stopped> {
    let mut archive = Archive::resume(model.problem(), archive)?;
    for polish in polishes {
        archive.take_polish(&Polish::resume(model.problem(), polish)?)?;
    }
    Ok(archive)
}

/// The points of the front; the nearest miss when nothing is feasible.
fn chosen(model: &dyn Model, archive: &Archive) -> Vec<Point> {
    let chosen = archive.choose(model.front_size());
    if !chosen.is_empty() {
        return chosen;
    }
    let nearest = archive.blocks().least;
    nearest
        .map(|least| Point {
            vector: least.vector,
            goals: vec![],
        })
        .into_iter()
        .collect()
}

fn front(model: &dyn Model, archive: &Archive, candidates: Vec<FrontRow>) -> FrontDocument {
    let figures = archive.progress();
    let goals = model.goals();
    FrontDocument {
        version: 1,
        name: model.name(),
        seed: model.seed(),
        budget: model.budget(),
        evaluations: archive.evaluations(),
        feasible: archive.feasible(),
        hypervolume: figures.hypervolume,
        hypervolume_is_estimate: figures.hypervolume_is_estimate,
        scales: scale_rows(&goals, archive.scales()),
        findings: model.findings(),
        candidates,
        blocks: blocks(model, archive),
        archive: archive_rows(model, &goals, archive),
        goals,
    }
}
