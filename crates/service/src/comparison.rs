//! Machines against each other, quantity by quantity and point by point.

use std::collections::BTreeSet;

use design::{At, Candidate, Over, Vehicle};
use drawing::{Column, columns};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;

use crate::forms::DrawnPicture;
use crate::garage::MachineRef;

/// Machines side by side; all differences are against the first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Comparison {
    /// The machines, in the order asked for.
    pub candidates: Vec<MachineRef>,
    /// What keys and columns call each.
    #[serde(default)]
    pub labels: Vec<String>,
    /// Whether each candidate meets all requirements of its own job, a saved vehicle those of the
    /// first job named; null where nothing was required.
    pub feasible: Vec<Option<bool>>,
    /// One row for each quantity and range of poses that any of their jobs asked for; with `every`
    /// one for each quantity of the table.
    pub quantities: Vec<ComparedQuantity>,
    /// One row for each point in which the machines differ, among them or from what was submitted.
    pub hardpoints: Vec<ComparedHardpoint>,
    /// The pictures of the names in `pictures`, in their order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pictures: Vec<DrawnPicture>,
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

impl ComparedHardpoint {
    /// Whether the machines do not all have it in one place.
    fn differs(&self) -> bool {
        self.positions_mm.windows(2).any(|pair| pair[0] != pair[1])
    }
}

/// A machine to be compared.
#[derive(Clone, Debug)]
pub struct Compared {
    /// Which it is.
    pub name: MachineRef,
    /// What keys and columns call it.
    pub label: String,
    /// Its figures: those that a job asked for, or every one.
    pub figures: Candidate,
    /// Something was required of it.
    pub judged: bool,
}

/// Compares machines.
pub fn compare(machines: &[Compared]) -> Comparison {
    let all: Vec<&Candidate> = machines.iter().map(|machine| &machine.figures).collect();
    let rows = columns(all.iter().copied());
    let feasible = |machine: &Compared| machine.judged.then_some(machine.figures.feasible);
    Comparison {
        candidates: machines.iter().map(|m| m.name.clone()).collect(),
        labels: machines.iter().map(|m| m.label.clone()).collect(),
        feasible: machines.iter().map(feasible).collect(),
        quantities: rows.into_iter().map(|row| quantity(row, &all)).collect(),
        hardpoints: hardpoints(&all),
        pictures: Vec::new(),
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
    let vehicles: Vec<Value> = all.iter().map(|c| as_json(&c.vehicle)).collect();
    let mut names = BTreeSet::new();
    for vehicle in &vehicles {
        points(vehicle, "", &mut names);
    }
    let changed = |name: &str| {
        let moved = |c: &&Candidate| c.hardpoints.iter().any(|h| h.point == name);
        all.iter().any(moved)
    };
    let rows = names.into_iter().map(|name| hardpoint(&name, &vehicles));
    rows.filter(|row| row.differs() || changed(&row.point))
        .collect()
}

/// Paths of all points of a vehicle file.
fn points(value: &Value, path: &str, found: &mut BTreeSet<String>) {
    for (key, member) in value.as_object().into_iter().flatten() {
        let own = match path {
            "" => key.clone(),
            path => format!("{path}.{key}"),
        };
        let named = key.ends_with("_mm") && !key.ends_with("size_mm");
        let is_point = named && <[f64; 3]>::deserialize(member).is_ok();
        match is_point {
            true => drop(found.insert(own)),
            false => points(member, &own, found),
        }
    }
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
