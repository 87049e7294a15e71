//! Wire types of the vehicle file. Millimetres and degrees; x forward, y left, z up.
//!
//! Plain records: [`crate::parse_vehicle`] checks them, `convert` makes the machine of them.

use crate::bearing::BearingInput;
use crate::body::{CaliperInput, DrumInput, RimInput, ShapesInput};
use crate::effort::EffortInput;
use crate::joints::{JointInput, JointsInput};
use crate::load_cases::LoadCaseInput;
use crate::parts::{
    LoadingInput, MaterialInput, RatingsInput, RodsInput, SpringsInput, StubAxleInput,
};
use crate::right_side::RightSide;
use crate::steering::Steering;
use serde::{Deserialize, Serialize};

/// A point in frame axes, mm: x forward, y left, z up.
pub type Point = [f64; 3];

/// A vehicle file, version 1. Points are those of the left side; the right side is their
/// mirror image except where [`Vehicle::right`] says otherwise.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vehicle {
    /// Version of this file's form; 1 is the only one.
    #[serde(default = "one", deserialize_with = "crate::whole::read")]
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
    /// What stops steering and lean.
    #[serde(default, skip_serializing_if = "Limits::is_default")]
    pub limits: Limits,
    /// Joints, handlebar, brakes, body.
    #[serde(default, skip_serializing_if = "FittingsInput::is_default")]
    pub fittings: FittingsInput,
    /// Other states of loading beside `masses`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub loadings: Vec<LoadingInput>,
    /// Springs of the front wheels, from which the mean travel of every loading follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub springs: Option<SpringsInput>,
    /// Slope of the ground that the machine is parked on, degrees.
    #[serde(default = "parking_slope", skip_serializing_if = "is_parking_slope")]
    pub parking_slope_deg: f64,
    /// Load cases instead of the shipped ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub load_cases: Vec<LoadCaseInput>,
    /// Materials beside the shipped ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub materials: Vec<MaterialInput>,
    /// The stub axle of each front wheel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stub_axle: Option<StubAxleInput>,
    /// Section of the rods of the steering.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rods: Option<RodsInput>,
    /// Section of the legs of all wishbones.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wishbone_legs: Option<RodsInput>,
    /// Static load ratings of the joints.
    #[serde(default, skip_serializing_if = "no_ratings")]
    pub joint_ratings: RatingsInput,
    /// Sizes of the parts and boxes on the frame, for clearances.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shapes: Option<ShapesInput>,
    /// The joints of each side, by their names in a catalogue.
    #[serde(default, skip_serializing_if = "JointsInput::is_default")]
    pub joints: JointsInput,
    /// Joints beside the shipped ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joint_catalogue: Vec<JointInput>,
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
    /// Rim, for clearances.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rim: Option<RimInput>,
    /// Hub, for clearances.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hub: Option<DrumInput>,
    /// Brake disc, for clearances.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub brake_disc: Option<DrumInput>,
    /// Caliper of the left brake, for clearances.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caliper: Option<CaliperInput>,
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
    /// Mean travel with them on board, mm, wheels up positive; absent: by the springs, else 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mean_travel_mm: Option<f64>,
}

/// What stops steering and lean.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Limits {
    /// Transmission angle at which the steering counts as stopped, degrees.
    pub smallest_transmission_deg: f64,
    /// Stop of the crank, degrees either way; absent: none is fitted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stop_angle_deg: Option<f64>,
    /// Half-cone of the ball joints, degrees; absent: not limited.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ball_joint_deg: Option<f64>,
    /// Largest misalignment of a rod end, degrees; absent: not limited.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rod_end_deg: Option<f64>,
    /// Sizes that limit the ball joints instead of `ball_joint_deg`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ball_joint_bearing: Option<BearingInput>,
    /// Sizes that limit the rod ends instead of `rod_end_deg`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rod_end_bearing: Option<BearingInput>,
    /// A smaller gap between two parts stops steering and lean, mm.
    pub least_clearance_mm: f64,
    /// Where a sweep of the lean ends if nothing stops it, degrees.
    pub lean_sweep_deg: f64,
}

impl Default for Limits {
    fn default() -> Self {
        Limits {
            smallest_transmission_deg: 15.0,
            stop_angle_deg: None,
            ball_joint_deg: None,
            rod_end_deg: None,
            ball_joint_bearing: None,
            rod_end_bearing: None,
            least_clearance_mm: 0.0,
            lean_sweep_deg: 45.0,
        }
    }
}

impl Limits {
    fn is_default(&self) -> bool {
        *self == Limits::default()
    }
}

/// Joints, handlebar, brakes and body. Directions are those of the left side in the design
/// pose; the right side is mirrored.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct FittingsInput {
    /// Stud of the lower ball joint in the knuckle; by default along the kingpin.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lower_stud: Option<[f64; 3]>,
    /// Stud of the upper ball joint in the knuckle; by default along the kingpin.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub upper_stud: Option<[f64; 3]>,
    /// Socket axis of the lower ball joint in the wishbone; by default along the stud.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lower_socket: Option<[f64; 3]>,
    /// Socket axis of the upper ball joint in the wishbone; by default along the stud.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub upper_socket: Option<[f64; 3]>,
    /// Bolt of the inner rod end in the crank; by default along the crank axis.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inner_bolt: Option<[f64; 3]>,
    /// Bolt of the outer rod end in the knuckle; by default along the kingpin.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outer_bolt: Option<[f64; 3]>,
    /// Angle between the two eyes of a rod, degrees; by default set best in the design pose.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rod_clock_deg: Option<f64>,
    /// Points of the body that count for wall-to-wall turning, mm.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub overhangs_mm: Vec<Point>,
    /// Handlebar degrees per crank degree; by default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub handlebar_per_crank: Option<f64>,
    /// What takes the torque of a front brake.
    pub brake: BrakeInput,
    /// What the hands work against beside weight and side force.
    #[serde(skip_serializing_if = "EffortInput::is_default")]
    pub effort: EffortInput,
}

impl FittingsInput {
    fn is_default(&self) -> bool {
        *self == FittingsInput::default()
    }
}

/// What takes the torque of a front brake.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BrakeInput {
    /// The knuckle: the force acts at the contact.
    #[default]
    Knuckle,
    /// The frame, over a shaft: the force acts at the wheel centre.
    Frame,
}

fn one() -> u32 {
    1
}

/// Usual slope of a parking test, degrees.
fn parking_slope() -> f64 {
    10.0
}

fn is_parking_slope(deg: &f64) -> bool {
    *deg == parking_slope()
}

fn no_ratings(ratings: &RatingsInput) -> bool {
    *ratings == RatingsInput::default()
}
