//! `quantities` and `schema`: what inputs may say.

use service::{Problem, QuantityEntry};

use crate::args::{Input, Schema};
use crate::exit::Outcome;
use crate::output;

/// Prints the table of quantities.
pub fn quantities(json: bool) -> Result<Outcome, Problem> {
    let table = service::quantities();
    if json {
        output::json(&table)?;
    } else {
        let entries: Vec<String> = table.iter().map(entry).collect();
        output::line(&entries.join("\n\n"))?;
    }
    Ok(Outcome::Done)
}

fn entry(quantity: &QuantityEntry) -> String {
    let unit = match quantity.unit {
        "" => "pure number",
        unit => unit,
    };
    format!(
        "{} [{unit}]\n  {}\n  sign: {}\n  reduced: {}\n  over: {} (default {})",
        quantity.name,
        quantity.definition,
        quantity.sign,
        quantity.reduction,
        quantity.over.join(", "),
        quantity.default_over,
    )
}

/// Prints the JSON Schema of an input file; it is JSON with and without --json.
pub fn schema(args: &Schema) -> Result<Outcome, Problem> {
    output::json(&match args.input {
        Input::Job => design::job_schema(),
        Input::Vehicle => design::vehicle_schema(),
    })?;
    Ok(Outcome::Done)
}
