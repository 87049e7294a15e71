//! `compare`: candidates against each other, quantity by quantity.

use serde::Deserialize;
use serde_json::json;
use service::{Comparison, Kind, MachineRef, Problem, poses};

use crate::args::Compare;
use crate::commands::jobs::{client, segment};
use crate::exit::Outcome;
use crate::output;
use crate::table::{Table, millimetres, number};

/// Prints a comparison.
pub fn compare(args: &Compare, json: bool) -> Result<Outcome, Problem> {
    let names = args.candidates.iter().map(|text| machine(text));
    let names = names.collect::<Result<Vec<_>, _>>()?;
    let body = json!({ "candidates": names }).to_string();
    let answer = client(&args.server)?.post("/v1/comparisons", &body, None)?;
    if json {
        output::json(&answer)?;
        return Ok(Outcome::Done);
    }
    let comparison = Comparison::deserialize(answer).map_err(|error| {
        let detail = format!("the server's comparison cannot be read by this build: {error}");
        Problem::new(Kind::ServerUnreachable, detail)
    })?;
    output::line(&text(&comparison))?;
    Ok(Outcome::Done)
}

/// `JOB/N` is a candidate, `VEHICLE@N` a version of a saved vehicle.
fn machine(text: &str) -> Result<MachineRef, Problem> {
    let parted = |by: char| {
        let (id, number) = text.split_once(by)?;
        Some((id, number.parse().ok()?))
    };
    match (parted('/'), parted('@')) {
        (Some((job, number)), _) => Ok(MachineRef::candidate(segment(job)?, number)),
        (_, Some((vehicle, version))) => Ok(MachineRef::version(segment(vehicle)?, version)),
        (None, None) => {
            let detail = format!(
                "\"{text}\" names no machine; write JOB/N for a candidate, such as \
                 00f1e2d3c4b5a697/0, or VEHICLE@N for a version of a saved vehicle"
            );
            Err(Problem::new(Kind::Usage, detail))
        }
    }
}

fn text(comparison: &Comparison) -> String {
    let mut heads = vec![String::new()];
    for (n, name) in comparison.candidates.iter().enumerate() {
        heads.push(name.to_string());
        if n > 0 {
            heads.push("difference".to_owned());
        }
    }
    let mut table = Table::new(heads);
    for row in &comparison.quantities {
        let over = row.over.as_ref().map(poses).unwrap_or_default();
        let label = match over.as_str() {
            "" => row.quantity.clone(),
            over => format!("{} over {over}", row.quantity),
        };
        table.row(cells(label, &row.values, &row.differences, number));
    }
    for row in &comparison.hardpoints {
        for (axis, letter) in ["x", "y", "z"].into_iter().enumerate() {
            let pick = |points: &[Option<[f64; 3]>]| -> Vec<Option<f64>> {
                points.iter().map(|p| p.map(|p| p[axis])).collect()
            };
            let label = format!("{}.{letter}", row.point);
            let (values, differences) = (pick(&row.positions_mm), pick(&row.differences_mm));
            table.row(cells(label, &values, &differences, millimetres));
        }
    }
    table.text()
}

fn cells(
    label: String,
    values: &[Option<f64>],
    differences: &[Option<f64>],
    shown: fn(Option<f64>) -> String,
) -> Vec<String> {
    let mut cells = vec![label];
    for (n, (value, difference)) in values.iter().zip(differences).enumerate() {
        cells.push(shown(*value));
        if n > 0 {
            let sign = if difference.is_some_and(|d| d > 0.0) {
                "+"
            } else {
                ""
            };
            cells.push(format!("{sign}{}", shown(*difference)));
        }
    }
    cells
}
