//! Wire types of what carries load: materials, stub axle, rods and legs, joint ratings, states of
//! loading. The embedded file of materials has the same form.

use crate::job::Reach;
use crate::vehicle::Point;
use serde::{Deserialize, Serialize};

/// One material.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MaterialInput {
    /// Name by which parts ask for it.
    pub name: String,
    /// Where its figures come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// Ultimate tensile strength, MPa.
    pub ultimate_mpa: f64,
    /// Yield strength, MPa.
    pub yield_mpa: f64,
    /// Modulus of elasticity, GPa.
    pub elastic_gpa: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Fatigue strength in fully reversed bending of a polished specimen, MPa.
    pub fatigue_mpa: f64,
    /// Cycles that it holds for.
    pub fatigue_cycles: f64,
    /// Smaller stresses do no damage at all.
    #[serde(default)]
    pub endures: bool,
    /// Peterson's length of notch sensitivity, mm; absent: Neuber's fit for steels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notch_length_mm: Option<f64>,
}

/// The stub axle of each front wheel, from its root at the knuckle outwards.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StubAxleInput {
    /// Sections of one diameter each, from the root outwards.
    pub sections: Vec<SectionInput>,
    /// Diameter of the boss at the root, mm; by default 1.5 times the first section's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub boss_diameter_mm: Option<f64>,
    /// Middles of the inner and outer bearing, mm from the root.
    pub bearings_mm: [f64; 2],
    /// The wheel's middle plane, mm from the root.
    pub wheel_mm: f64,
    /// Name of its material.
    pub material: String,
    /// Surface.
    #[serde(default)]
    pub finish: FinishWord,
    /// Percent of parts that are at least as strong: 50, 90, 95, 99, 99.9 or 99.99.
    #[serde(default = "reliability")]
    pub reliability_percent: f64,
    /// Fatigue criterion of the quantity `stub_axle_safety`.
    #[serde(default)]
    pub criterion: CriterionWord,
    /// Share of the brake's torque that twists the axle, 0 to 1.
    #[serde(default)]
    pub brake_torque_share: f64,
    /// How the inner ring of the inner bearing sits.
    #[serde(default)]
    pub bearing_seat: SeatWord,
    /// Factor of safety that the smallest diameters are found for.
    #[serde(default = "least_safety")]
    pub least_safety: f64,
}

fn reliability() -> f64 {
    99.0
}

fn least_safety() -> f64 {
    1.5
}

/// One length of a stub axle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SectionInput {
    /// Length, mm.
    pub length_mm: f64,
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// Fillet radius at the inner end, mm; 0 is a square shoulder.
    #[serde(default)]
    pub fillet_mm: f64,
}

/// Surface of a part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FinishWord {
    /// Ground.
    Ground,
    /// Machined or cold-drawn.
    #[default]
    Machined,
    /// Hot-rolled.
    HotRolled,
    /// As forged.
    Forged,
}

/// How the inner ring of a bearing sits on the axle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SeatWord {
    /// Pressed on.
    #[default]
    Pressed,
    /// Loose.
    Loose,
}

/// Fatigue criterion.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CriterionWord {
    /// Goodman.
    #[default]
    Goodman,
    /// Gerber.
    Gerber,
    /// ASME elliptic.
    AsmeElliptic,
    /// Soderberg.
    Soderberg,
}

/// Section of the rods of the steering, or of the legs of the wishbones.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RodsInput {
    /// Outer diameter, mm.
    pub outer_diameter_mm: f64,
    /// Inner diameter, mm; 0 for a solid rod.
    #[serde(default)]
    pub inner_diameter_mm: f64,
    /// Name of the material.
    pub material: String,
}

/// Static load ratings of joints, N, from their data sheets.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct RatingsInput {
    /// Lower ball joint.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lower_ball_joint_n: Option<f64>,
    /// Upper ball joint.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub upper_ball_joint_n: Option<f64>,
    /// Rod ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rod_end_n: Option<f64>,
    /// Pivots of the wishbones.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pivot_n: Option<f64>,
}

/// Another state of loading than `masses`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoadingInput {
    /// Name for people, such as `empty, rider alone`.
    pub name: String,
    /// Machine, rider and load, kg.
    pub total_kg: f64,
    /// Common centre of gravity, mm.
    pub centre_of_gravity_mm: Point,
    /// Mean travel, mm, wheels up positive; absent: by the springs, else 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mean_travel_mm: Option<f64>,
    /// The poses that its rider meets; absent: the job's reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach: Option<Reach>,
}

/// One spring at each front wheel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpringsInput {
    /// Rate of one spring, N/mm.
    pub rate_n_per_mm: f64,
    /// Travel of the spring per travel of the wheel.
    #[serde(default = "direct")]
    pub motion_ratio: f64,
    /// Force of each spring in the design pose, N; absent: that which carries `masses` there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub preload_n: Option<f64>,
    /// Mean travel at the droop stop and at the bump stop, mm.
    #[serde(default = "stops")]
    pub stops_mm: [f64; 2],
}

fn direct() -> f64 {
    1.0
}

fn stops() -> [f64; 2] {
    [-60.0, 60.0]
}

/// A file of materials.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MaterialFile {
    /// Version of the form.
    pub version: u32,
    /// Name for people.
    pub name: String,
    /// Where its figures come from.
    pub source: String,
    /// The materials.
    pub materials: Vec<MaterialInput>,
}
