//! Wire types of the answers about a job: candidate, findings, budget.

use crate::job::{Axis, Over, SideName};
use crate::layouts::LayoutPlace;
use crate::study::Study;
use crate::tolerance::At;
use crate::vehicle::{Point, Vehicle};
use serde::{Deserialize, Serialize};

/// One machine of the front, with every quantity that the job asks for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Candidate {
    /// Offset of each freedom, mm, in the job's order. Enough to compute all the rest again.
    pub vector: Vec<f64>,
    /// The machine assembles and every requirement is met.
    pub feasible: bool,
    /// Why the machine has no numbers, if it has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failure: Option<String>,
    /// What each goal came to, in the job's order.
    pub goals: Vec<QuantityValue>,
    /// What each requirement came to, in the job's order.
    pub requirements: Vec<QuantityValue>,
    /// What each hold came to, in the job's order.
    pub holds: Vec<HoldValue>,
    /// The points that differ from the submitted vehicle.
    pub hardpoints: Vec<Hardpoint>,
    /// The sizes chosen from lists, in the order of their freedoms.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sizes: Vec<Size>,
    /// The joints chosen from lists, in the order of their freedoms.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joints: Vec<ChosenJoint>,
    /// The directions that were turned.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub directions: Vec<TurnedDirection>,
    /// Lengths of the rods between their ends, mm: what sets the toe in the design pose.
    pub rod_lengths: RodLengths,
    /// The layout that it is of, where the job searches several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub layout: Option<LayoutPlace>,
    /// The whole machine as a vehicle file.
    #[schema(value_type = Object)]
    pub vehicle: Vehicle,
    /// What a workshop's errors make of it: for the candidates that the job studied.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub study: Option<Box<Study>>,
}

/// A quantity of a candidate or an assessment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct QuantityValue {
    /// Name in the table of quantities; its ending is the unit.
    pub quantity: String,
    /// `minimise`, `maximise`, `at_most`, `at_least`, `within`, or `report`.
    pub role: Role,
    /// The value in the quantity's unit; absent if no pose of `over` was reached.
    pub value: Option<f64>,
    /// The unit: `deg`, `mm`, `m`, …
    pub unit: String,
    /// The poses it was taken over, where it is a quantity over poses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<Over>,
    /// The pose where it is worst.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worst: Option<WorstPose>,
    /// Name of the state of loading where it is worst, if the vehicle gives more than one;
    /// `as drawn` is that of `masses`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state: Option<String>,
    /// The two parts that a clearance lies between, by their names.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<String>>)]
    pub between: Option<[String; 2]>,
    /// What ends or bounds it where it is a limit of the machine (`dead centre of the left rod`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<String>,
    /// The limit asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit: Option<Limit>,
    /// Distance to the limit in the quantity's unit, negative where it is broken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub margin: Option<f64>,
    /// Part of the asked range of poses that the machine does not reach, 0 to 1; of a percentile,
    /// if more, the share of the machines built that do not, beyond those it leaves out.
    pub shortfall: f64,
    /// The value is that of a percentile of the machines built; absent: of the drawing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
    /// Beside a percentile, the value as drawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_drawn: Option<f64>,
}

/// What a quantity was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// A goal: small is good.
    Minimise,
    /// A goal: large is good.
    Maximise,
    /// A requirement with an upper limit.
    AtMost,
    /// A requirement with a lower limit.
    AtLeast,
    /// A requirement with both.
    Within,
    /// Only reported.
    Report,
}

/// A limit with its origin.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Limit {
    /// Lower limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_least: Option<f64>,
    /// Upper limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
    /// Where the limit comes from.
    pub origin: String,
}

/// A pose named by what drives it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct WorstPose {
    /// Lean (ISO roll, positive leans right), degrees.
    pub lean_deg: f64,
    /// Crank angle, degrees; on a slider machine, and behind a handlebar's drag link, the
    /// handlebar's angle.
    pub steer_deg: f64,
    /// Mean travel, mm.
    pub travel_mm: f64,
    /// The side, where the quantity has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<SideName>,
    /// The joint, where one is meant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub joint: Option<JointName>,
    /// Index of the load case, from 0, where one is meant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_case: Option<u32>,
    /// Index of the state of loading, where one is meant: 0 is `masses`, then `loadings`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loading: Option<u32>,
    /// Index of the spot of the stub axle, where one is meant: the inner end of the section of
    /// that index; the number of sections for the place under the inner bearing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub axle_spot: Option<u32>,
}

/// A joint of one side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum JointName {
    /// Ball joint of the lower wishbone.
    LowerBall,
    /// Ball joint of the upper wishbone.
    UpperBall,
    /// Rod end on the crank.
    InnerRodEnd,
    /// Rod end on the knuckle.
    OuterRodEnd,
    /// The drag link's end on the crank.
    DragLinkInner,
    /// The drag link's end on the knuckle.
    DragLinkOuter,
    /// The end of the handlebar's drag link on the handlebar's arm.
    HandlebarLinkArm,
    /// The end of the handlebar's drag link on the crank.
    HandlebarLinkCrank,
    /// Front pivot of the lower wishbone, or the leg that leads to it.
    LowerFrontPivot,
    /// Rear pivot of the lower wishbone, or its leg.
    LowerRearPivot,
    /// Front pivot of the upper wishbone, or its leg.
    UpperFrontPivot,
    /// Rear pivot of the upper wishbone, or its leg.
    UpperRearPivot,
}

