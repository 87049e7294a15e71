//! Wire types of one pose: what is asked and what is answered.

use crate::posed_parts::PoseParts;
use crate::vehicle::Point;
use serde::{Deserialize, Serialize};

/// One solved pose. The other points are in frame axes; `contact_mm` is in ground axes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct PoseAnswer {
    /// Where the frame stands.
    pub frame: FramePose,
    /// Left front corner.
    pub left: CornerAnswer,
    /// Right front corner.
    pub right: CornerAnswer,
    /// Rear wheel.
    pub rear: RearAnswer,
    /// Shapes and joints in ground axes, where they were asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parts: Option<PoseParts>,
}

/// Where the frame stands in a pose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct FramePose {
    /// Height of the frame's origin above the ground, mm, up positive.
    pub height_change_mm: f64,
    /// Pitch, degrees, nose down positive.
    pub pitch_deg: f64,
}

/// One front corner in a pose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct CornerAnswer {
    /// Contact with the ground, ground axes: z = 0, x along the rear heading, origin under the
    /// frame's origin, mm.
    #[schema(value_type = Vec<f64>)]
    pub contact_mm: Point,
    /// Heading against the rear wheel's, degrees, positive left.
    pub heading_deg: f64,
    /// Inclination to the ground, degrees, positive top to the right.
    pub inclination_deg: f64,
    /// Wheel centre, frame axes, mm.
    #[schema(value_type = Vec<f64>)]
    pub wheel_centre_mm: Point,
    /// Lower ball joint, frame axes, mm.
    #[schema(value_type = Vec<f64>)]
    pub lower_ball_joint_mm: Point,
    /// Upper ball joint, frame axes, mm.
    #[schema(value_type = Vec<f64>)]
    pub upper_ball_joint_mm: Point,
    /// Rod end on the knuckle, frame axes, mm.
    #[schema(value_type = Vec<f64>)]
    pub rod_outer_mm: Point,
}

/// The rear wheel in a pose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct RearAnswer {
    /// Contact with the ground, ground axes, mm.
    #[schema(value_type = Vec<f64>)]
    pub contact_mm: Point,
}

/// What a pose is asked by, in the units of the command line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PoseQuestion {
    /// Lean (ISO roll, positive leans right), degrees.
    #[serde(default)]
    pub lean_deg: f64,
    /// Crank angle about its own axis, degrees; on a slider machine, and behind a handlebar's drag
    /// link, the handlebar's angle.
    #[serde(default)]
    pub steer_deg: f64,
    /// Travel of a slider along its rail, mm, instead of `steer_deg`.
    #[serde(default)]
    pub steer_mm: Option<f64>,
    /// Mean travel, mm; absent: as the coupling holds it.
    #[serde(default)]
    pub mean_travel_mm: Option<f64>,
}

/// Why there is no pose.
#[derive(Clone, Debug, PartialEq)]
pub enum PoseError {
    /// The question or the vehicle is at fault.
    Input(Vec<crate::Fault>),
    /// The machine does not reach the pose; the text names what failed.
    Unreachable(String),
}
