//! Wire types of the job file: a vehicle, what may move, what is asked.

use crate::layouts::LayoutInput;
use crate::tolerance::{At, Tolerance};
use crate::vehicle::Vehicle;
use serde::{Deserialize, Serialize};

/// A job file, version 1.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// Version of this file's form; 1 is the only one.
    #[serde(default = "one", deserialize_with = "crate::whole::read")]
    pub version: u32,
    /// A name for people.
    #[serde(default)]
    pub name: String,
    /// The machine that the search starts from.
    pub vehicle: Vehicle,
    /// Coordinates that may move.
    pub freedoms: Vec<Freedom>,
    /// Equalities, each solved exactly by one coordinate.
    #[serde(default)]
    pub holds: Vec<Hold>,
    /// Limits that a candidate must keep.
    #[serde(default)]
    pub requirements: Vec<Requirement>,
    /// One to six quantities to make small or large.
    pub goals: Vec<Goal>,
    /// The lean × steer corners that a rider reaches.
    #[serde(default)]
    pub reach: Reach,
    /// Errors of the machines that a workshop builds; for goals and requirements `at: "p95"` and
    /// for studies of candidates.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub tolerance: Tolerance,
    /// The workshop's grid, mm. Freedoms move by whole multiples of it, so that a point drawn on
    /// the grid stays on it and the submitted vehicle stays among the candidates. A coordinate
    /// that solves a hold keeps its exact value; each candidate also says what the held quantity
    /// becomes when the workshop sets that coordinate to its grid. Absent: any value.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grid_mm: Option<f64>,
    /// Further layouts, searched beside that of `vehicle` on the same terms; their fronts are laid
    /// over one another.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub layouts: Vec<LayoutInput>,
    /// The job whose front the search starts from, beside the submitted vehicle; absent: from the
    /// submitted vehicle alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_from: Option<StartFrom>,
    /// Budget, islands, seed, size of the answer.
    #[serde(default)]
    pub search: Search,
}

/// What a search starts from beside the submitted vehicle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StartFrom {
    /// Id of a job that is done, with the same freedoms; their ranges may differ.
    pub job: String,
}

/// When a search ends before its budget.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EarlyStop {
    /// Epochs over which the gain is taken.
    #[serde(deserialize_with = "crate::whole::read")]
    pub epochs: u32,
    /// The search ends when the islands' hypervolumes grew by less than this fraction on the mean;
    /// with one goal, their best values.
    pub gain: f64,
}

/// What may differ from the submitted vehicle: a coordinate, or a size from a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Freedom {
    /// A coordinate of a point.
    Point(PointFreedom),
    /// A size of a part.
    Choice(ChoiceFreedom),
    /// A joint of a catalogue.
    Joint(JointFreedom),
    /// The direction of a stud or bolt.
    Direction(DirectionFreedom),
}

impl Freedom {
    /// Smallest and largest offset from the submitted vehicle: mm of a coordinate or size, degrees
    /// of a direction, places in the list of a joint.
    pub fn offsets_mm(&self, vehicle: &Vehicle) -> [f64; 2] {
        match self {
            Freedom::Point(f) => [f.offset_from_mm, f.offset_to_mm],
            Freedom::Choice(f) => {
                let start = crate::parameter::get(vehicle, &f.parameter).unwrap_or(0.0);
                let ends = [f64::min, f64::max];
                ends.map(|end| f.choices.iter().copied().reduce(end).unwrap_or(start) - start)
            }
            Freedom::Joint(f) => {
                let start = f.start(vehicle);
                [-start, f.names.len() as f64 - 1.0 - start]
            }
            Freedom::Direction(f) => [f.offset_from_deg, f.offset_to_deg],
        }
    }
}

/// A size that may be any of a list, such as the bores that bearings are made with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChoiceFreedom {
    /// Path of the size, such as `stub_axle.sections.0.diameter_mm`.
    pub parameter: String,
    /// The sizes, in the parameter's unit.
    pub choices: Vec<f64>,
}

/// A joint that may be any of a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JointFreedom {
    /// Path of the joint, such as `joints.outer_rod_end`.
    pub parameter: String,
    /// Names in the vehicle's or the shipped catalogue; the submitted one among them.
    pub names: Vec<String>,
}

impl JointFreedom {
    /// Place of the submitted joint in the list.
    pub(crate) fn start(&self, vehicle: &Vehicle) -> f64 {
        let own = crate::parameter::joint(vehicle, &self.parameter);
        let place = self.names.iter().position(|name| Some(name) == own);
        place.unwrap_or(0) as f64
    }
}

/// The direction of a stud, socket or bolt, turned about an axis of the frame.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DirectionFreedom {
    /// Path of a direction that the vehicle gives, such as `fittings.outer_bolt`.
    pub direction: String,
    /// The axis that it is turned about, right-handed.
    pub about: Axis,
    /// Smallest offset, degrees.
    pub offset_from_deg: f64,
    /// Largest offset, degrees.
    pub offset_to_deg: f64,
}

/// A coordinate that may move, as offsets from the submitted vehicle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PointFreedom {
    /// Path of a point of the vehicle, such as `steering.rod_outer_mm`; on a symmetric machine
    /// it means both sides. `right.` in front names a point given in the vehicle's `right`.
    pub point: String,
    /// Which coordinate.
    pub axis: Axis,
    /// Smallest offset, mm.
    pub offset_from_mm: f64,
    /// Largest offset, mm.
    pub offset_to_mm: f64,
    /// Points that move along by the same offset.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub carries: Vec<String>,
}