/// A joint chosen from a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ChosenJoint {
    /// Path of the joint in the vehicle file.
    pub parameter: String,
    /// Name as submitted.
    pub submitted: String,
    /// Name as chosen.
    pub chosen: String,
}

/// The direction of a stud, socket or bolt that was turned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct TurnedDirection {
    /// Path of the direction in the vehicle file.
    pub direction: String,
    /// As submitted; x forward, y left, z up.
    #[schema(value_type = Vec<f64>)]
    pub submitted: [f64; 3],
    /// As chosen, a unit vector.
    #[schema(value_type = Vec<f64>)]
    pub chosen: [f64; 3],
}

/// A size chosen from a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Size {
    /// Path of the size in the vehicle file.
    pub parameter: String,
    /// As submitted, mm.
    pub submitted_mm: f64,
    /// As chosen, mm.
    pub chosen_mm: f64,
}

/// What a hold came to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct HoldValue {
    /// The held quantity.
    pub quantity: String,
    /// Its unit.
    pub unit: String,
    /// The value asked for.
    pub value: f64,
    /// The value of this machine: that asked for to the solver's tolerance (1e-9 of its unit),
    /// except on the vehicle as submitted, whose holds are not solved.
    pub reached: f64,
    /// Which side's quantity.
    pub side: SideName,
    /// The point that was solved for.
    pub point: String,
    /// Its axis.
    pub axis: Axis,
    /// Solved offset from the submitted vehicle, mm; exact, not on the grid.
    pub offset_mm: f64,
    /// Solved coordinate, mm; exact, not on the grid.
    pub coordinate_mm: f64,
    /// What a workshop gets that sets this coordinate to its grid instead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_grid: Option<OnGrid>,
}

/// A held coordinate set to the workshop's grid.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct OnGrid {
    /// The nearest coordinate on the grid, mm.
    pub coordinate_mm: f64,
    /// The held quantity there, in its unit (all other coordinates unchanged).
    pub value: f64,
}

/// A point that differs from the submitted vehicle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Hardpoint {
    /// Path in the vehicle file.
    pub point: String,
    /// The other side's point is the mirror image of this one.
    pub mirrored: bool,
    /// Coordinates as submitted, mm.
    #[schema(value_type = Vec<f64>)]
    pub submitted_mm: Point,
    /// Coordinates of the candidate, mm.
    #[schema(value_type = Vec<f64>)]
    pub position_mm: Point,
    /// Their difference, mm.
    #[schema(value_type = Vec<f64>)]
    pub offset_mm: Point,
}

/// Lengths of the rods of the steering between the centres of their ends, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct RodLengths {
    /// The rod on the left knuckle, mm; of a cross rod the one rod.
    pub left_mm: f64,
    /// The rod on the right knuckle, mm; of a cross rod the same rod again.
    pub right_mm: f64,
    /// The drag link from the crank to a knuckle, mm, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drag_link_mm: Option<f64>,
    /// The drag link from the handlebar's arm to the crank, mm, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handlebar_link_mm: Option<f64>,
    /// The link between crank and idler, mm, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub centre_link_mm: Option<f64>,
}

/// Something that a caller should know before the search starts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Finding {
    /// JSON pointer into the job.
    pub pointer: String,
    /// Which finding.
    pub kind: FindingKind,
    /// What was found, one sentence without a full stop at its end.
    pub message: String,
}

/// Kinds of findings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum FindingKind {
    /// Every sampled candidate fails this requirement.
    RequirementFails,
    /// This freedom changes nothing that is asked for.
    FreedomIdle,
    /// Most sampled candidates cannot be built at all.
    SeldomAssembles,
    /// The submitted vehicle itself does not assemble with its holds.
    SubmittedFails,
}

/// The budget as it will be spent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Budget {
    /// Evaluations asked for.
    pub asked: u64,
    /// Evaluations of the search after rounding up to islands × epochs × evaluations per epoch.
    pub evaluations: u64,
    /// Islands.
    pub islands: u32,
    /// Epochs of each island.
    pub epochs: u32,
    /// Evaluations of one island in one epoch.
    pub epoch_evaluations: u32,
    /// Epochs of all islands that are one slice of work, of a very cheap job; 1: each epoch of each
    /// island is a slice of its own, and islands are searched side by side.
    #[serde(default = "one_epoch")]
    pub epochs_together: u32,
    /// Evaluations of the polish after the search, at most.
    pub polish_evaluations: u64,
    /// Candidates of the front that get a tolerance study after the polish, at most; beside the
    /// evaluations.
    #[serde(default)]
    pub studies: u32,
    /// Machines built in each study with all errors at once, before those with one error alone and
    /// those that say how exact a jig must be.
    #[serde(default)]
    pub study_machines: u32,
}

fn one_epoch() -> u32 {
    1
}

impl Budget {
    /// Slices of the search that are worked on side by side.
    pub fn lanes(&self) -> u32 {
        match self.epochs_together {
            0 | 1 => self.islands,
            _ => 1,
        }
    }

    /// Slices of the search behind one another.
    pub fn rounds(&self) -> u32 {
        self.epochs / self.epochs_together.max(1)
    }
}

/// A goal as columns and axes name it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct GoalInfo {
    /// The quantity.
    pub quantity: String,
    /// Its unit.
    pub unit: String,
    /// `minimise` or `maximise`.
    pub role: Role,
    /// The poses, where it is a quantity over poses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over: Option<Over>,
    /// At a percentile of the machines built; absent: as drawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
    /// What the caller would like to see, in the unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aspiration: Option<f64>,
}
