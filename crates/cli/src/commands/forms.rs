//! `quantities` and `schema`: what inputs may say.

use design::QuantityRow;
use service::{Problem, poses};

use crate::args::{Input, Schema};
use crate::exit::Outcome;
use crate::output;

/// Prints the table of quantities.
pub fn quantities(json: bool) -> Result<Outcome, Problem> {
    let table = design::quantities();
    if json {
        output::json(&table)?;
    } else {
        let entries: Vec<String> = table.iter().map(entry).collect();
        output::line(&entries.join("\n\n"))?;
    }
    Ok(Outcome::Done)
}

fn entry(quantity: &QuantityRow) -> String {
    let unit = match quantity.unit.as_str() {
        "" => "pure number",
        unit => unit,
    };
    let usual = quantity.default_over.as_ref().map(poses);
    let mut over = match usual.as_deref() {
        None => "the design pose",
        Some("" | "reach") => "the reach of the job",
        Some(range) => range,
    }
    .to_owned();
    if !quantity.over.is_empty() {
        over.push_str(&format!(" by default; takes {}", quantity.over.join(", ")));
    }
    format!(
        "{} [{unit}]\n  {}\n  sign: {}\n  reduced: {}\n  over: {over}",
        quantity.name, quantity.definition, quantity.sign, quantity.reduction,
    )
}

/// Prints the JSON Schema of an input file; it is JSON with and without --json.
pub fn schema(args: &Schema) -> Result<Outcome, Problem> {
    output::json(&match args.input {
        Input::Job => design::job_schema(),
        Input::Vehicle => design::vehicle_schema(),
        Input::Fit => design::as_built_schema(),
    })?;
    Ok(Outcome::Done)
}
