//! What goes in and out of the store, as plain data.

use crate::ids::JobId;
use crate::kind::JobKind;
use crate::words::{JobState, Priority, SliceKind};

/// The place of a slice in its job. Search slices use their epoch; what follows the search uses the
/// epochs after the last, so that one pair of numbers names every slice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SliceKey {
    /// Counted from 0; compared first, so that keys sort in the order in which rows are touched.
    pub epoch: u32,
    /// Counted from 0; the index of the point for polish and study.
    pub island: u32,
}

/// A slice that a finishing one tells of its arrival.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Successor {
    /// Its place.
    pub key: SliceKey,
    /// What it does.
    pub kind: SliceKind,
    /// How many slices it waits for in all, at least 1.
    pub inputs: u32,
}

/// A job to submit.
#[derive(Clone, Debug)]
pub struct NewJob {
    /// Whose job it is; `"local"` until access keys name callers.
    pub caller: String,
    /// What it is.
    pub kind: JobKind,
    /// The name shown in lists; may be empty.
    pub name: String,
    /// Labels, at most 20 of at most 100 bytes each; repeats are dropped.
    pub labels: Vec<String>,
    /// Class for claims.
    pub priority: Priority,
    /// The bytes that the caller sent, kept as they are and handed to workers.
    pub input: Vec<u8>,
    /// Where the search starts from, opaque here, when the input says another job.
    pub starts: Option<Vec<u8>>,
    /// The caller's idempotency key, if it sent one.
    pub idempotency_key: Option<String>,
    /// Number of islands: that many slices of epoch 0 are made.
    pub islands: u32,
    /// Epochs of search, at least 1.
    pub epochs: u32,
    /// Evaluations that the whole job will spend.
    pub planned: u64,
    /// The job that this one was made from.
    pub parent: Option<JobId>,
    /// Days to keep it after it ended; `None` keeps it until it is deleted.
    pub keep_days: Option<u32>,
}

/// All that a job is a function of, beside the build.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct JobInput {
    /// The bytes that the caller sent.
    pub input: Vec<u8>,
    /// Where the search starts from, taken from another job at submission.
    pub starts: Option<Vec<u8>>,
}

/// The answer to a submission.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Submitted {
    /// The job: the new one, or the first one under the same key.
    pub id: JobId,
    /// Whether this call made it.
    pub created: bool,
}

/// A job as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Its public name.
    pub id: JobId,
    /// Whose it is.
    pub caller: String,
    /// The word of its kind; a newer build may have kinds that this one does not know.
    pub kind: String,
    /// The name given.
    pub name: String,
    /// Sorted.
    pub labels: Vec<String>,
    /// Class for claims.
    pub priority: Priority,
    /// Where it is in its life.
    pub state: JobState,
    /// Whether claims are blocked.
    pub paused: bool,
    /// Why it failed.
    pub reason: Option<String>,
    /// SHA-256 of the input, lower-case hex.
    pub input_sha256: String,
    /// Number of islands.
    pub islands: u32,
    /// Epochs of search; after an early stop, those that it had.
    pub epochs: u32,
    /// Epochs as submitted, after an early stop only.
    pub asked_epochs: Option<u32>,
    /// The first epoch that this job computed itself: above 0 where it extends another.
    pub first_epoch: u32,
    /// Evaluations that the whole job will spend, at most.
    pub planned: u64,
    /// The build that it is pinned to, from the first claim on.
    pub build: Option<String>,
    /// The job that it was made from.
    pub parent: Option<JobId>,
    /// The newest progress record, as the worker wrote it.
    pub progress: Option<Vec<u8>>,
    /// The number of its newest event; events count from 1.
    pub last_event: u64,
    /// Days it is kept after it ended.
    pub keep_days: Option<u32>,
    /// When it was submitted, ms since 1970.
    pub created_at: i64,
    /// When its first slice was claimed, ms since 1970.
    pub started_at: Option<i64>,
    /// When it ended, ms since 1970.
    pub finished_at: Option<i64>,
    /// When it came from another store, ms since 1970.
    pub imported_at: Option<i64>,
}

/// Which jobs to list, newest first. The default lists all of them, 50 to a page.
#[derive(Clone, Debug, Default)]
pub struct JobFilter {
    /// Only jobs of this caller.
    pub caller: Option<String>,
    /// Only jobs in this state.
    pub state: Option<JobState>,
    /// Only jobs that carry this label.
    pub label: Option<String>,
    /// Only jobs whose name contains this text; letter case is ignored for a to z.
    pub name: Option<String>,
    /// Only jobs that were made from this one.
    pub parent: Option<JobId>,
    /// The cursor of the page before, from [`Page::next`].
    pub cursor: Option<String>,
    /// Jobs to a page, 1 to 200; 0 stands for 50.
    pub limit: u32,
}

