//! Wire types of the shapes and joints of a pose, for views that turn.

use crate::answer::JointName;
use crate::job::SideName;
use crate::vehicle::Point;
use serde::{Deserialize, Serialize};

/// Shapes of a machine in a pose. All points in ground axes: x along the rear heading, y left, z up
/// from the ground, mm; their origin lies on the ground under the frame's origin.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct PoseParts {
    /// The three tyres, the rear one first.
    pub tyres: Vec<TyrePart>,
    /// Straight parts, each as the points that it runs through.
    pub lines: Vec<LinePart>,
    /// Joints with an angle of their own, left side first.
    pub joints: Vec<JointState>,
    /// Transmission angles at the rods' ends; the steering stops where one falls to `least_deg`.
    pub transmissions: Vec<TransmissionState>,
    /// Centre of gravity of `masses`, where they are given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<f64>>)]
    pub centre_of_gravity_mm: Option<Point>,
}

/// A tyre: a torus about its axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct TyrePart {
    /// The side of a front wheel; absent for the rear one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<SideName>,
    /// Wheel centre, mm.
    #[schema(value_type = Vec<f64>)]
    pub centre_mm: Point,
    /// Unit vector along the spin axis.
    #[schema(value_type = Vec<f64>)]
    pub axis: [f64; 3],
    /// Outer radius, mm.
    pub radius_mm: f64,
    /// Radius of the round section, mm.
    pub section_radius_mm: f64,
}

/// A part drawn as a line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LinePart {
    /// `wishbone`, `rod`, `knuckle`, `crank` (whatever drives the rods), `rocker`, `frame`,
    /// `kingpin` (its line to the ground), `box` (an edge of a box) or `middle` (the frame's upright
    /// middle line).
    pub part: String,
    /// The side that it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<SideName>,
    /// Its points in order, mm; a wishbone runs from front pivot over ball joint to rear pivot.
    #[schema(value_type = Vec<Vec<f64>>)]
    pub points_mm: Vec<Point>,
}

/// A joint of one side in a pose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct JointState {
    /// Which joint.
    pub joint: JointName,
    /// Its side.
    pub side: SideName,
    /// Its centre, mm.
    #[schema(value_type = Vec<f64>)]
    pub at_mm: Point,
    /// Angle of a ball joint, misalignment of a rod end, degrees.
    pub angle_deg: f64,
    /// The vehicle's limit on it, degrees; absent where it gives none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit_deg: Option<f64>,
    /// Limit less angle, degrees, negative beyond it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub margin_deg: Option<f64>,
}

/// A transmission angle in a pose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct TransmissionState {
    /// The side.
    pub side: SideName,
    /// At the knuckle: rod against the knuckle's arm, degrees, negative beyond the dead centre.
    pub knuckle_deg: f64,
    /// At the crank: rod against the crank's arm, degrees, negative beyond the in-line position.
    pub crank_deg: f64,
    /// The smallest that still counts as steering, degrees.
    pub least_deg: f64,
}
