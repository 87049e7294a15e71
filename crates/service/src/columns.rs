//! Quantities of candidates side by side: one column for each quantity and range of poses.

use design::{Candidate, Over, QuantityValue, Role};

/// A quantity taken over a range of poses.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The quantity's name, with the poses behind it where the name alone is not unique.
    pub label: String,
    /// The quantity.
    pub quantity: String,
    /// Its unit.
    pub unit: String,
    /// The poses, for a quantity over poses.
    pub over: Option<Over>,
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
        self.quantity == entry.quantity && self.over == entry.over
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
    let names: Vec<String> = columns.iter().map(|c| c.quantity.clone()).collect();
    for column in columns {
        let same = names.iter().filter(|name| **name == column.quantity);
        if same.count() > 1 {
            let poses = column.over.as_ref().map_or_else(String::new, poses);
            column.label = format!("{}@{poses}", column.quantity);
        }
    }
}

/// Ranges of poses in a few characters, such as `lean_deg=-12..12`.
pub fn poses(over: &Over) -> String {
    let ranges = [
        ("lean_deg", over.lean_deg),
        ("steer_deg", over.steer_deg),
        ("travel_mm", over.travel_mm),
    ];
    let texts = ranges
        .into_iter()
        .filter_map(|(name, range)| range.map(|[low, high]| format!("{name}={low}..{high}")));
    texts.collect::<Vec<_>>().join("+")
}
