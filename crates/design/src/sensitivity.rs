//! Wire types of sensitivities: what a millimetre of each freedom does to each quantity.

use crate::answer::Role;
use crate::job::{Axis, Over};
use serde::{Deserialize, Serialize};

/// What every quantity does when one freedom moves, the holds are solved again and the rods are
/// set again to the toe of the drawing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Sensitivities {
    /// Offsets that the slopes are taken at, mm, in the job's order of freedoms.
    pub vector: Vec<f64>,
    /// Distance of the neighbours that the slopes are made of, mm.
    pub step_mm: f64,
    /// Why there are no slopes at all: the machine itself has no numbers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failure: Option<String>,
    /// The freedoms, in the job's order.
    pub freedoms: Vec<FreedomName>,
    /// The job's goals, then its requirements, then every quantity of the table over its usual
    /// poses that the job does not ask for in that way.
    pub quantities: Vec<QuantitySlopes>,
}

/// A freedom by the coordinate it moves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct FreedomName {
    /// Path of its point, or of its size, in the vehicle file.
    pub point: String,
    /// Its axis; absent for a size.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axis: Option<Axis>,
}

/// The slopes of one quantity.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct QuantitySlopes {
    /// Name in the table of quantities.
    pub quantity: String,
    /// Its unit; slopes are in this unit per mm.
    pub unit: String,
    /// What the job wants of it.
    pub role: Role,
    /// The poses it is taken over, where it is a quantity over poses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<Over>,
    /// Its value at the vector; absent if no pose of `over` is reached.
    pub value: Option<f64>,
    /// One slope per freedom, in the job's order.
    pub slopes: Vec<Slope>,
}

/// The slope of one quantity along one freedom.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Slope {
    /// Change per mm of the freedom: the same either way, or the one side that there is. Absent
    /// at a kink and where there is no slope.
    pub per_mm: Option<f64>,
    /// Change per mm for a positive move alone; given at a kink.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upwards_per_mm: Option<f64>,
    /// Change per mm of the freedom (not of the way back) seen on a negative move alone; given at
    /// a kink.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub downwards_per_mm: Option<f64>,
    /// Which slope this is, and why there is no better one. Absent for a slope of both sides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Slope {
    /// The largest change per mm in either direction, a magnitude; 0 where there is none.
    pub fn size(&self) -> f64 {
        [self.per_mm, self.upwards_per_mm, self.downwards_per_mm]
            .into_iter()
            .flatten()
            .fold(0.0, |most, x| most.max(x.abs()))
    }
}
