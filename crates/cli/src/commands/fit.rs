//! `fit`: a machine as built, explained from readings, computed here.

use std::path::Path;

use design::{AsBuiltFit, Axis, Misfit, fit_as_built, parse_as_built};
use serde_json::{Map, Value};
use service::{Kind, Problem};

use crate::args::Fit;
use crate::exit::Outcome;
use crate::table::{Table, number};
use crate::{files, output};

/// Prints which deviations explain the readings, and the smallest change that mends them.
pub fn fit(args: &Fit, json: bool) -> Result<Outcome, Problem> {
    let mut text = files::read_json(&args.file)?;
    if let Some(path) = &args.readings {
        text = with_readings(&text, path)?;
    }
    let asked = parse_as_built(&text).map_err(service::faulty)?;
    let answer = fit_as_built(&asked).map_err(service::faulty)?;
    if json {
        output::json(&answer)?;
    } else {
        output::line(&page(&answer))?;
    }
    Ok(Outcome::Done)
}

/// The file with the readings of a CSV file in the place of its own: one line a pose, columns named
/// as the fields of a reading, empty where nothing was read.
fn with_readings(text: &str, path: &Path) -> Result<String, Problem> {
    let refused =
        |detail: String| Problem::new(Kind::Usage, format!("{}: {detail}", path.display()));
    let table = files::read(path)?;
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(table.as_bytes());
    let heads = reader
        .headers()
        .map_err(|e| refused(e.to_string()))?
        .clone();
    let mut readings = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|e| refused(e.to_string()))?;
        let line = record.position().map_or(0, csv::Position::line);
        let mut reading = Map::new();
        for (head, cell) in heads
            .iter()
            .zip(&record)
            .filter(|(_, cell)| !cell.is_empty())
        {
            let number: f64 = cell
                .parse()
                .ok()
                .filter(|x: &f64| x.is_finite())
                .ok_or_else(|| refused(format!("line {line}, {head}: {cell:?} is no number")))?;
            reading.insert(head.to_owned(), number.into());
        }
        readings.push(Value::Object(reading));
    }
    let mut file: Value = serde_json::from_str(text)
        .map_err(|error| Problem::new(Kind::BadJson, error.to_string()))?;
    match file.as_object_mut() {
        Some(fields) => fields.insert("readings".to_owned(), readings.into()),
        None => return Ok(text.to_owned()),
    };
    Ok(file.to_string())
}

fn page(fit: &AsBuiltFit) -> String {
    let heads = ["built less drawn", "mm", "uncertain by, mm", "expected, mm"];
    let mut table = Table::new(heads.map(str::to_owned));
    for one in &fit.deviations {
        let bound = if one.at_bound { " (at its bound)" } else { "" };
        table.row([
            format!("{}{bound}", part(&one.of, one.axis)),
            number(Some(one.deviation_mm)),
            number(Some(one.sigma_mm)),
            number(Some(one.before_mm)),
        ]);
    }
    let explained = match fit.explained {
        true => "explain the readings",
        false => "do not explain the readings: something else deviates, or they are less exact",
    };
    let mut parts = vec![
        table.text(),
        format!(
            "These deviations {explained} (chi square {:.1} of {} figures).",
            fit.chi_square, fit.readings
        ),
        misfits("against the readings, drawn then fitted", &fit.misfit),
    ];
    if !fit.unseen.is_empty() {
        parts.push(format!(
            "The readings do not see {}.",
            fit.unseen.join(", ")
        ));
    }
    for pair in &fit.inseparable {
        parts.push(format!(
            "They tell {} and {} together only.",
            pair.one, pair.other
        ));
    }
    if let Some(remedy) = &fit.remedy {
        let mut table = Table::new(["smallest change", "mm"].map(str::to_owned));
        for change in &remedy.changes {
            table.row([part(&change.of, change.axis), number(Some(change.by_mm))]);
        }
        parts.push(table.text());
        let title = "against the drawing's own figures, before then after the change";
        parts.push(misfits(title, &remedy.misfit));
    }
    parts.extend([fit.notes.join("\n"), fit.cautions.join("\n")]);
    parts.join("\n\n")
}

fn part(of: &str, axis: Option<Axis>) -> String {
    match axis {
        Some(Axis::X) => format!("{of} x"),
        Some(Axis::Y) => format!("{of} y"),
        Some(Axis::Z) => format!("{of} z"),
        None => of.to_owned(),
    }
}

fn misfits(title: &str, misfits: &[Misfit]) -> String {
    let each = misfits.iter().map(|m| {
        let (before, after) = (number(Some(m.drawn)), number(Some(m.fitted)));
        format!("  {} of {} figures: {before}, {after}", m.kind, m.count)
    });
    format!(
        "Misfit {title}, root mean square:\n{}",
        each.collect::<Vec<_>>().join("\n")
    )
}
