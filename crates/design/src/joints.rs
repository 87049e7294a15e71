//! Wire types of joints: the catalogue, and what a vehicle chooses of it.

use crate::bearing::BearingInput;
use crate::shipped;
use crate::vehicle::Vehicle;
use serde::{Deserialize, Serialize};

/// One joint of a catalogue.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JointInput {
    /// Name by which vehicles ask for it.
    pub name: String,
    /// What it is.
    pub kind: JointKind,
    /// Where its figures come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// Half-cone or misalignment that it allows, degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub angle_deg: Option<f64>,
    /// Sizes from which that follows instead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bearing: Option<BearingInput>,
    /// Static load rating, N.
    pub static_rating_n: f64,
    /// Diameter of its body or eye, mm.
    pub diameter_mm: f64,
    /// Mass, kg.
    pub mass_kg: f64,
}

/// Kinds of joints.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum JointKind {
    /// A ball on a stud in a socket.
    BallJoint,
    /// The same at a right angle on the end of a rod.
    AngleJoint,
    /// A rod end with an eye.
    RodEnd,
    /// A spherical plain bearing in a housing.
    SphericalBearing,
}

impl JointInput {
    /// What it allows, degrees.
    pub fn allowed_deg(&self) -> Option<f64> {
        self.angle_deg.or(self.bearing.map(|b| b.tilt_deg()))
    }
}

/// Names of the joints of each side.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct JointsInput {
    /// Between lower wishbone and knuckle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lower_ball_joint: Option<String>,
    /// Between upper wishbone and knuckle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub upper_ball_joint: Option<String>,
    /// At the crank, slider or centre link.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inner_rod_end: Option<String>,
    /// At the knuckle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outer_rod_end: Option<String>,
}

/// The places of joints, in the order of their limits.
pub(crate) const PLACES: [&str; 4] = [
    "lower_ball_joint",
    "upper_ball_joint",
    "inner_rod_end",
    "outer_rod_end",
];

/// Kinds that a place takes.
pub(crate) fn kinds(place: usize) -> [&'static str; 2] {
    match place {
        0 | 1 => ["ball_joint", "spherical_bearing"],
        _ => ["rod_end", "angle_joint"],
    }
}

impl JointsInput {
    /// The name at each place.
    pub(crate) fn names(&self) -> [Option<&String>; 4] {
        [
            self.lower_ball_joint.as_ref(),
            self.upper_ball_joint.as_ref(),
            self.inner_rod_end.as_ref(),
            self.outer_rod_end.as_ref(),
        ]
    }

    pub(crate) fn is_default(&self) -> bool {
        *self == JointsInput::default()
    }
}

impl Vehicle {
    /// The chosen joint at each place.
    pub(crate) fn chosen_joints(&self) -> [Option<&JointInput>; 4] {
        self.joints.names().map(|name| shipped::joint(self, name?))
    }

    /// What the joint at each place allows, degrees: its own, else the vehicle's general limit.
    pub(crate) fn joint_limits(&self) -> [Option<f64>; 4] {
        let (ball, rod) = (self.limits.ball_joint(), self.limits.rod_end());
        let general = [ball, ball, rod, rod];
        let chosen = self.chosen_joints();
        [0, 1, 2, 3].map(|i| {
            let own = chosen[i].and_then(JointInput::allowed_deg);
            own.or(general[i])
        })
    }

    /// Mass of the chosen joints of both sides, kg.
    pub(crate) fn joint_mass(&self) -> Option<f64> {
        let chosen = self.chosen_joints();
        let both = |j: &&JointInput| 2.0 * j.mass_kg;
        let sum: f64 = chosen.iter().flatten().map(both).sum();
        chosen.iter().any(Option::is_some).then_some(sum)
    }

    /// Static rating of the joint at a place, N: the vehicle's own figure, else the catalogue's.
    pub(crate) fn joint_rating(&self, places: &[usize], own: Option<f64>) -> Option<f64> {
        let chosen = self.chosen_joints();
        let rated = places
            .iter()
            .filter_map(|i| Some(chosen[*i]?.static_rating_n));
        own.or(rated.reduce(f64::min))
    }
}

/// A file of joints.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct JointFile {
    /// Version of the form.
    pub version: u32,
    /// Name for people.
    pub name: String,
    /// Where its figures come from.
    pub source: String,
    /// The joints.
    pub joints: Vec<JointInput>,
}
