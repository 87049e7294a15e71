//! The job: a vehicle with freedoms, holds, requirements and goals becomes a search problem, and
//! vectors of that problem become candidates again. Wire types, validation, JSON Schema.
//!
//! No I/O, no clock, no threads: every answer is a pure function of the input text. Millimetres,
//! degrees and metres at this crate's border, as the field names say; radians inside.
//!
//! ```text
//! parse_vehicle(&str) -> Result<Vehicle, Vec<Fault>>        every fault at once
//! parse_job(&str)     -> Result<Job, Vec<Fault>>
//! job_schema() / vehicle_schema() -> serde_json::Value      JSON Schema 2020-12
//! Compiled::new(&Job) -> Result<Compiled, Vec<Fault>>
//!   .problem() -> search::Problem        variables are offsets in mm, goals in the job's order
//!   .scratch() -> Scratch                one per thread
//!   .evaluate(&[f64], &mut Scratch) -> search::Evaluation
//!   .round(&[f64]) -> Vec<f64>           to the workshop's grid, inside the ranges
//!   .candidate(&[f64]) -> Candidate      everything that is asked, with poses and margins
//!   .submitted() -> Candidate            the vehicle as submitted, with its holds solved
//!   .sensitivities(&[f64]) -> Sensitivities  change of every quantity per mm of every freedom
//!   .study(&[f64]) -> Study              what the workshop's errors make of a machine
//!   .findings() -> &[Finding]            goals no freedom changes, requirements always failed
//!   .goals() -> &[GoalInfo]
//!   .budget() -> Budget                  rounded, with epochs; .epoch_evaluations() -> u32
//!   .seed() -> u64, .front_size() -> usize
//! starts_from(&Job, &Job, &[Vec<f64>]) -> Result<Vec<Vec<f64>>, Vec<Fault>>
//! parse_as_built(&str) -> Result<AsBuilt, Vec<Fault>>
//! fit_as_built(&AsBuilt) -> Result<AsBuiltFit, Vec<Fault>>   deviations that explain readings
//!   check_as_built(&AsBuilt)           what can be said at once; fit_as_built_unless(…) can be halted
//! quantities() -> Vec<QuantityRow>       the table of quantities
//! assessment(&Vehicle, &Reach) -> Result<Assessment, Vec<Fault>>
//! assessment_in(&Vehicle, &Reach, Some(loading))   curves and stops of one state of loading
//! machine(&Vehicle) -> kinematics::Machine, settings(&Vehicle, &Reach) -> mechanics::Settings
//! pose(&Vehicle, &PoseQuestion) -> Result<PoseAnswer, PoseError>
//! Poser::new(&Vehicle)                   many poses of one vehicle, with its joints
//! ```

mod answer;
mod as_built;
mod assess;
mod assessed;
mod bearing;
mod body;
mod check;
mod compiled;
mod convert;
mod convert_parts;
mod curves;
mod effort;
mod fault;
mod handlebar;
mod job;
mod joints;
mod json;
mod layouts;
mod load_cases;
mod nearest;
mod notes;
mod parameter;
mod parse;
mod parts;
mod paths;
mod pose;
mod posed;
mod posed_parts;
mod quantities;
mod right_side;
mod rules;
mod schema;
mod sensitivity;
mod shape;
mod shipped;
mod stands;
mod states;
mod steering;
mod strength;
mod study;
mod tables;
mod tolerance;
mod vehicle;
mod warm;
mod whole;

pub use answer::*;
pub use as_built::*;
pub use assess::{assessment, assessment_in, check_tolerance, in_each_loading};
pub use assessed::*;
pub use bearing::BearingInput;
pub use body::*;
pub use compiled::{Compiled, Scratch};
pub use convert::{machine, settings};
pub use effort::EffortInput;
pub use fault::Fault;
pub use handlebar::*;
pub use job::*;
pub use joints::*;
pub use layouts::*;
pub use load_cases::*;
pub use notes::{CAUTIONS, NOTES, STUDY_NOTES};
pub use parse::{parse_as_built, parse_job, parse_vehicle};
pub use parts::*;
pub use pose::{Poser, pose};
pub use posed::*;
pub use posed_parts::*;
pub use quantities::{QuantityRow, quantities};
pub use right_side::*;
pub use schema::{as_built_schema, job_schema, vehicle_schema};
pub use sensitivity::*;
pub use shipped::{JOINTS, LOAD_CASES, MATERIALS, joint, load_case_source, load_cases, material};
pub use states::AS_DRAWN;
pub use steering::*;
pub use strength::{AxleSheet, LoadRow, SafetyRow, SpotRow, StandingRow, StrengthSheet};
pub use study::*;
pub use tolerance::*;
pub use vehicle::*;
pub use warm::starts_from;
