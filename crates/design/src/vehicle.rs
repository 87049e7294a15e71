//! Wire types of the vehicle file. Millimetres and degrees; x forward, y left, z up.
//!
//! Plain records: [`crate::parse_vehicle`] checks them, `convert` makes the machine of them.

use serde::{Deserialize, Serialize};

/// A point in frame axes, mm: x forward, y left, z up.
pub type Point = [f64; 3];

/// A vehicle file, version 1. Points are those of the left side; the right side is their
/// mirror image except where [`Vehicle::right`] says otherwise.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vehicle {
    /// Version of this file's form; 1 is the only one.
    #[serde(default = "one")]
    pub version: u32,
    /// A name for people.
    #[serde(default)]
    pub name: String,
    /// Both front wheels.
    pub front_wheels: FrontWheels,
    /// The rear wheel; its axis lies along y.
    pub rear_wheel: RearWheel,
    /// Lower wishbones.
    pub lower_wishbone: WishboneInput,
    /// Upper wishbones.
    pub upper_wishbone: WishboneInput,
    /// Steering linkage.
    pub steering: Steering,
    /// What joins the left and right wishbones in lean.
    #[serde(default)]
    pub lean_coupling: LeanCoupling,
    /// Masses; only quantities that need weight read them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub masses: Option<Masses>,
    /// What differs on the right side of a machine measured as built.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right: Option<RightSide>,
}

/// The front wheels in the design pose.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontWheels {
    /// Centre of the left wheel, mm.
    pub centre_mm: Point,
    /// Outer radius of the tyre, mm.
    pub radius_mm: f64,
    /// Radius of the tyre's round section, mm; below the outer radius.
    pub section_radius_mm: f64,
    /// Static camber, degrees, top outward positive.
    #[serde(default)]
    pub camber_deg: f64,
    /// Static toe of each wheel, degrees, toe-in positive.
    #[serde(default)]
    pub toe_in_deg: f64,
}

/// The rear wheel in the design pose.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RearWheel {
    /// Centre, mm.
    pub centre_mm: Point,
    /// Outer radius of the tyre, mm.
    pub radius_mm: f64,
    /// Radius of the tyre's round section, mm.
    pub section_radius_mm: f64,
}

/// One wishbone: hinge and ball joint.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WishboneInput {
    /// Front point of the hinge on the frame, mm.
    pub front_pivot_mm: Point,
    /// Rear point of the hinge on the frame, mm.
    pub rear_pivot_mm: Point,
    /// Centre of the ball joint, mm.
    pub ball_joint_mm: Point,
}

/// The steering linkage: a centre crank and two tie rods.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Steering {
    /// The layout; `centre_crank` is the only one so far.
    pub layout: Layout,
    /// The crank's axis.
    pub crank: Crank,
    /// Rod end on the crank, mm.
    pub rod_inner_mm: Point,
    /// Rod end on the knuckle, mm.
    pub rod_outer_mm: Point,
}

/// Steering layouts. A closed set: each needs its own hardpoints.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Layout {
    /// A crank in the middle, one tie rod to each knuckle.
    CentreCrank,
}

/// The crank's axis.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Crank {
    /// A point on the axis, mm.
    pub point_mm: Point,
    /// Direction of the axis; a positive steer angle is right-handed about it.
    pub axis: [f64; 3],
}

/// What joins the left and right wishbones in lean.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum LeanCoupling {
    /// The mean rise of the lower ball joints is held (at 0 unless a pose asks otherwise).
    #[default]
    MeanTravel,
    /// A rocker with a link to each lower wishbone.
    Rocker(RockerInput),
}

/// A rocker; in the design pose its ends lie at the pivot ± arm along y.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RockerInput {
    /// Pivot, mm.
    pub pivot_mm: Point,
    /// Direction of the pivot; not along y.
    pub axis: [f64; 3],
    /// Half length of the rocker, mm, above 0.
    pub arm_mm: f64,
    /// Foot of the left link on the left lower wishbone, mm.
    pub link_foot_mm: Point,
}

/// Masses of the laden machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Masses {
    /// Machine, rider and load, kg.
    pub total_kg: f64,
    /// Common centre of gravity in the design pose, mm.
    pub centre_of_gravity_mm: Point,
}

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

fn one() -> u32 {
    1
}
