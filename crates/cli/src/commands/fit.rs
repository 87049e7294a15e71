//! `fit`: a machine as built, explained from readings, computed here.

use std::path::Path;

use design::{fit_as_built, parse_as_built};
use serde_json::{Map, Value};
use service::{Fitted, Kind, Problem};

use crate::args::{Fit, FittedJob};
use crate::commands::jobs::{client, segment};
use crate::exit::Outcome;
use crate::{files, fit_view, output};

/// Prints which deviations explain the readings, and the smallest change that mends them.
pub fn fit(args: &Fit, json: bool) -> Result<Outcome, Problem> {
    let mut text = files::read_json(&args.file)?;
    if let Some(path) = &args.readings {
        text = with_readings(&text, path)?;
    }
    let asked = parse_as_built(&text).map_err(service::faulty)?;
    if let Some(folder) = &args.out {
        files::folder(folder)?;
    }
    let fit = fit_as_built(&asked).map_err(service::faulty)?;
    let fitted = Fitted {
        facts: Vec::new(),
        input: text,
        fit,
    };
    show(&fitted, args.out.as_deref(), json)
}

/// Prints the fit of a finished job on a server.
pub fn of_job(args: &FittedJob, json: bool) -> Result<Outcome, Problem> {
    let client = client(&args.server)?;
    let id = segment(&args.id)?;
    let unread = |error: serde_json::Error| Problem::new(Kind::Internal, error.to_string());
    let fit = client.get(&format!("/v1/jobs/{id}/fit"))?;
    let input = client.get(&format!("/v1/jobs/{id}/input"))?;
    let fitted = Fitted {
        facts: vec![("Job".to_owned(), id.to_owned())],
        input: input.to_string(),
        fit: serde_json::from_value(fit).map_err(unread)?,
    };
    show(&fitted, args.out.as_deref(), json)
}

/// Prints a fit, and writes its files where a folder is named.
pub fn show(fitted: &Fitted, out: Option<&Path>, json: bool) -> Result<Outcome, Problem> {
    if let Some(folder) = out {
        fit_view::write(fitted, folder)?;
    }
    if json {
        output::json(&fitted.fit)?;
    } else {
        output::line(&fit_view::page(&fitted.fit))?;
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
