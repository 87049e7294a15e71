//! Quantities of candidates side by side: one column for each quantity and range of poses, as drawn
//! or at a percentile.

use design::{At, Candidate, Over, QuantityValue, Role};

/// A quantity taken over a range of poses.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The quantity's name; behind it the poses where the name alone is not unique, and the
    /// percentile.
    pub label: String,
    /// The quantity.
    pub quantity: String,
    /// Its unit.
    pub unit: String,
    /// The poses, for a quantity over poses.
    pub over: Option<Over>,
    /// The percentile of the machines built, if it is one.
    pub at: Option<At>,
    /// What it was first asked for.
    pub role: Role,
}

impl Column {
    /// What a candidate has in this column.
    pub fn find<'a>(&self, candidate: &'a Candidate) -> Option<&'a QuantityValue> {
        asked(candidate).find(|entry| self.is_of(entry))
    }

    /// The value of a candidate in this column.
    pub fn value(&self, candidate: &Candidate) -> Option<f64> {
        self.find(candidate).and_then(|entry| entry.value)
    }

    fn is_of(&self, entry: &QuantityValue) -> bool {
        self.quantity == entry.quantity && self.over == entry.over && self.at == entry.at
    }
}

/// Goals first, then requirements, each quantity and range once, in order of first appearance.
pub fn columns<'a>(candidates: impl IntoIterator<Item = &'a Candidate>) -> Vec<Column> {
    let mut columns: Vec<Column> = Vec::new();
    for entry in candidates.into_iter().flat_map(asked) {
        if !columns.iter().any(|column| column.is_of(entry)) {
            columns.push(Column {
                label: entry.quantity.clone(),
                quantity: entry.quantity.clone(),
                unit: entry.unit.clone(),
                over: entry.over,
                at: entry.at,
                role: entry.role,
            });
        }
    }
    label_apart(&mut columns);
    columns
}

fn asked(candidate: &Candidate) -> impl Iterator<Item = &QuantityValue> {
    candidate.goals.iter().chain(&candidate.requirements)
}

fn label_apart(columns: &mut [Column]) {
    let names: Vec<_> = columns.iter().map(|c| (c.quantity.clone(), c.at)).collect();
    for column in columns {
        let mut label = column.quantity.clone();
        let same = |name: &&(String, Option<At>)| name.0 == column.quantity && name.1 == column.at;
        if names.iter().filter(same).count() > 1 {
            let poses = column.over.as_ref().map_or("design".to_owned(), poses);
            label = format!("{label}@{poses}");
        }
        column.label = match column.at {
            Some(At::P95) => format!("{label}@p95"),
            None => label,
        };
    }
}

/// Ranges of poses in a few characters, such as `lean_deg=-12..12` or `reach`.
pub fn poses(over: &Over) -> String {
    let ranges = [
        ("lean_deg", over.lean_deg),
        ("steer_deg", over.steer_deg),
        ("travel_mm", over.travel_mm),
    ];
    let ranges = ranges.into_iter();
    let mut texts: Vec<String> = ranges
        .filter_map(|(name, range)| range.map(|[low, high]| format!("{name}={low}..{high}")))
        .collect();
    if over.reach == Some(true) {
        texts.push("reach".to_owned());
    }
    texts.join("+")
}

#[cfg(test)]
mod tests {
    use super::*;
    use design::{Compiled, parse_job};
    use serde_json::{Value, json};

    #[test]
    fn a_quantity_as_drawn_and_at_a_percentile_are_two_columns() {
        let text = include_str!("../../../../demo-jobs/buildable.json");
        let mut job: Value = serde_json::from_str(text).unwrap();
        job["goals"] = json!([
            {"minimise": "lean_steer_deg", "at": "p95"},
            {"minimise": "lean_steer_deg"},
            {"minimise": "lean_steer_deg", "over": {"lean_deg": [-6, 6]}},
        ]);
        let compiled = Compiled::new(&parse_job(&job.to_string()).unwrap()).unwrap();
        let submitted = compiled.submitted();
        let columns = columns([&submitted]);
        let labels: Vec<&str> = columns.iter().map(|c| c.label.as_str()).collect();
        assert_eq!(
            labels[..3],
            [
                "lean_steer_deg@p95",
                "lean_steer_deg@lean_deg=-12..12",
                "lean_steer_deg@lean_deg=-6..6"
            ]
        );
        let values = columns[..2].iter().map(|c| c.value(&submitted).unwrap());
        let [built, drawn] = values.collect::<Vec<_>>()[..] else {
            unreachable!("two columns")
        };
        assert!(built > drawn);
    }
}
