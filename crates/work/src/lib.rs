//! The worker: claims a slice, runs it on a thread of its own, stores it. Store, design and search;
//! no HTTP.
//!
//! A slice is a pure function of the job's input and of stored checkpoints ([`slices`]), so a job's
//! result is the same to the last bit for any number of workers and threads, whatever was killed in
//! between. [`Worker`] is what surrounds these functions: claims, leases, progress, a graceful stop.
//!
//! | kind | reads | leaves | wakes |
//! | --- | --- | --- | --- |
//! | search (island, epoch) | its own last epoch and its ring neighbour's | the island | both on the ring, or the merge |
//! | merge | every island | one archive | a polish per chosen point, else studies or publish |
//! | polish | the archive | one refined point and all it saw | every study, or publish |
//! | study | the archive and all polishes | one candidate's study | publish |
//! | publish | the archive, all polishes and all studies | the result | nothing |
//!
//! A fit of a machine as built is a study, which leaves the fit, and a publish that reads it.

mod as_built;
mod build;
mod cache;
mod claims;
mod compile;
mod documents;
mod found;
mod model;
mod of_search;
mod options;
mod plan;
mod progress;
mod run;
pub mod slices;
mod thread;
mod together;
mod worker;

pub use build::build_id;
pub use compile::compile;
pub use documents::{
    ArchiveRow, BestValue, BlockRow, Blocks, EndedBy, FrontDocument, FrontRow, LayoutRow,
    ProgressDocument, ScaleRow, SearchEnd, StartsDocument,
};
pub use found::{FoundDocument, found};
pub use model::{Compile, Described, Evaluator, Model};
pub use options::WorkerOptions;
pub use plan::{AfterMerge, Plan};
pub use worker::{StartError, Worker};
