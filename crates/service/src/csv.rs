//! A front as CSV (RFC 4180): one line a candidate, units in the names of the columns.

use std::collections::BTreeSet;

use design::Candidate;

use crate::columns::{Column, columns};

/// The candidates as CSV, numbered from 0 in the order of the front.
pub fn csv(candidates: &[Candidate]) -> String {
    let columns = columns(candidates);
    let holds = holds(candidates);
    let points = points(candidates);
    let mut out = String::new();
    line(&mut out, heads(&columns, &holds, &points));
    for (number, candidate) in candidates.iter().enumerate() {
        line(
            &mut out,
            cells(number, candidate, &columns, &holds, &points),
        );
    }
    out
}

fn holds(candidates: &[Candidate]) -> Vec<String> {
    let first = candidates.first();
    let holds = first.map(|candidate| candidate.holds.as_slice());
    let names = holds.unwrap_or_default().iter();
    names.map(|hold| hold.quantity.clone()).collect()
}

/// Every point that differs from the submitted vehicle in at least one candidate.
fn points(candidates: &[Candidate]) -> BTreeSet<String> {
    let all = candidates
        .iter()
        .flat_map(|candidate| &candidate.hardpoints);
    all.map(|hardpoint| hardpoint.point.clone()).collect()
}

fn heads(columns: &[Column], holds: &[String], points: &BTreeSet<String>) -> Vec<String> {
    let mut heads = vec!["candidate".to_owned(), "feasible".to_owned()];
    heads.extend(columns.iter().map(|column| text(&column.label)));
    heads.extend(holds.iter().map(|hold| text(&format!("held_{hold}"))));
    for point in points {
        heads.extend(["x", "y", "z"].map(|axis| text(&format!("{point}.{axis}"))));
    }
    heads.extend(["rod_left_mm", "rod_right_mm"].map(str::to_owned));
    heads
}

fn cells(
    number: usize,
    candidate: &Candidate,
    columns: &[Column],
    holds: &[String],
    points: &BTreeSet<String>,
) -> Vec<String> {
    let mut cells = vec![number.to_string(), candidate.feasible.to_string()];
    cells.extend(columns.iter().map(|column| figure(column.value(candidate))));
    for name in holds {
        let hold = candidate.holds.iter().find(|hold| hold.quantity == *name);
        cells.push(figure(hold.map(|hold| hold.value)));
    }
    for point in points {
        let found = candidate.hardpoints.iter().find(|h| h.point == *point);
        let place = found.map(|hardpoint| hardpoint.position_mm);
        cells.extend([0, 1, 2].map(|axis| figure(place.map(|place| place[axis]))));
    }
    let rods = &candidate.rod_lengths;
    cells.extend([rods.left_mm, rods.right_mm].map(|length| figure(Some(length))));
    cells
}

fn figure(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

/// A text cell: quoted where RFC 4180 asks for it, and never the start of a formula.
pub fn text(value: &str) -> String {
    let harmless = match value.chars().next() {
        Some('=' | '+' | '-' | '@' | '\t' | '\r') => format!("'{value}"),
        _ => value.to_owned(),
    };
    if harmless.contains(['"', ',', '\n', '\r']) {
        format!("\"{}\"", harmless.replace('"', "\"\""))
    } else {
        harmless
    }
}

fn line(out: &mut String, cells: Vec<String>) {
    out.push_str(&cells.join(","));
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_quoted_and_never_a_formula() {
        assert_eq!(text("plain"), "plain");
        assert_eq!(text("=1+1"), "'=1+1");
        assert_eq!(text("-2"), "'-2");
        assert_eq!(text("a,\"b\""), "\"a,\"\"b\"\"\"");
        assert_eq!(text("@a\nb"), "\"'@a\nb\"");
    }
}
