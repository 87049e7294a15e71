//! Wire types of load cases. The embedded file has the same form.

use serde::{Deserialize, Serialize};

/// One load case.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoadCaseInput {
    /// Name for people.
    pub name: String,
    /// Where its figures come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// Upright, or leaned into the turn to the lean limit of reach.
    #[serde(default)]
    pub lean: LeanWord,
    /// So many degrees into the turn instead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lean_deg: Option<f64>,
    /// Straight, or at the steering stop.
    #[serde(default)]
    pub steer: SteerWord,
    /// Sideways acceleration, g.
    #[serde(default)]
    pub sideways_g: f64,
    /// Deceleration, g.
    #[serde(default)]
    pub braking_g: f64,
    /// Which front wheels brake.
    #[serde(default)]
    pub braked: WheelsWord,
    /// Friction that bounds the brake force of a wheel.
    #[serde(default = "friction")]
    pub friction: f64,
    /// Which front wheels the factors belong to.
    #[serde(default)]
    pub struck: WheelsWord,
    /// Vertical load of a struck wheel, times its riding load.
    #[serde(default = "whole")]
    pub vertical_factor: f64,
    /// Force backwards through the centre of a struck wheel, times its riding load.
    #[serde(default)]
    pub rearward_factor: f64,
    /// Force inwards at the contact of a struck wheel, times its riding load.
    #[serde(default)]
    pub inward_factor: f64,
    /// The other end of each load cycle.
    #[serde(default)]
    pub cycle: CycleWord,
    /// Cycles in the machine's life, all of them to the whole load.
    #[serde(default, skip_serializing_if = "none")]
    pub cycles: f64,
    /// Steps of a load spectrum instead of `cycles`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spectrum: Vec<StepInput>,
}

/// One step of a load spectrum.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StepInput {
    /// How far the load goes from the other end of its cycle to that of the case, 1 all the way.
    pub share: f64,
    /// Cycles in the machine's life.
    pub cycles: f64,
}

fn friction() -> f64 {
    0.9
}

/// No cycles: not written, so that a spectrum stands alone.
fn none(cycles: &f64) -> bool {
    *cycles == 0.0
}

fn whole() -> f64 {
    1.0
}

/// Lean of a load case.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LeanWord {
    /// Upright.
    #[default]
    Upright,
    /// To the lean limit of reach.
    Limit,
}

/// Steering of a load case.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SteerWord {
    /// Straight.
    #[default]
    Straight,
    /// At the steering stop.
    Lock,
}

/// One or both front wheels.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WheelsWord {
    /// Both.
    #[default]
    Both,
    /// Each alone.
    One,
}

/// The other end of a load cycle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CycleWord {
    /// The machine standing upright.
    #[default]
    Standing,
    /// No load.
    Unloaded,
    /// The same case in a turn to the other side.
    Opposite,
}

/// A file of load cases.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LoadCaseFile {
    /// Version of the form.
    pub version: u32,
    /// Name for people.
    pub name: String,
    /// Where its figures come from.
    pub source: String,
    /// The cases.
    pub load_cases: Vec<LoadCaseInput>,
}
