//! Jobs, slices and results on sqlx. Sees inputs, checkpoints, events and results as bytes; knows no
//! HTTP, no mechanics and no search.
//!
//! A **job** is what a caller submits. It is cut into **slices**, each named by (job, island, epoch).
//! A worker claims a slice under a lease, computes it as a pure function of stored inputs, and stores
//! its checkpoint and tells its successors in one transaction. Three rules carry the whole:
//!
//! * All time comes from the database, in integer milliseconds since 1970.
//! * Every write of a worker carries the fencing token of its claim; when the row no longer holds
//!   that token, nothing is written and the caller gets [`Error::LeaseLost`].
//! * A finished job is final: done, failed and cancelled never change.

mod checkpoints;
mod claim;
mod complete;
mod db;
mod error;
mod events;
mod ids;
mod jobs;
mod labels;
mod lock;
mod model;
mod options;
mod publish;
mod rescue;
mod results;
mod schema;
mod store;
mod submit;
mod text;
mod workers;

pub use error::{Error, OpenError};
pub use ids::JobId;
pub use model::{
    Claim, Completion, Event, Job, JobFilter, JobState, NewJob, Page, Priority, Published, Rescued,
    SliceKey, SliceKind, StoredFront, Submitted, Successor, WorkerInfo, WorkerRow,
};
pub use options::Options;
pub use store::Store;
