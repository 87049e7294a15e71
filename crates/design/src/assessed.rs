//! Wire types of the assessment of one vehicle.

use crate::answer::{QuantityValue, RodLengths, WorstPose};
use crate::job::{Reach, SideName};
use crate::strength::StrengthSheet;
use serde::{Deserialize, Serialize};

/// Everything that is computed of one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Assessment {
    /// The vehicle's name.
    pub name: String,
    /// Left and right are mirror images.
    pub symmetric: bool,
    /// The reach that the quantities were taken over.
    #[schema(value_type = Object)]
    pub reach: Reach,
    /// Name of the state of loading that curves, stops and load cases are of, if one was asked
    /// for; else they are of `masses`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loading: Option<String>,
    /// Every quantity of the table, in its order.
    pub quantities: Vec<QuantityValue>,
    /// Static set-up of both sides.
    pub set_up: Vec<SideSetUp>,
    /// Lengths of the tie rods, mm.
    pub rod_lengths: RodLengths,
    /// Curves over lean, travel and steer.
    pub curves: Vec<Curve>,
    /// What ends the steering and the lean, by direction.
    pub stops: Vec<Stop>,
    /// Forces of the load cases, stub axle and wheel loads; absent without masses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strength: Option<StrengthSheet>,
    /// What the model leaves out.
    pub notes: Vec<String>,
    /// What a reader must keep in mind before building or riding by these numbers.
    pub cautions: Vec<String>,
}

/// Curves and stops of a vehicle in one state of loading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct InLoading {
    /// Name of the state; `as drawn` is that of `masses`.
    pub loading: String,
    /// Mean travel of the wheels in it, positive when they rise, mm; absent where the machine
    /// cannot stand there, which leaves the lists empty.
    pub mean_travel_mm: Option<f64>,
    /// Curves over lean, travel and steer.
    pub curves: Vec<Curve>,
    /// What ends the steering and the lean.
    pub stops: Vec<Stop>,
}

/// Static set-up of one front corner in the design pose.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct SideSetUp {
    /// The side.
    pub side: SideName,
    /// Named figures with units, in the table's order.
    pub figures: Vec<Figure>,
}

/// A named figure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Figure {
    /// Name; its ending is the unit.
    pub name: String,
    /// Value; absent where it does not exist (a kingpin that never meets the ground).
    pub value: Option<f64>,
    /// Unit.
    pub unit: String,
}

/// A family of lines over one abscissa.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Curve {
    /// Name, such as `toe_over_travel`.
    pub name: String,
    /// Title for people.
    pub title: String,
    /// The abscissa.
    pub x: Line,
    /// The lines, each as long as the abscissa.
    pub lines: Vec<Line>,
}

/// One line of a curve, or its abscissa.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Line {
    /// Name; its ending is the unit.
    pub name: String,
    /// Unit.
    pub unit: String,
    /// Values; absent where there is none. Poses that are not reached are left out.
    pub values: Vec<Option<f64>>,
}

/// What ends a motion.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Stop {
    /// The motion: `steer_left`, `steer_right`, the same with `_leaned` (into the turn, by the
    /// reach's lean limit), `lean_left`, `lean_right`.
    pub motion: String,
    /// Where it ends: mean steer angle of the wheels or lean, a magnitude; absent if nothing ends
    /// it within the range looked at.
    pub at: Option<f64>,
    /// Steer angles there of the wheel inside and the wheel outside the turn, positive into it;
    /// absent for lean. The wheel lock is that of the inner wheel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<f64>>)]
    pub inner_and_outer_deg: Option<[f64; 2]>,
    /// Unit of `at`.
    pub unit: String,
    /// What ends it.
    pub cause: String,
    /// The pose there.
    pub pose: WorstPose,
}
