//! The HTTP API over axum: resources under /v1, problem documents, OpenAPI from code.
//!
//! Every error is a [`Problem`] document. Listens on the own machine unless a token is given;
//! Host and Origin are checked, bodies are JSON of bounded size, and nothing is granted to other
//! origins. Computes nothing itself: jobs go to the store, single vehicles to one bounded thread.

mod against;
mod assessed;
mod body;
mod compared;
mod comparison;
mod compute;
mod convert;
mod extract;
mod fitted;
mod forms;
mod garage;
mod guard;
mod job_file;
mod limits;
mod made_ready;
mod metrics;
mod negotiate;
mod openapi;
mod patience;
mod problem;
mod problem_kind;
mod published;
mod refusals;
mod report;
mod router;
mod routes;
mod server;
mod state;
mod submission;
mod time;
mod warm;
mod wire;

pub use comparison::{ComparedHardpoint, ComparedQuantity, Comparison};
pub use convert::{faulty, no_pose, store_problem};
pub use drawing::{Column, columns, poses};
pub use fitted::Fitted;
pub use forms::parquet;
pub use garage::{MachineRef, SavedVehicleList, SavedVehicleStatus, SavedVersion};
pub use guard::{Hosts, Token, TokenError};
pub use job_file::MEDIA_TYPE as JOB_FILE_TYPE;
pub use limits::Limits;
pub use openapi::document as openapi_document;
pub use problem::{InputFault, MEDIA_TYPE, Problem};
pub use problem_kind::{KINDS, Kind};
pub use published::{candidates, fit, front, read};
pub use report::Finished;
pub use router::router;
pub use server::{ListenError, listen, serve};
pub use state::{App, Setup};
pub use submission::{CALLER, Life, Prepared, SubmittedJob, prepare, submit};
pub use wire::{JobEvent, JobLinks, JobList, JobStatus};
