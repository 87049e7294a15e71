//! Wire types of the tolerance study of one machine.

use crate::answer::Role;
use crate::job::{Axis, Over};
use crate::tolerance::{Distribution, Method};
use serde::{Deserialize, Serialize};

/// What a workshop's errors make of one machine. Everything hangs on the job and the vector alone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Study {
    /// Offsets of the machine, mm, in the job's order of freedoms.
    pub vector: Vec<f64>,
    /// Why there is no study: the machine itself does not assemble.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failure: Option<String>,
    /// Standard deviation of the errors, mm.
    pub sigma_mm: f64,
    /// Their shape.
    pub distribution: Distribution,
    /// How they are spread.
    pub method: Method,
    /// Their seed.
    pub seed: u64,
    /// Machines built.
    pub samples: u32,
    /// Of them, those that do not assemble.
    pub unassembled: u32,
    /// Errors of each machine: coordinates, rods, studs.
    pub errors: u32,
    /// The job's goals, then its requirements, then every other quantity over its usual poses.
    pub quantities: Vec<QuantityStudy>,
    /// What the model leaves out.
    pub notes: Vec<String>,
    /// What a reader must keep in mind before building or riding by these numbers.
    pub cautions: Vec<String>,
}

/// What the errors make of one quantity.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct QuantityStudy {
    /// Name in the table of quantities.
    pub quantity: String,
    /// Its unit.
    pub unit: String,
    /// What the job wants of it.
    pub role: Role,
    /// The poses it is taken over, where it is a quantity over poses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<Over>,
    /// Which values are the worse ones; percentiles count from the better end.
    pub worse: WorseValues,
    /// The value as drawn; absent if no pose of `over` is reached.
    pub nominal: Option<f64>,
    /// Half of the machines built are no worse than this.
    pub p50: Option<f64>,
    /// 95 % of the machines built are no worse than this.
    pub p95: Option<f64>,
    /// Where the 95th percentile of endlessly many machines lies with a confidence of 90 % or
    /// more, by the binomial ranks of independent samples; the better end first. Low-discrepancy
    /// samples come closer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<f64>>)]
    pub p95_between: Option<[f64; 2]>,
    /// The worst of the machines built.
    pub worst: Option<f64>,
    /// Standard deviation over the machines built.
    pub deviation: Option<f64>,
    /// Machines that do not assemble or reach part of the poses only; they count as the worst.
    /// Where the drawing reaches a part only, that part counts, and only machines without any.
    pub missing: u32,
    /// The three errors that matter most, the strongest first.
    pub causes: Vec<Cause>,
    /// How exact the workshop must be for a requirement; absent where the job sets no limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jig: Option<Jig>,
}

/// Which values of a quantity are the worse ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum WorseValues {
    /// Large ones.
    Larger,
    /// Small ones.
    Smaller,
    /// Those far from the middle of the requirement's range, else from the value as drawn.
    Away,
}

/// One error and what it does to a quantity.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Cause {
    /// Path of the point, `left rod length`, `right lower stud`, …
    pub of: String,
    /// The coordinate of a point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axis: Option<Axis>,
    /// Change of the quantity for one standard deviation of this error alone, half the way from
    /// minus to plus one.
    pub change: f64,
    /// Its square as a share of the same of all errors, 0 to 1.
    pub share: f64,
}

/// The exactness that keeps a requirement in 95 % of the machines built.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Jig {
    /// The standard deviation that keeps it, mm; all errors shrink or grow by one factor. Between
    /// six trial factors from 1/8 to 4 it is interpolated. Absent with a note.
    pub sigma_mm: Option<f64>,
    /// Why there is no figure, or what it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}
