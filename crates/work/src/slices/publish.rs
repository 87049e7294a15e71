//! The result, made from the archive, all polishes and all studies.

use store::Published;

use super::answer::Answer;
use super::study::read_study;
use super::{Halt, Stopped};
use crate::documents::{
    FrontDocument, FrontRow, ProgressDocument, SearchEnd, archive_rows, blocks, bytes, layout_rows,
    scale_rows,
};
use crate::model::{Described, Model};
use crate::together::{Together, untagged};

/// The checkpoints that a publication reads.
#[derive(Clone, Copy, Debug)]
pub struct Left<'a> {
    /// The merged archive.
    pub archive: &'a [u8],
    /// All polishes, in their order.
    pub polishes: &'a [Vec<u8>],
    /// All studies, in their order.
    pub studies: &'a [Vec<u8>],
}

/// Joins the polishes, in their order, to the archive and describes the best candidates.
///
/// # Errors
/// [`Stopped::Interrupted`] when `halt` says so; [`Stopped::Failed`] when a checkpoint can't be read.
pub fn run_publish(
    model: &dyn Model,
    left: Left<'_>,
    end: SearchEnd,
    halt: Halt<'_>,
) -> Result<Published, Stopped> {
    let answer = Answer::new(model, left.archive, left.polishes)?;
    let studies: Vec<_> = left.studies.iter().filter_map(|s| read_study(s)).collect();
    let mut rows = Vec::with_capacity(answer.points.len());
    let mut candidates = Vec::with_capacity(answer.points.len());
    for (number, point) in answer.points.iter().enumerate() {
        if halt() {
            return Err(Stopped::Interrupted);
        }
        let study = studies.iter().find(|(of, _)| *of == number);
        let vector = model.round(&point.vector);
        let Described {
            json,
            feasible,
            goals,
        } = model
            .describe(&vector, study.map(|(_, bytes)| *bytes))
            .map_err(Stopped::Failed)?;
        let (layout, vector) = untagged(model, &vector);
        let place = answer.nearest.iter().position(|one| *one == number);
        rows.push(FrontRow {
            number: number as u32,
            feasible,
            knee: answer.knees.binary_search(&number).is_ok(),
            nearest: place.map(|place| place as u32 + 1),
            studied: study.is_some(),
            layout,
            vector,
            goals,
        });
        candidates.push(json);
    }
    let figures = answer.archive.progress();
    let evaluations = answer.archive.evaluations();
    let done = ProgressDocument::new(model, "publish", evaluations, &figures);
    Ok(Published {
        front: bytes(&front(model, &answer.archive, rows, end)),
        candidates,
        event: bytes(&done),
    })
}

fn front(
    model: &dyn Model,
    archive: &Together,
    candidates: Vec<FrontRow>,
    end: SearchEnd,
) -> FrontDocument {
    let figures = archive.progress();
    let goals = model.goals();
    FrontDocument {
        version: 1,
        name: model.name(),
        seed: model.seed(),
        budget: model.budget(),
        end,
        evaluations: archive.evaluations(),
        feasible: archive.feasible(),
        hypervolume: figures.hypervolume,
        hypervolume_is_estimate: figures.hypervolume_is_estimate,
        scales: scale_rows(&goals, archive.scales().as_ref()),
        layouts: layout_rows(model, archive),
        findings: model.findings(),
        candidates,
        blocks: blocks(model, archive),
        archive: archive_rows(model, &goals, archive),
        cautions: design::CAUTIONS.map(String::from).to_vec(),
        goals,
    }
}
