//! The table of quantities on the wire.

use crate::answer::Role;
use crate::compiled::unit;
use crate::convert::{over_field, over_wire};
use crate::job::Over;
use mechanics::{Needs, TABLE, Worse};
use serde::{Deserialize, Serialize};

/// One row of the table of quantities.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct QuantityRow {
    /// Name in files; its ending is the unit.
    pub name: String,
    /// Unit.
    pub unit: String,
    /// What it is.
    pub definition: String,
    /// What a positive value means.
    pub sign: String,
    /// How poses and sides become one number.
    pub reduction: String,
    /// What `over` may name; empty for the design pose alone.
    pub over: Vec<String>,
    /// What is meant without `over`; absent for the design pose.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub default_over: Option<Over>,
    /// The usual wish: `minimise` or `maximise`; absent where there is a value to aim at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub usual_goal: Option<Role>,
    /// Where its usual limit comes from.
    pub limit_origin: String,
    /// It can be held.
    pub holdable: bool,
    /// It needs the vehicle's masses.
    pub needs_masses: bool,
    /// The block of the vehicle that it needs besides, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub needs_block: Option<String>,
}

/// Every quantity, in the table's order.
pub fn quantities() -> Vec<QuantityRow> {
    TABLE
        .iter()
        .map(|info| QuantityRow {
            name: info.name.into(),
            unit: unit(info.quantity).into(),
            definition: info.definition.into(),
            sign: info.sign.into(),
            reduction: info.reduction.into(),
            over: info
                .over
                .iter()
                .filter_map(|k| over_field(*k))
                .map(String::from)
                .collect(),
            default_over: over_wire(info.default_over),
            usual_goal: match info.worse {
                Worse::Larger => Some(Role::Minimise),
                Worse::Smaller => Some(Role::Maximise),
                Worse::Away => None,
            },
            limit_origin: info.limit_origin.into(),
            holdable: info.holdable,
            needs_masses: info.needs.masses(),
            needs_block: match info.needs {
                Needs::Nothing | Needs::Masses => None,
                Needs::Ratings => Some("joint_ratings".into()),
                Needs::Rod => Some("rods".into()),
                Needs::Legs => Some("wishbone_legs".into()),
                Needs::StubAxle => Some("stub_axle".into()),
                Needs::JointLimits => Some("limits".into()),
                Needs::Joints => Some("joints".into()),
                Needs::Body => Some("shapes".into()),
                Needs::Boxes => Some("shapes.boxes".into()),
                Needs::Cable => Some("steering.handlebar".into()),
            },
        })
        .collect()
}