/// One page of a list of jobs.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Newest first.
    pub jobs: Vec<Job>,
    /// Cursor of the next page; `None` on the last.
    pub next: Option<String>,
}

/// One event of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Counts from 1 without gaps within a job.
    pub number: u64,
    /// A word: `submitted`, `started`, `progress`, `merged`, `polished`, `studied`, `done`, `failed`,
    /// `cancelled`, `paused`, `resumed`, `rescued`, `rewound`, `stopped` or `restarted`.
    pub kind: String,
    /// When, ms since 1970.
    pub at: i64,
    /// A JSON object in bytes, `{}` when there is no more to say.
    pub body: Vec<u8>,
}

/// A claimed slice: what to do, and the token that every write about it carries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// The job.
    pub job: JobId,
    /// What the job is.
    pub job_kind: JobKind,
    /// What to do.
    pub kind: SliceKind,
    /// Which slice.
    pub key: SliceKey,
    /// Which worker claimed it.
    pub worker: String,
    /// The build it runs on, which the job is pinned to.
    pub build: String,
    /// Epochs of search that the job has: fewer than submitted after an early stop.
    pub epochs: u32,
    /// The search was stopped early.
    pub stopped: bool,
    /// The fencing token.
    pub token: i64,
    pub(crate) slice: i64,
    pub(crate) job_seq: i64,
}

/// What a slice leaves when it is complete.
#[derive(Clone, Debug, Default)]
pub struct Completion<'a> {
    /// The bytes for its readers.
    pub checkpoint: &'a [u8],
    /// How many slices will read them; when all have, the bytes are deleted. One more than that keeps
    /// them for as long as the job.
    pub readers: u32,
    /// The slices whose checkpoints this one read, each counted off once.
    pub read: &'a [SliceKey],
    /// The slices to tell, in any order.
    pub successors: &'a [Successor],
    /// Evaluations that it spent.
    pub evaluations: u64,
    /// An event to write with it: kind and body.
    pub event: Option<(&'a str, &'a [u8])>,
    /// For a search slice of a job that may stop early. Its checkpoint then needs one more reader: it
    /// is held until the border is decided.
    pub border: Option<Border>,
}

/// Whether islands gained less than a fraction between two borders: figures at the earlier and at the
/// later one, in island order.
pub type HasSettled = fn(&[Option<f64>], &[Option<f64>], f64) -> bool;

/// What decides an early stop at the border behind an epoch.
#[derive(Clone, Copy, Debug)]
pub struct Border {
    /// How far this island has come; more is better.
    pub figure: Option<f64>,
    /// Epochs between the figures that are compared.
    pub window: u32,
    /// The gain below which the search ends.
    pub gain: f64,
    /// Whether the islands gained less than that from the earlier figures, in island order, to the
    /// later ones. Must be a pure function.
    pub has_settled: HasSettled,
}

/// A whole result.
#[derive(Clone, Debug, Default)]
pub struct Published {
    /// The front as one document.
    pub front: Vec<u8>,
    /// The candidates in the order of the front.
    pub candidates: Vec<Vec<u8>>,
    /// Body of the `done` event and the job's last progress record.
    pub event: Vec<u8>,
}

/// A published front.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredFront {
    /// The document.
    pub body: Vec<u8>,
    /// Its SHA-256, lower-case hex: an entity tag.
    pub sha256: String,
    /// When it was published, ms since 1970.
    pub published_at: i64,
}

/// What a rescue did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Rescued {
    /// Slices given back to be claimed again.
    pub slices: u32,
    /// Jobs ended because one slice lost too many workers.
    pub failed_jobs: u32,
}

/// Who a worker is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkerInfo {
    /// Its name, unique to the process and its start.
    pub name: String,
    /// Its build.
    pub build: String,
    /// Its compute threads.
    pub threads: u32,
}

/// A worker as last seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkerRow {
    /// Who it is.
    pub info: WorkerInfo,
    /// When it first spoke, ms since 1970.
    pub started_at: i64,
    /// When it last spoke, ms since 1970.
    pub seen_at: i64,
    /// Whether it spoke within three leases of the database's now, and not of its end.
    pub alive: bool,
    /// Slices that it completed.
    pub slices: u64,
}
