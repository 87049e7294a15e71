//! Wire types of what a worker publishes: progress and the front.
//!
//! Nothing in them depends on when or where a job was computed, so equal results are equal bytes.

use design::{Budget, Finding, GoalInfo, Role};
use search::{Progress, Scales};
use serde::{Deserialize, Serialize};

use crate::model::{Model, part};
use crate::together::{Together, untagged};

/// How far a job has come; the body of its `progress`, `merged` and `done` events.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ProgressDocument {
    /// `search`, `merge`, `polish` or `publish`.
    pub phase: String,
    /// Evaluations spent.
    pub evaluations: u64,
    /// Evaluations that the whole job will spend, at most.
    pub planned: u64,
    /// How many of the candidates met every requirement.
    pub feasible: u64,
    /// Candidates on the front so far.
    pub front: usize,
    /// Hypervolume of the front on scales that don't move, reference 1.1 per goal; absent for one
    /// goal and until an island's front has five points.
    pub hypervolume: Option<f64>,
    /// The hypervolume is that of a part of the front: four goals and more.
    pub hypervolume_is_estimate: bool,
    /// The best value of each goal so far, in the job's order.
    pub best: Vec<BestValue>,
}

/// The best value of one goal.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct BestValue {
    /// The quantity.
    pub quantity: String,
    /// Its unit.
    pub unit: String,
    /// The value; absent while nothing is feasible.
    pub value: Option<f64>,
}

/// A published front.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct FrontDocument {
    /// Version of this form; 1 is the only one.
    pub version: u32,
    /// The job's name.
    pub name: String,
    /// The seed of every random draw.
    pub seed: u64,
    /// The budget as it was spent.
    pub budget: Budget,
    /// Why the search ended.
    #[serde(default)]
    pub end: SearchEnd,
    /// Evaluations spent, polish included.
    pub evaluations: u64,
    /// How many of them met every requirement.
    pub feasible: u64,
    /// Hypervolume of the whole archive, as in the progress.
    pub hypervolume: Option<f64>,
    /// The hypervolume is that of a part of the archive.
    pub hypervolume_is_estimate: bool,
    /// What 0 and 1 of the hypervolume's scales mean, one row per goal; empty without a hypervolume.
    pub scales: Vec<ScaleRow>,
    /// The layouts that were searched side by side, where there are several, in the job's order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub layouts: Vec<LayoutRow>,
    /// The goals in the job's order.
    pub goals: Vec<GoalInfo>,
    /// What the look at a sample of candidates showed before the search.
    pub findings: Vec<Finding>,
    /// The candidates, numbered from 0, in the order of their first goal. When nothing is feasible
    /// this is the nearest miss alone, marked as not feasible.
    pub candidates: Vec<FrontRow>,
    /// What stood in the way of a feasible candidate; present when there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blocks: Option<Blocks>,
    /// Every feasible candidate that no other beats, the front's own among them.
    pub archive: Vec<ArchiveRow>,
    /// What a reader must keep in mind before building or riding by these numbers.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// Why a search ended, and when.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct SearchEnd {
    /// `budget` or `early_stop`.
    pub by: EndedBy,
    /// Epochs that count.
    pub epochs: u32,
    /// Epochs of the whole budget.
    pub planned_epochs: u32,
}

/// What ended a search.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum EndedBy {
    /// The budget was spent.
    #[default]
    Budget,
    /// The islands gained less than the job's `search.early_stop` asks for.
    EarlyStop,
}

/// Where a search starts from, taken from another job at submission and kept with this one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StartsDocument {
    /// The other job.
    pub job: String,
    /// SHA-256 of its front, lower-case hex.
    pub front_sha256: String,
    /// Offsets of each freedom, mm; the submitted vehicle first.
    pub vectors: Vec<Vec<f64>>,
}

/// The two ends of a goal's scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ScaleRow {
    /// The value that counts as 0.
    pub best: f64,
    /// The value that counts as 1.
    pub worst: f64,
}

/// One of several layouts of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LayoutRow {
    /// Its name.
    pub name: String,
    /// Evaluations spent on it.
    pub evaluations: u64,
    /// How many of them met every requirement.
    pub feasible: u64,
}

/// One candidate of the front in short; `candidates/{n}` has the rest.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct FrontRow {
    /// Its number.
    pub number: u32,
    /// Every requirement is met.
    pub feasible: bool,
    /// Its neighbours on the front gain little in one goal for much in another.
    pub knee: bool,
    /// Its place among the five candidates nearest to the goals' aspirations, from 1: by the largest
    /// shortfall of a goal, in units of the front's extent. Absent for all others.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nearest: Option<u32>,
    /// It has a tolerance study: `candidates/{n}` holds it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub studied: bool,
    /// Place among `layouts`, from 0, where there are several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub layout: Option<u32>,
    /// Offset of each freedom of its layout, mm.
    pub vector: Vec<f64>,
    /// Each goal in its own unit; absent where the machine has no such number.
    pub goals: Vec<Option<f64>>,
}

fn is_false(flag: &bool) -> bool {
    !flag
}

/// A candidate of the archive.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ArchiveRow {
    /// Place among `layouts`, from 0, where there are several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub layout: Option<u32>,
    /// Offset of each freedom of its layout, mm.
    pub vector: Vec<f64>,
    /// Each goal in its own unit.
    pub goals: Vec<f64>,
}

