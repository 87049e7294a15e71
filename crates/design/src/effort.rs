//! Wire types of what the hands work against.

use serde::{Deserialize, Serialize};

/// What the hands work against beside weight and side force.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct EffortInput {
    /// Friction of a parked tyre on the ground.
    pub tyre_friction: f64,
    /// Diameter of the patch that it touches the ground with, mm.
    pub patch_mm: f64,
    /// Torque on the handlebar that bearings and housings take, N·m.
    pub friction_nm: f64,
}

impl Default for EffortInput {
    fn default() -> Self {
        let usual = mechanics::Effort::default();
        EffortInput {
            tyre_friction: usual.tyre_friction,
            patch_mm: usual.patch_mm,
            friction_nm: usual.friction_nm,
        }
    }
}

impl EffortInput {
    pub(crate) fn is_default(&self) -> bool {
        *self == EffortInput::default()
    }
}
