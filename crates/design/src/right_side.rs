//! Wire types of the right side of a machine measured as built.

use crate::vehicle::Point;
use serde::{Deserialize, Serialize};

/// What differs on the right side: absolute coordinates, y negative. What is absent is the
/// mirror image of the left.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RightSide {
    /// Right front wheel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub front_wheels: Option<RightWheel>,
    /// Right lower wishbone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lower_wishbone: Option<RightWishbone>,
    /// Right upper wishbone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upper_wishbone: Option<RightWishbone>,
    /// Right rod ends.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub steering: Option<RightSteering>,
    /// Right link foot of a rocker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lean_coupling: Option<RightCoupling>,
}

/// What differs on the right front wheel.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RightWheel {
    /// Centre, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub centre_mm: Option<Point>,
    /// Outer radius of the tyre, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radius_mm: Option<f64>,
    /// Radius of the tyre's round section, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub section_radius_mm: Option<f64>,
    /// Static camber, degrees, top outward positive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub camber_deg: Option<f64>,
    /// Static toe, degrees, toe-in positive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub toe_in_deg: Option<f64>,
}

/// What differs on a right wishbone.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RightWishbone {
    /// Front point of the hinge, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub front_pivot_mm: Option<Point>,
    /// Rear point of the hinge, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rear_pivot_mm: Option<Point>,
    /// Centre of the ball joint, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ball_joint_mm: Option<Point>,
}

/// What differs in the right rod's ends.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RightSteering {
    /// Rod end on the crank, mm; may lie on either side of the middle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rod_inner_mm: Option<Point>,
    /// Rod end on the knuckle, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rod_outer_mm: Option<Point>,
}

/// What differs in the right link of a rocker.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RightCoupling {
    /// Foot of the right link on the right lower wishbone, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub link_foot_mm: Option<Point>,
}
