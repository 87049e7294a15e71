//! Wire types of what joins the handlebar to the steering.

use crate::vehicle::Point;
use serde::{Deserialize, Serialize};

/// How the handlebar reaches the crank.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum HandlebarInput {
    /// The handlebar is the crank, or turns it at the constant rate of
    /// `fittings.handlebar_per_crank`.
    Direct,
    /// A drag link from an arm of the handlebar to the crank; `steer_deg` is then the
    /// handlebar's angle.
    DragLink(HandlebarLinkInput),
    /// Two cable runs to a sheave on the crank or to one on each knuckle; `steer_deg` stays the
    /// crank's angle.
    Cable(CableInput),
}

/// A handlebar with its own axis and a drag link to the crank.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HandlebarLinkInput {
    /// A point on the handlebar's axis, mm.
    pub point_mm: Point,
    /// Direction of that axis; a positive steer angle is right-handed about it.
    pub axis: [f64; 3],
    /// Link's end on the handlebar's arm, mm.
    pub arm_end_mm: Point,
    /// Link's end on the crank, mm.
    pub crank_end_mm: Point,
    /// Bolt of the end on the arm; by default along the handlebar's axis.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arm_bolt: Option<[f64; 3]>,
    /// Bolt of the end on the crank; by default along the crank's axis.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crank_bolt: Option<[f64; 3]>,
}

/// A cable drive: a sheave on the handlebar, two runs, a sheave on the crank or on each knuckle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CableInput {
    /// The handlebar's sheave.
    pub sheave: SheaveInput,
    /// What the cables turn.
    pub driven: DrivenInput,
    /// Guides of the left run, from the handlebar on. Seen from the end that the handlebar's axis
    /// points to, this run winds clockwise on the handlebar.
    #[serde(default)]
    pub left_run: Vec<GuideInput>,
    /// Guides of the right run, wound the other way; absent: the mirror image of the left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right_run: Option<Vec<GuideInput>>,
    /// The runs cross, so that the driven sheave turns against the handlebar.
    #[serde(default)]
    pub crossed: bool,
    /// Stiffness of the cable, N: force per unit of strain.
    pub stiffness_n: f64,
    /// Tension of both runs in the design pose, N.
    #[serde(default)]
    pub preload_n: f64,
    /// Force of the hands, N.
    #[serde(default = "hand_force")]
    pub hand_force_n: f64,
    /// Arm of that force about the handlebar's axis, mm.
    #[serde(default = "grip")]
    pub grip_mm: f64,
    /// Friction coefficient of the cable on its guides.
    #[serde(default)]
    pub friction: f64,
}

/// A sheave fixed to the handlebar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheaveInput {
    /// Centre, mm.
    pub centre_mm: Point,
    /// Direction of its axis, about which the handlebar turns.
    pub axis: [f64; 3],
    /// Radius on which the cable lies, mm.
    pub radius_mm: f64,
}

/// What the cables turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "on", rename_all = "snake_case")]
pub enum DrivenInput {
    /// A sheave about the crank's axis, its centre at the crank's point.
    Crank {
        /// Radius on which the cable lies, mm.
        radius_mm: f64,
    },
    /// A sheave on each knuckle about its kingpin.
    Knuckles {
        /// Centre of the left one, mm; the right one is its mirror image.
        centre_mm: Point,
        /// Radius on which the cable lies, mm.
        radius_mm: f64,
    },
}

/// A guide of a run: an eye, or with a radius a sheave.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GuideInput {
    /// What carries it.
    #[serde(default)]
    pub on: CarrierInput,
    /// Centre, mm.
    pub centre_mm: Point,
    /// Radius on which the cable lies, mm; 0: an eye.
    #[serde(default)]
    pub radius_mm: f64,
    /// Direction of a sheave's axis.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axis: Option<[f64; 3]>,
    /// Which way the cable, followed from the handlebar, runs round a sheave, seen from the end
    /// that its axis points to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turn: Option<TurnInput>,
}

/// What carries a guide.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CarrierInput {
    /// The frame.
    #[default]
    Frame,
    /// The lower wishbone of the run's side.
    LowerWishbone,
    /// The upper wishbone of the run's side.
    UpperWishbone,
}

/// A sense of turning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TurnInput {
    /// As the hands of a clock.
    Clockwise,
    /// Against them.
    CounterClockwise,
}

fn hand_force() -> f64 {
    100.0
}

fn grip() -> f64 {
    250.0
}
