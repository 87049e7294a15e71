//! Jobs and events as they stand on the wire, made by hand from what the store holds.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::JobKind;
use utoipa::ToSchema;
use work::ProgressDocument;

use crate::time::rfc3339;

/// A job as it stands.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct JobStatus {
    /// Name of the job in addresses: 16 hexadecimal digits.
    #[schema(example = "00f1e2d3c4b5a697")]
    pub id: String,
    /// What it is: `search`, or `as_built` for the fit of a machine as built.
    #[serde(default)]
    #[schema(example = "search")]
    pub kind: String,
    /// Name given by the caller.
    pub name: String,
    /// `queued`, `running`, `done`, `failed` or `cancelled`; the last three are final.
    #[schema(example = "running")]
    pub state: String,
    /// Claims on its slices are blocked.
    #[serde(default)]
    pub paused: bool,
    /// `urgent`, `normal` or `background`: which jobs' slices are claimed first.
    #[serde(default)]
    #[schema(example = "normal")]
    pub priority: String,
    /// Words by which its caller sorts jobs.
    #[serde(default)]
    pub labels: Vec<String>,
    /// The job that it was made from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parent: Option<String>,
    /// Days that it is kept after its end; absent: until it is deleted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keep_days: Option<u32>,
    /// Why the job failed; absent otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// Evaluations the whole job will spend.
    pub planned_evaluations: u64,
    /// Slices searched side by side: the islands; 1 for a very cheap job, which has them in one slice.
    pub islands: u32,
    /// What the search has found so far; absent before the first figures.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub progress: Option<ProgressDocument>,
    /// Number of the newest event.
    pub last_event: u64,
    /// The build that computes it, from the first claim on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub build: Option<String>,
    /// SHA-256 of the submitted bytes.
    pub input_sha256: String,
    /// When it was submitted.
    #[schema(format = DateTime)]
    pub created_at: String,
    /// When its first slice was claimed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(format = DateTime)]
    pub started_at: Option<String>,
    /// When it was over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(format = DateTime)]
    pub finished_at: Option<String>,
    /// When it was taken in from another store.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(format = DateTime)]
    pub imported_at: Option<String>,
    /// Where the rest of it stands.
    pub links: JobLinks,
}

/// Addresses belonging to a job.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct JobLinks {
    /// The job itself.
    pub job: String,
    /// Its events, as a stream.
    pub events: String,
    /// Its input, as submitted.
    pub input: String,
    /// The front of a search, once done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub front: Option<String>,
    /// The fit of a machine as built, once done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fit: Option<String>,
    /// Its report, once done.
    #[serde(default)]
    pub report: String,
    /// All of it as one file, once it is over.
    #[serde(default)]
    pub export: String,
}

impl From<store::Job> for JobStatus {
    fn from(job: store::Job) -> Self {
        let links = JobLinks::of(job.id.as_str(), &job.kind);
        Self {
            id: job.id.to_string(),
            kind: job.kind,
            name: job.name,
            state: job.state.as_str().to_owned(),
            paused: job.paused,
            priority: job.priority.as_str().to_owned(),
            labels: job.labels,
            parent: job.parent.map(|parent| parent.to_string()),
            keep_days: job.keep_days,
            reason: job.reason,
            planned_evaluations: job.planned,
            islands: job.islands,
            progress: job.progress.as_deref().and_then(read),
            last_event: job.last_event,
            build: job.build,
            input_sha256: job.input_sha256,
            created_at: rfc3339(job.created_at),
            started_at: job.started_at.map(rfc3339),
            finished_at: job.finished_at.map(rfc3339),
            imported_at: job.imported_at.map(rfc3339),
            links,
        }
    }
}

impl JobLinks {
    fn of(id: &str, kind: &str) -> Self {
        let job = format!("/v1/jobs/{id}");
        let only = |of: JobKind, what: &str| (kind == of.as_str()).then(|| format!("{job}/{what}"));
        Self {
            events: format!("{job}/events"),
            input: format!("{job}/input"),
            front: only(JobKind::Search, "front"),
            fit: only(JobKind::AsBuilt, "fit"),
            report: format!("{job}/report"),
            export: format!("{job}/export"),
            job,
        }
    }
}

/// One page of jobs.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct JobList {
    /// Newest first.
    pub jobs: Vec<JobStatus>,
    /// Give this as `cursor` to get the next page; absent on the last page.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next_cursor: Option<String>,
}

impl From<store::Page> for JobList {
    fn from(page: store::Page) -> Self {
        Self {
            jobs: page.jobs.into_iter().map(JobStatus::from).collect(),
            next_cursor: page.next,
        }
    }
}

/// One event of a job.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct JobEvent {
    /// Counts from 1 within a job, without gaps.
    pub number: u64,
    /// `submitted`, `started`, `progress`, `merged`, `polished`, `studied`, `done`, `failed`,
    /// `cancelled`, `paused`, `resumed`, `rescued`, `rewound`, `stopped` (early) or `restarted`.
    pub kind: String,
    /// When it happened.
    #[schema(format = DateTime)]
    pub at: String,
    /// What belongs to this kind of event.
    #[schema(value_type = Object)]
    pub body: Value,
}

impl From<store::Event> for JobEvent {
    fn from(event: store::Event) -> Self {
        Self {
            number: event.number,
            kind: event.kind,
            at: rfc3339(event.at),
            body: read(&event.body).unwrap_or_default(),
        }
    }
}

/// JSON that this project itself stored; what another build wrote differently is left out.
fn read<T: DeserializeOwned>(bytes: &[u8]) -> Option<T> {
    serde_json::from_slice(bytes).ok()
}
