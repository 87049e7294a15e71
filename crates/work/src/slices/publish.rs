//! The result, made from the archive and all polishes.

use std::cmp::Ordering;

use store::Published;

use super::{Halt, Stopped};
use crate::documents::{
    FrontDocument, FrontRow, ProgressDocument, SearchEnd, archive_rows, blocks, bytes, own_sense,
    scale_rows,
};
use crate::model::{Described, Model};
use search::{Archive, Point, Polish, knees, nearest};

/// Candidates shown as nearest to the aspirations.
const NEAREST: usize = 5;

/// Joins the polishes, in their order, to the archive and describes the best candidates.
///
/// # Errors
/// [`Stopped::Interrupted`] when `halt` says so; [`Stopped::Failed`] when a checkpoint can't be read.
pub fn run_publish(
    model: &dyn Model,
    archive: &[u8],
    polishes: &[Vec<u8>],
    end: SearchEnd,
    halt: Halt<'_>,
) -> Result<Published, Stopped> {
    let archive = joined(model, archive, polishes)?;
    let chosen = chosen(model, &archive);
    let near = near(model, &archive);
    let chosen = together(chosen, &near);
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
            nearest: place(&near, point),
            vector,
            goals,
        });
        candidates.push(json);
    }
    let figures = archive.progress();
    let done = ProgressDocument::new(model, "publish", archive.evaluations(), &figures);
    Ok(Published {
        front: bytes(&front(model, &archive, rows, end)),
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

/// The archive's points nearest to what the caller aspires to, best first.
fn near(model: &dyn Model, archive: &Archive) -> Vec<Point> {
    let goals = model.goals();
    let wanted: Vec<Option<f64>> = goals
        .iter()
        .map(|goal| goal.aspiration.map(|value| own_sense(goal, value)))
        .collect();
    if wanted.iter().all(Option::is_none) {
        return vec![];
    }
    let points = archive.points();
    let nearest = nearest(&points, &wanted, NEAREST);
    nearest.into_iter().map(|i| points[i].clone()).collect()
}

/// The front with these points where it lacks them, in the order of its goals.
fn together(mut chosen: Vec<Point>, near: &[Point]) -> Vec<Point> {
    for point in near {
        if !chosen.contains(point) {
            chosen.push(point.clone());
        }
    }
    let order = |a: &Point, b: &Point| {
        let pairs = a.goals.iter().zip(&b.goals);
        let mut differing = pairs.map(|(x, y)| x.total_cmp(y)).filter(|o| o.is_ne());
        differing.next().unwrap_or(Ordering::Equal)
    };
    if !near.is_empty() {
        chosen.sort_by(order);
    }
    chosen
}

fn place(near: &[Point], point: &Point) -> Option<u32> {
    near.iter()
        .position(|one| one == point)
        .map(|at| at as u32 + 1)
}

fn front(
    model: &dyn Model,
    archive: &Archive,
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
        scales: scale_rows(&goals, archive.scales()),
        findings: model.findings(),
        candidates,
        blocks: blocks(model, archive),
        archive: archive_rows(model, &goals, archive),
        goals,
    }
}
