//! Wire types of the errors that a workshop makes.

use serde::{Deserialize, Serialize};

/// How far a machine as built lies from its drawing. Each coordinate of each hardpoint errs by
/// itself, left and right apart; a ball joint is one point in both its bodies. The rods are then
/// set to the toe of the drawing, as a builder would.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Tolerance {
    /// Standard deviation of the error, mm.
    pub sigma_mm: f64,
    /// Whether `sigma_mm` is that of each coordinate or of the distance from the drawn point (root
    /// mean square).
    pub per: SigmaOf,
    /// Points that err by another amount.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<PointTolerance>,
    /// Standard deviation of what is left in a rod's length after setting the toe, mm.
    pub rod_mm: f64,
    /// Standard deviation of the direction of studs and rod-end bolts across each of two axes,
    /// degrees.
    pub stud_deg: f64,
    /// Shape of the errors.
    pub distribution: Distribution,
    /// Machines built for each candidate.
    #[serde(deserialize_with = "crate::whole::read")]
    pub samples: u32,
    /// Seed of the errors; the same errors meet every candidate.
    #[serde(deserialize_with = "crate::whole::read")]
    pub seed: u64,
    /// How the errors are spread.
    pub method: Method,
}

impl Default for Tolerance {
    fn default() -> Self {
        Tolerance {
            sigma_mm: 0.5,
            per: SigmaOf::Coordinate,
            points: Vec::new(),
            rod_mm: 0.0,
            stud_deg: 0.0,
            distribution: Distribution::Normal,
            samples: 64,
            seed: 1,
            method: Method::LowDiscrepancy,
        }
    }
}

/// What a standard deviation is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SigmaOf {
    /// Of each of the three coordinates.
    Coordinate,
    /// Of the distance of the point from where it is drawn.
    Point,
}

/// A point with an error of its own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PointTolerance {
    /// Path of a point of the vehicle; without `right.` it means both sides.
    pub point: String,
    /// Its standard deviation, mm; 0 for a point that does not err.
    pub sigma_mm: f64,
}

/// The shape of errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Distribution {
    /// The normal distribution.
    Normal,
    /// Even between plus and minus √3 standard deviations.
    Uniform,
}

/// How errors are spread over the samples.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Owen-scrambled Sobol points: even in each coordinate.
    LowDiscrepancy,
    /// Independent random numbers.
    Random,
}

/// At which of the machines built a goal or requirement is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum At {
    /// The value that 95 % of the machines built are no worse than.
    P95,
}
