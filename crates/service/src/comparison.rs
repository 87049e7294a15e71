//! Candidates against each other, quantity by quantity and point by point.

use std::collections::BTreeSet;

use design::{At, Candidate, Over, Vehicle};
use drawing::{Column, columns};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;

/// Which candidate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CandidateRef {
    /// Id of its job.
    pub job: String,
    /// Its number on the front, from 0.
    pub number: u32,
}

/// Candidates side by side; all differences are against the first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Comparison {
    /// The candidates, in the order asked for.
    pub candidates: Vec<CandidateRef>,
    /// Whether each candidate meets all requirements of its own job.
    pub feasible: Vec<bool>,
    /// One row for each quantity and range of poses that any of their jobs asked for.
    pub quantities: Vec<ComparedQuantity>,
    /// One row for each point in which any candidate differs from its submitted vehicle.
    pub hardpoints: Vec<ComparedHardpoint>,
}

/// One quantity of all candidates.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ComparedQuantity {
    /// Name; its ending is the unit.
    pub quantity: String,
    /// Its unit.
    pub unit: String,
    /// The poses, for a quantity over poses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<Over>,
    /// At a percentile of the machines built; absent: as drawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
    /// Value of each candidate; null where its job did not ask for this or no pose was reached.
    pub values: Vec<Option<f64>>,
    /// Value less that of the first candidate; null where either is absent.
    pub differences: Vec<Option<f64>>,
    /// Distance of each to its own job's limit, negative where broken; null without a limit.
    pub margins: Vec<Option<f64>>,
}

/// One point of all candidates, in frame axes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ComparedHardpoint {
    /// Path in the vehicle file.
    pub point: String,
    /// Position in each candidate, mm; null where its vehicle has no such point.
    pub positions_mm: Vec<Option<[f64; 3]>>,
    /// Position less that in the first candidate, mm.
    pub differences_mm: Vec<Option<[f64; 3]>>,
}

/// Compares candidates.
pub fn compare(candidates: &[(CandidateRef, Candidate)]) -> Comparison {
    let all: Vec<&Candidate> = candidates.iter().map(|(_, candidate)| candidate).collect();
    let rows = columns(all.iter().copied());
    Comparison {
        candidates: candidates.iter().map(|(name, _)| name.clone()).collect(),
        feasible: all.iter().map(|candidate| candidate.feasible).collect(),
        quantities: rows.into_iter().map(|row| quantity(row, &all)).collect(),
        hardpoints: hardpoints(&all),
    }
}

fn quantity(row: Column, all: &[&Candidate]) -> ComparedQuantity {
    let values: Vec<_> = all.iter().map(|candidate| row.value(candidate)).collect();
    let first = values.first().copied().flatten();
    let less_first = |value: &Option<f64>| Some((*value)? - first?);
    let margin = |candidate: &&Candidate| row.find(candidate).and_then(|entry| entry.margin);
    ComparedQuantity {
        differences: values.iter().map(less_first).collect(),
        margins: all.iter().map(margin).collect(),
        values,
        quantity: row.quantity,
        unit: row.unit,
        over: row.over,
        at: row.at,
    }
}

fn hardpoints(all: &[&Candidate]) -> Vec<ComparedHardpoint> {
    let changed = all.iter().flat_map(|candidate| &candidate.hardpoints);
    let names: BTreeSet<&str> = changed.map(|hardpoint| hardpoint.point.as_str()).collect();
    let vehicles: Vec<Value> = all.iter().map(|c| as_json(&c.vehicle)).collect();
    names
        .into_iter()
        .map(|name| hardpoint(name, &vehicles))
        .collect()
}

fn hardpoint(name: &str, vehicles: &[Value]) -> ComparedHardpoint {
    let pointer = format!("/{}", name.replace('.', "/"));
    let positions: Vec<Option<[f64; 3]>> = vehicles
        .iter()
        .map(|vehicle| <[f64; 3]>::deserialize(vehicle.pointer(&pointer)?).ok())
        .collect();
    let first = positions.first().copied().flatten();
    let less_first = |position: &Option<[f64; 3]>| {
        let (position, first) = ((*position)?, first?);
        Some([0, 1, 2].map(|axis| position[axis] - first[axis]))
    };
    ComparedHardpoint {
        point: name.to_owned(),
        differences_mm: positions.iter().map(less_first).collect(),
        positions_mm: positions,
    }
}

fn as_json(vehicle: &Vehicle) -> Value {
    serde_json::to_value(vehicle).unwrap_or_default()
}
