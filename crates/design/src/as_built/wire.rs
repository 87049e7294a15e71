//! Wire types of the fit of a machine as built.

use crate::job::{Axis, SideName};
use crate::vehicle::Vehicle;
use serde::{Deserialize, Serialize};

/// What a fit is asked by.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AsBuilt {
    /// Says that a job is a fit; needed where jobs of all kinds are taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<AsBuiltKind>,
    /// A name for people.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// The machine as drawn.
    pub vehicle: Vehicle,
    /// What was read off the machine as built.
    #[serde(default)]
    pub readings: Vec<Reading>,
    /// Points that were measured on the machine as built.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub measured: Vec<Measured>,
    /// How exact the readings are.
    #[serde(default)]
    pub exactness: Exactness,
    /// What may deviate from the drawing. Rods that are not named have the length of the drawing.
    #[serde(default)]
    pub unknowns: Vec<Unknown>,
    /// What may be changed to bring the readings back to those of the drawing; none: nothing is
    /// proposed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<Unknown>,
}

/// The word for a job that fits a machine as built.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AsBuiltKind {
    /// The only one.
    AsBuilt,
}

/// A point measured on the machine as built, in frame axes. All three coordinates may deviate
/// from what was measured as far as its uncertainty says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measured {
    /// Path of the point; with `right.` in front on the right side.
    pub point: String,
    /// Where it was found, mm.
    pub at_mm: [f64; 3],
    /// Standard deviation of each coordinate, mm.
    pub sigma_mm: f64,
}

/// Figures read in one pose. A figure that was not read is absent.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Reading {
    /// Lean (ISO roll, positive leans right), degrees.
    pub lean_deg: f64,
    /// Crank angle about its own axis, degrees.
    pub steer_deg: f64,
    /// Mean travel of the wheels, mm, wheels up positive; absent: as the coupling holds it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mean_travel_mm: Option<f64>,
    /// Toe-in of the left wheel against the rear heading, degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub toe_left_deg: Option<f64>,
    /// Toe-in of the right wheel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub toe_right_deg: Option<f64>,
    /// Camber of the left wheel against the ground, degrees, top outward positive.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub camber_left_deg: Option<f64>,
    /// Camber of the right wheel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub camber_right_deg: Option<f64>,
    /// Height of the frame's origin above its place in the drawing, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<f64>,
}

/// Standard deviations of the readings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Exactness {
    /// Of toe, degrees.
    pub toe_deg: f64,
    /// Of camber, degrees.
    pub camber_deg: f64,
    /// Of height, mm.
    pub height_mm: f64,
}

impl Default for Exactness {
    fn default() -> Self {
        Exactness {
            toe_deg: 0.05,
            camber_deg: 0.1,
            height_mm: 0.5,
        }
    }
}

/// A coordinate of a point or the length of a rod, on one side or each side by itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unknown {
    /// Path of a point of the vehicle without `right.`, or `rod_length`.
    pub of: String,
    /// The coordinate; absent for a rod.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axis: Option<Axis>,
    /// The side; absent: both, each by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<SideName>,
    /// What is expected before anything is read: the standard deviation around the drawing, or of
    /// a measured coordinate, mm. For a change: what costs one unit of effort.
    pub sigma_mm: f64,
    /// The most it may deviate either way, mm; by default ten standard deviations.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_mm: Option<f64>,
}

/// What the readings say of a machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct AsBuiltFit {
    /// Figures read.
    pub readings: u32,
    /// Each figure as read, drawn, fitted and mended, in the order of the readings.
    pub figures: Vec<FigureRow>,
    /// The deviations, those that are surest first.
    pub deviations: Vec<Deviation>,
    /// Misfit of the drawing and of the fitted machine against the readings.
    pub misfit: Vec<Misfit>,
    /// Weighted sum of squared misfits of the fitted machine; about the count of readings less
    /// that of the deviations they can tell where the model explains them.
    pub chi_square: f64,
    /// The readings are explained: chi square lies within what chance allows 99 times in 100.
    pub explained: bool,
    /// Deviations that the readings tell little about: their uncertainty hardly shrank.
    pub unseen: Vec<String>,
    /// Pairs that the readings tell together only.
    pub inseparable: Vec<Pair>,
    /// The machine as fitted, as a vehicle file.
    #[schema(value_type = Object)]
    pub vehicle: Vehicle,
    /// The smallest change that brings the readings back; absent where none was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remedy: Option<Remedy>,
    /// What the model leaves out.
    pub notes: Vec<String>,
    /// What a reader must keep in mind before building or riding by these numbers.
    pub cautions: Vec<String>,
}

/// One figure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct FigureRow {
    /// Index of its reading, from 0.
    pub reading: u32,
    /// Its field, such as `toe_left_deg`.
    pub figure: String,
    /// As read.
    pub read: f64,
    /// Of the drawing.
    pub drawn: f64,
    /// Of the fitted machine.
    pub fitted: f64,
    /// After the change.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mended: Option<f64>,
}

/// One deviation from the drawing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Deviation {
    /// Path of the point, or the rod.
    pub of: String,
    /// The coordinate of a point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axis: Option<Axis>,
    /// The side; absent for what belongs to none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<SideName>,
    /// Built less drawn, mm.
    pub deviation_mm: f64,
    /// Its standard deviation after the readings, mm.
    pub sigma_mm: f64,
    /// The same before, mm; of a measured coordinate that of the measurement.
    pub before_mm: f64,
    /// As measured, less drawn, mm; absent where it was not measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measured_mm: Option<f64>,
    /// It stands at its bound.
    pub at_bound: bool,
}

/// Misfit of one kind of reading, root mean square.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Misfit {
    /// `toe_deg`, `camber_deg` or `height_mm`.
    pub kind: String,
    /// Figures of this kind.
    pub count: u32,
    /// Of the drawing.
    pub drawn: f64,
    /// Of the fitted machine.
    pub fitted: f64,
}

/// Two deviations that the readings cannot tell apart.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Pair {
    /// One.
    pub one: String,
    /// The other.
    pub other: String,
    /// Correlation of their uncertainties after the readings.
    pub correlation: f64,
}

/// A change of the fitted machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Remedy {
    /// The changes, mm, in the order asked for.
    pub changes: Vec<Change>,
    /// Difference from the drawing's own figures, before and after: in the poses read, and over
    /// lean to 10° and travel to 30 mm either way as far as both machines reach.
    pub misfit: Vec<Misfit>,
    /// The machine after the change, as a vehicle file.
    #[schema(value_type = Object)]
    pub vehicle: Vehicle,
}

/// One change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Change {
    /// Path of the point, or the rod.
    pub of: String,
    /// The coordinate of a point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axis: Option<Axis>,
    /// The side; absent for what belongs to none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<SideName>,
    /// By how much, mm.
    pub by_mm: f64,
}
