//! Jobs, slices, results and saved vehicles on sqlx. Sees inputs, vehicles, checkpoints, events and
//! results as bytes; knows no HTTP, no mechanics and no search.
//!
//! A **job** is what a caller submits. It is cut into **slices**, each named by (job, island, epoch).
//! A worker claims a slice under a lease, computes it as a pure function of stored inputs, and stores
//! its checkpoint and tells its successors in one transaction. Three rules carry the whole:
//!
//! * All time comes from the database, in integer milliseconds since 1970.
//! * Every write of a worker carries the fencing token of its claim; when the row no longer holds
//!   that token, nothing is written and the caller gets [`Error::LeaseLost`].
//! * A finished job is final: done, failed and cancelled never change.
//!
//! # Room
//!
//! A job of 10^8 evaluations on 8 islands, 5,000 to a slice, is 20,000 slices of 82 bytes in SQLite:
//! 1.6 MB; a progress event a second adds 2.5 MB an hour at most. Checkpoints do not add up: three
//! epochs of each island at most stand at a time (30 to 50 kB each in the rod-ends demo; a full archive
//! of 30 freedoms is some 600 kB), one after the job is done. A front of 100 candidates takes 0.4 MB,
//! each study of one 41 kB more. The figures are measured by the program `room` of the tests.

mod border;
mod checkpoints;
mod claim;
mod complete;
mod db;
mod error;
mod events;
mod export;
mod extend;
mod fault_point;
mod ids;
mod import;
mod jobs;
mod kind;
mod labels;
mod life;
mod lists;
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
mod vehicles;
mod words;
mod workers;

pub use error::{Error, OpenError};
pub use export::{Exported, ExportedCheckpoint, ExportedResult};
pub use fault_point::fault_point;
pub use ids::{JobId, VehicleId};
pub use kind::JobKind;
pub use model::{
    Border, Claim, Completion, Event, HasSettled, Job, JobFilter, JobInput, NewJob, Page,
    Published, Rescued, SliceKey, StoredFront, Submitted, Successor, WorkerInfo, WorkerRow,
};
pub use options::Options;
pub use store::{Migrated, Store};
pub use vehicles::{
    MOST_VEHICLES, MOST_VERSIONS, NewVehicle, NewVersion, SavedVehicle, StoredVersion,
    VehicleChange, VehicleFilter, VehiclePage, VersionRow,
};
pub use words::{JobState, Priority, SliceKind};
