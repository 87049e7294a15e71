//! A front as a table: one row a candidate.

use super::columns::columns;
use super::sheet::{Cells, Sheet};
use design::{Candidate, Hardpoint, HoldValue};
use std::collections::BTreeSet;

/// One row for each candidate, which comes with its number: goals and requirements (each quantity and
/// range of poses once), held coordinates' quantities, points that any candidate moves, rods.
pub fn front_sheet(numbered: &[(usize, &Candidate)]) -> Sheet {
    let mut sheet = Sheet::default();
    let numbers = numbered.iter().map(|(n, _)| *n as i64).collect();
    sheet.add("candidate", Cells::Whole(numbers));
    let candidates: Vec<&Candidate> = numbered.iter().map(|(_, c)| *c).collect();
    let candidates = candidates.as_slice();
    let feasible = candidates.iter().map(|c| c.feasible).collect();
    sheet.add("feasible", Cells::Flag(feasible));
    if candidates.iter().any(|c| c.layout.is_some()) {
        let name = |c: &&Candidate| c.layout.as_ref().map_or(String::new(), |l| l.name.clone());
        let names = candidates.iter().map(name).collect();
        sheet.add("layout", Cells::Text(names));
    }
    quantities(&mut sheet, candidates);
    holds(&mut sheet, candidates);
    points(&mut sheet, candidates);
    let rods = |pick: fn(&Candidate) -> f64| {
        let lengths = candidates
            .iter()
            .map(|c| Some(pick(c)).filter(|l| l.is_finite()));
        Cells::Number(lengths.collect())
    };
    sheet.add("rod_left_mm", rods(|c| c.rod_lengths.left_mm));
    sheet.add("rod_right_mm", rods(|c| c.rod_lengths.right_mm));
    sheet
}

fn quantities(sheet: &mut Sheet, candidates: &[&Candidate]) {
    for column in columns(candidates.iter().copied()) {
        let values = candidates.iter().map(|candidate| column.value(candidate));
        let values = values.collect();
        sheet.add(column.label, Cells::Number(values));
    }
}

fn holds(sheet: &mut Sheet, candidates: &[&Candidate]) {
    let name = |hold: &HoldValue| {
        let axis = axis(hold.axis);
        format!("held_{}_by_{}.{axis}", hold.quantity, hold.point)
    };
    let mut names: Vec<String> = Vec::new();
    for hold in candidates.iter().flat_map(|c| &c.holds) {
        if !names.contains(&name(hold)) {
            names.push(name(hold));
        }
    }
    for column in names {
        let of = |c: &&Candidate| {
            let own = c.holds.iter().find(|hold| name(hold) == column);
            own.map(|hold| hold.coordinate_mm)
        };
        let cells = candidates.iter().map(of).collect();
        sheet.add(column, Cells::Number(cells));
    }
}

fn axis(axis: design::Axis) -> &'static str {
    match axis {
        design::Axis::X => "x",
        design::Axis::Y => "y",
        design::Axis::Z => "z",
    }
}

/// Every point that differs from the submitted vehicle in any candidate; where one candidate
/// leaves it as it was, that is its place.
fn points(sheet: &mut Sheet, candidates: &[&Candidate]) {
    let all = candidates.iter().flat_map(|c| &c.hardpoints);
    let names: BTreeSet<&str> = all.map(|h| h.point.as_str()).collect();
    for name in names {
        let of = |c: &&Candidate| -> Option<Hardpoint> {
            c.hardpoints.iter().find(|h| h.point == name).cloned()
        };
        // Layouts may start from different places.
        let submitted = |c: &&Candidate| {
            let alike = |o: &&&Candidate| o.layout == c.layout;
            candidates
                .iter()
                .filter(alike)
                .find_map(of)
                .map(|h| h.submitted_mm)
        };
        for (k, axis) in ["x", "y", "z"].into_iter().enumerate() {
            let place = |c: &&Candidate| {
                let own = of(c).map(|h| h.position_mm);
                own.or_else(|| submitted(c)).map(|p| p[k])
            };
            let cells = candidates.iter().map(place).collect();
            sheet.add(format!("{name}.{axis}"), Cells::Number(cells));
        }
    }
}