/// What stood in the way of a feasible candidate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Blocks {
    /// Candidates that could not be assembled.
    pub not_assembled: u64,
    /// The requirements, the one that failed most often first.
    pub requirements: Vec<BlockRow>,
}

/// How one requirement failed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct BlockRow {
    /// The requirement in words.
    pub requirement: String,
    /// Candidates that failed it.
    pub failed: u64,
    /// Candidates that failed it and nothing else.
    pub failed_alone: u64,
    /// Its smallest miss in tolerances, at most 0 where some candidate met it.
    pub smallest_miss: Option<f64>,
}

impl FrontDocument {
    /// Numbers of the candidates nearest to the aspirations, best first.
    pub fn nearest(&self) -> Vec<u32> {
        let placed = self
            .candidates
            .iter()
            .filter_map(|row| Some((row.nearest?, row.number)));
        let mut placed: Vec<_> = placed.collect();
        placed.sort_unstable();
        placed.into_iter().map(|(_, number)| number).collect()
    }
}

impl ProgressDocument {
    /// Of a job that is one piece of work.
    pub(crate) fn of_one(phase: &str) -> ProgressDocument {
        ProgressDocument {
            phase: phase.to_owned(),
            evaluations: 1,
            planned: 1,
            feasible: 0,
            front: 0,
            hypervolume: None,
            hypervolume_is_estimate: false,
            best: Vec::new(),
        }
    }

    /// Figures of the search in words of the job.
    pub(crate) fn new(
        model: &dyn Model,
        phase: &str,
        evaluations: u64,
        figures: &Progress,
    ) -> ProgressDocument {
        let budget = model.budget();
        let goals = model.goals();
        let best = goals.iter().enumerate().map(|(i, goal)| BestValue {
            quantity: goal.quantity.clone(),
            unit: goal.unit.clone(),
            value: figures.best.as_ref().map(|best| own_sense(goal, best[i])),
        });
        ProgressDocument {
            phase: phase.to_owned(),
            evaluations,
            planned: budget.evaluations + budget.polish_evaluations,
            feasible: figures.feasible,
            front: figures.front,
            hypervolume: figures.hypervolume,
            hypervolume_is_estimate: figures.hypervolume_is_estimate,
            best: best.collect(),
        }
    }
}

/// The archive's frozen scales in the goals' own sense.
pub(crate) fn scale_rows(goals: &[GoalInfo], scales: Option<&Scales>) -> Vec<ScaleRow> {
    let Some(scales) = scales else { return vec![] };
    let ends = scales.ideal.iter().zip(&scales.nadir);
    let rows = goals.iter().zip(ends);
    rows.map(|(goal, (best, worst))| ScaleRow {
        best: own_sense(goal, *best),
        worst: own_sense(goal, *worst),
    })
    .collect()
}

/// Every point of the archive in the goals' own sense.
pub(crate) fn archive_rows(
    model: &dyn Model,
    goals: &[GoalInfo],
    archive: &Together,
) -> Vec<ArchiveRow> {
    let own = |values: Vec<f64>| {
        goals
            .iter()
            .zip(values)
            .map(|(goal, value)| own_sense(goal, value))
            .collect()
    };
    let points = archive.points();
    points
        .into_iter()
        .map(|point| {
            let (layout, vector) = untagged(model, &model.round(&point.vector));
            ArchiveRow {
                layout,
                vector,
                goals: own(point.goals),
            }
        })
        .collect()
}

/// What was spent on each of several layouts.
pub(crate) fn layout_rows(model: &dyn Model, archive: &Together) -> Vec<LayoutRow> {
    if model.layouts() == 1 {
        return vec![];
    }
    let row = |(layout, [evaluations, feasible]): (usize, [u64; 2])| LayoutRow {
        name: part(model, layout).name(),
        evaluations,
        feasible,
    };
    archive.counts().into_iter().enumerate().map(row).collect()
}

/// What stood in the way, when nothing was feasible.
pub(crate) fn blocks(model: &dyn Model, archive: &Together) -> Option<Blocks> {
    if archive.feasible() > 0 {
        return None;
    }
    let seen = archive.blocks();
    let names = model.requirements();
    let rows = seen
        .failing
        .iter()
        .filter(|row| row.count > 0)
        .map(|row| BlockRow {
            requirement: names.get(row.violation).cloned().unwrap_or_default(),
            failed: row.count,
            failed_alone: row.alone,
            smallest_miss: row.least,
        });
    Some(Blocks {
        not_assembled: seen.apart,
        requirements: rows.collect(),
    })
}

/// Inside the search every goal is made small; a goal that is to be large comes back here.
pub(crate) fn own_sense(goal: &GoalInfo, value: f64) -> f64 {
    // Adding 0 turns a −0 into a 0, which reads better and compares equal.
    if goal.role == Role::Maximise {
        -value + 0.0
    } else {
        value
    }
}

/// A document as bytes. Our own types have no maps with keys that are not text and no number is
/// infinite, so writing them can't fail.
pub(crate) fn bytes<T: Serialize>(document: &T) -> Vec<u8> {
    serde_json::to_vec(document).expect("wire types are plain data")
}
