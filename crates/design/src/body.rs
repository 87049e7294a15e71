//! Wire types of the sizes that clearances are measured with: parts, wheels, boxes on the frame.

use crate::vehicle::Point;
use serde::{Deserialize, Serialize};

/// Sizes of what the file otherwise gives as points, and boxes on the frame.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShapesInput {
    /// Diameter of the wishbones' legs, mm.
    pub wishbone_diameter_mm: f64,
    /// Diameter of the steering's rods and links, mm; absent: that of `rods`, else 12.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rod_diameter_mm: Option<f64>,
    /// Diameter of the rocker's links, mm.
    #[serde(default = "link", skip_serializing_if = "is_link")]
    pub link_diameter_mm: f64,
    /// Boxes fixed to the frame: cargo bed, legs, tubes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub boxes: Vec<BoxInput>,
}

/// A box fixed to the frame.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoxInput {
    /// Name for people, each once.
    pub name: String,
    /// Middle, mm.
    pub centre_mm: Point,
    /// Length, width and height along its own axes, mm.
    pub size_mm: [f64; 3],
    /// Turned about z, degrees, positive to the left.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub yaw_deg: f64,
    /// Then about its own y, degrees, positive nose down.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub pitch_deg: f64,
    /// Then about its own x, degrees, positive left side up.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub roll_deg: f64,
    /// Its mirror image is there too.
    #[serde(default, skip_serializing_if = "is_false")]
    pub mirrored: bool,
    /// What is mounted on it and therefore not measured against it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub carries: Vec<CarriedWord>,
}

/// What a box may carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CarriedWord {
    /// The lower wishbones.
    LowerWishbone,
    /// The upper wishbones.
    UpperWishbone,
    /// Rods and links of the steering.
    Steering,
    /// The rocker and its links.
    LeanCoupling,
    /// The rear wheel.
    RearWheel,
}

/// The rim of a wheel: a ring of round section.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RimInput {
    /// Outer radius, mm.
    pub radius_mm: f64,
    /// Radius of its section, about half of its width, mm.
    pub section_radius_mm: f64,
}

/// A hub or brake disc, turned about the wheel's axis.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrumInput {
    /// Radius, mm.
    pub radius_mm: f64,
    /// Where it begins and ends along the axle, mm from the wheel's middle, outwards positive.
    pub along_mm: [f64; 2],
}

/// The caliper of the left brake: a box fixed in the knuckle, in frame axes in the design pose.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CaliperInput {
    /// Middle, mm.
    pub centre_mm: Point,
    /// Length, width and height, mm.
    pub size_mm: [f64; 3],
    /// Turned about z, degrees, positive to the left.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub yaw_deg: f64,
    /// Then about its own y, degrees, positive nose down.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub pitch_deg: f64,
    /// Then about its own x, degrees, positive left side up.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub roll_deg: f64,
}

fn link() -> f64 {
    12.0
}

fn is_link(mm: &f64) -> bool {
    *mm == link()
}

fn is_zero(deg: &f64) -> bool {
    *deg == 0.0
}

fn is_false(flag: &bool) -> bool {
    !flag
}
