//! `/v1/quantities`: everything that can be a goal, a requirement or a hold.

use axum::Json;
use mechanics::{Needs, Over, QuantityInfo, TABLE, Unit, Worse};
use serde::Serialize;
use utoipa::ToSchema;

/// One quantity of the table.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct QuantityEntry {
    /// Its name in files; the ending is the unit.
    pub name: &'static str,
    /// The unit as in answers: `mm`, `deg`, `m`, …; empty for a pure number.
    pub unit: &'static str,
    /// What it is.
    pub definition: &'static str,
    /// What a positive value means.
    pub sign: &'static str,
    /// How poses and sides become one number.
    pub reduction: &'static str,
    /// The kinds of `over` it takes: `design`, `reach`, `lean_deg`, `travel_mm`, `steer_deg`.
    pub over: Vec<&'static str>,
    /// What is meant when `over` is left out.
    pub default_over: String,
    /// `larger`, `smaller`, or `away` from a value to aim at.
    pub worse: &'static str,
    /// Whether it can be held at a value by one coordinate.
    pub holdable: bool,
    /// Whether the vehicle must give `masses`.
    pub needs_masses: bool,
    /// Where its usual limit comes from.
    pub limit_origin: &'static str,
}

impl From<&QuantityInfo> for QuantityEntry {
    fn from(info: &QuantityInfo) -> Self {
        Self {
            name: info.name,
            unit: unit_word(info.unit),
            definition: info.definition,
            sign: info.sign,
            reduction: info.reduction,
            over: info.over.iter().map(|kind| kind_word(*kind)).collect(),
            default_over: range_words(info.default_over),
            worse: match info.worse {
                Worse::Larger => "larger",
                Worse::Smaller => "smaller",
                Worse::Away => "away",
            },
            holdable: info.holdable,
            needs_masses: info.needs == Needs::Masses,
            limit_origin: info.limit_origin,
        }
    }
}

fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Degree => "deg",
        Unit::DegreePerMillimetre => "deg/mm",
        other => other.symbol(),
    }
}

fn kind_word(kind: mechanics::OverKind) -> &'static str {
    match kind {
        mechanics::OverKind::Design => "design",
        mechanics::OverKind::Reach => "reach",
        mechanics::OverKind::Lean => "lean_deg",
        mechanics::OverKind::Travel => "travel_mm",
        mechanics::OverKind::Steer => "steer_deg",
    }
}

fn range_words(over: Over) -> String {
    match over {
        Over::Design => "design pose".to_owned(),
        Over::Reach => "reach of the job".to_owned(),
        Over::Lean([low, high]) => format!("lean_deg {low} to {high}"),
        Over::Travel([low, high]) => format!("travel_mm {low} to {high}"),
        Over::Steer([low, high]) => format!("steer_deg {low} to {high}"),
    }
}

/// Every quantity, in the order of the table.
pub fn quantities() -> Vec<QuantityEntry> {
    TABLE.iter().map(QuantityEntry::from).collect()
}

/// List every quantity: name, unit, sign, definition.
#[utoipa::path(get, operation_id = "list_quantities", path = "/v1/quantities", tag = "about",
    responses((status = 200, description = "The quantities", body = [QuantityEntry])))]
pub async fn list() -> Json<Vec<QuantityEntry>> {
    Json(quantities())
}