/// A coordinate axis of the frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Axis {
    /// Forward.
    X,
    /// Left. On a symmetric machine the right side moves the other way.
    Y,
    /// Up.
    Z,
}

/// An equality, solved exactly by one coordinate in every candidate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hold {
    /// A quantity of the static set-up.
    pub quantity: String,
    /// Its value, in the quantity's unit.
    pub value: f64,
    /// The coordinate that is solved for.
    pub by: HoldBy,
    /// Which side's quantity; by default that of the solving point, left if it has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<SideName>,
}

/// The coordinate that solves a hold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HoldBy {
    /// Path of a point of the vehicle.
    pub point: String,
    /// Which coordinate.
    pub axis: Axis,
    /// Points that move along.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub carries: Vec<String>,
}

/// A side of the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SideName {
    /// y > 0.
    Left,
    /// y < 0.
    Right,
}

/// A limit on a quantity: `at_most`, `at_least` or `within`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Requirement {
    /// The quantity.
    pub quantity: String,
    /// Upper limit, in the quantity's unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
    /// Lower limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_least: Option<f64>,
    /// Lower and upper limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<[f64; 2]>,
    /// The poses; the quantity's own default if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<Over>,
    /// Taken at the 95th percentile of the machines built; as drawn if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
    /// The miss that counts as 1 when misses of different requirements are added; the unit's
    /// own default if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<f64>,
}

/// A quantity to make small or large.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Goal {
    /// The quantity to make small.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minimise: Option<String>,
    /// The quantity to make large.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maximise: Option<String>,
    /// The poses; the quantity's own default if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<Over>,
    /// Taken at the 95th percentile of the machines built; as drawn if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
    /// A value that the caller would like to see, in the quantity's unit. The candidates nearest to
    /// the aspirations of all goals are shown beside the front; the search is not changed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aspiration: Option<f64>,
}

/// Ranges of poses. Which of them a quantity takes stands in the table of quantities.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Over {
    /// Lean (ISO roll, positive leans right), degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<f64>>)]
    pub lean_deg: Option<[f64; 2]>,
    /// Crank angle about its own axis, degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<f64>>)]
    pub steer_deg: Option<[f64; 2]>,
    /// Mean travel (wheels up positive), mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<f64>>)]
    pub travel_mm: Option<[f64; 2]>,
    /// `true`: over the job's reach, for quantities whose default is another range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach: Option<bool>,
}

/// The lean × steer corners that a rider meets: lean into the turn balances the speed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Reach {
    /// Slowest and fastest speed, m/s.
    pub speed_mps: [f64; 2],
    /// Tightest and widest turn, m.
    pub radius_m: [f64; 2],
    /// The rider leans no further, degrees.
    pub lean_limit_deg: f64,
    /// Steering at zero lean up to the tightest turn counts too.
    pub parking: bool,
    /// The rider also leans this far out of a turn, degrees; 0: never.
    #[serde(skip_serializing_if = "is_zero")]
    pub lean_out_deg: f64,
    /// Side slope of the ground, degrees; the lean against the ground is that of the turn more or
    /// less so much.
    #[serde(skip_serializing_if = "is_zero")]
    pub side_slope_deg: f64,
}

fn is_zero(deg: &f64) -> bool {
    *deg == 0.0
}

impl Default for Reach {
    fn default() -> Self {
        Reach {
            speed_mps: [0.0, 8.0],
            radius_m: [2.5, 50.0],
            lean_limit_deg: 12.0,
            parking: true,
            lean_out_deg: 0.0,
            side_slope_deg: 0.0,
        }
    }
}

/// Settings of the search.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Search {
    /// Budget in evaluations; rounded up to whole epochs of all islands.
    #[serde(deserialize_with = "crate::whole::read")]
    pub evaluations: u64,
    /// Islands searched side by side; 1 uses one core.
    #[serde(deserialize_with = "crate::whole::read")]
    pub islands: u32,
    /// Seed of every random draw.
    #[serde(deserialize_with = "crate::whole::read")]
    pub seed: u64,
    /// Candidates of the front that are returned.
    #[serde(deserialize_with = "crate::whole::read")]
    pub front: u32,
    /// Front points that are polished after the search, 0 for none.
    #[serde(deserialize_with = "crate::whole::read")]
    pub polish_points: u32,
    /// Evaluations spent on each of them.
    #[serde(deserialize_with = "crate::whole::read")]
    pub polish_evaluations: u32,
    /// Candidates of the front that get a tolerance study after the search: those nearest to the
    /// aspirations, then knees, then others spread over the front. Absent: 8 where the job gives a
    /// `tolerance` or asks for a percentile, else none.
    #[serde(
        skip_serializing_if = "Option::is_none",
        deserialize_with = "crate::whole::read_some"
    )]
    pub study_points: Option<u32>,
    /// When to end before the budget is spent; absent: never.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub early_stop: Option<EarlyStop>,
}

impl Default for Search {
    fn default() -> Self {
        Search {
            evaluations: 50_000,
            islands: 8,
            seed: 1,
            front: 100,
            polish_points: 8,
            polish_evaluations: 1_000,
            study_points: None,
            early_stop: None,
        }
    }
}

fn is_usual(tolerance: &Tolerance) -> bool {
    *tolerance == Tolerance::default()
}

fn one() -> u32 {
    1
}
