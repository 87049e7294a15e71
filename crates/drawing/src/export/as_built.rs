//! The figures of a machine as built, one row each.

use super::sheet::{Cells, Sheet};
use design::{AsBuilt, AsBuiltFit, Reading};

/// Each figure that was read, with its pose, as read, fitted, drawn and after the change.
pub fn as_built_sheet(asked: &AsBuilt, fit: &AsBuiltFit) -> Sheet {
    let rows: Vec<_> = fit
        .figures
        .iter()
        .filter_map(|row| Some((asked.readings.get(row.reading as usize)?, row)))
        .collect();
    let pose = |of: fn(&Reading) -> Option<f64>| {
        Cells::Number(rows.iter().map(|(reading, _)| of(reading)).collect())
    };
    let mut sheet = Sheet::default();
    sheet.add(
        "reading",
        Cells::Whole(rows.iter().map(|(_, row)| i64::from(row.reading)).collect()),
    );
    sheet.add("lean_deg", pose(|reading| Some(reading.lean_deg)));
    sheet.add("steer_deg", pose(|reading| Some(reading.steer_deg)));
    sheet.add("mean_travel_mm", pose(|reading| reading.mean_travel_mm));
    sheet.add(
        "figure",
        Cells::Text(rows.iter().map(|(_, row)| row.figure.clone()).collect()),
    );
    let numbers = |of: fn(&design::FigureRow) -> Option<f64>| {
        Cells::Number(rows.iter().map(|(_, row)| of(row)).collect())
    };
    sheet.add("read", numbers(|row| Some(row.read)));
    sheet.add("fitted", numbers(|row| Some(row.fitted)));
    sheet.add("drawn", numbers(|row| Some(row.drawn)));
    sheet.add("mended", numbers(|row| row.mended));
    sheet
}
