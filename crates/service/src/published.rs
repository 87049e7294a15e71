//! Published results, read back from the store.

use design::Candidate;
use serde::de::DeserializeOwned;
use store::{Job, JobKind, JobState, Store, StoredFront};

use crate::convert::store_problem;
use crate::extract::job_id;
use crate::problem::Problem;
use crate::problem_kind::Kind;

/// The front of a finished job.
///
/// # Errors
/// [`Kind::NotFound`] for no such job, [`Kind::NoFront`] for a job that is not done,
/// [`Kind::NotPossible`] for one that is no search.
pub async fn front(store: &Store, job: &str) -> Result<StoredFront, Problem> {
    must_be_done(store, job).await?;
    store.front(&job_id(job)?).await.map_err(store_problem)
}

/// One candidate of a finished job as the bytes that were published.
///
/// # Errors
/// As [`front`], and [`Kind::NotFound`] for a number beyond the front.
pub async fn candidate_bytes(store: &Store, job: &str, number: u32) -> Result<Vec<u8>, Problem> {
    must_be_done(store, job).await?;
    let found = store.candidate(&job_id(job)?, number).await;
    found.map_err(store_problem)
}

/// One candidate of a finished job.
///
/// # Errors
/// As [`candidate_bytes`].
pub async fn candidate(store: &Store, job: &str, number: u32) -> Result<Candidate, Problem> {
    read(&candidate_bytes(store, job, number).await?)
}

/// Reads a published document.
///
/// # Errors
/// [`Kind::Internal`] when this build cannot read what another build published.
pub fn read<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Problem> {
    serde_json::from_slice(bytes).map_err(|error| {
        tracing::error!(%error, "a published document cannot be read");
        Problem::new(
            Kind::Internal,
            "this build cannot read the published document",
        )
    })
}

async fn must_be_done(store: &Store, job: &str) -> Result<(), Problem> {
    done(store, job, JobKind::Search, "front").await
}

async fn done(store: &Store, job: &str, kind: JobKind, what: &str) -> Result<(), Problem> {
    let found = store.job(&job_id(job)?).await.map_err(store_problem)?;
    of_kind(&found, kind)?;
    let detail = match found.state {
        JobState::Done => return Ok(()),
        JobState::Queued => format!("the job is queued; its {what} comes when it is done"),
        JobState::Running => format!("the job is running; its {what} comes when it is done"),
        JobState::Cancelled => format!("the job was cancelled and has no {what}"),
        JobState::Failed => format!(
            "the job failed and has no {what}: {}",
            found.reason.as_deref().unwrap_or("no reason is known")
        ),
    };
    Err(Problem::new(Kind::NoFront, detail))
}

/// Refuses a job of another kind.
///
/// # Errors
/// [`Kind::NotPossible`] saying where its result stands.
pub fn of_kind(job: &Job, wanted: JobKind) -> Result<(), Problem> {
    let detail = match (JobKind::parse(&job.kind), wanted) {
        (Some(kind), wanted) if kind == wanted => return Ok(()),
        (Some(JobKind::AsBuilt), _) => format!(
            "the job is a fit of a machine as built; its result is at /v1/jobs/{0}/fit and \
             /v1/jobs/{0}/report",
            job.id
        ),
        (Some(JobKind::Search), _) => {
            format!(
                "the job is a search; its result is at /v1/jobs/{}/front",
                job.id
            )
        }
        (None, _) => format!("this build does not know jobs of the kind {}", job.kind),
    };
    Err(Problem::new(Kind::NotPossible, detail))
}

/// The fit of a finished job of that kind, as it was published.
///
/// # Errors
/// As [`front`], and [`Kind::NotPossible`] for a job of another kind.
pub async fn fit(store: &Store, job: &str) -> Result<StoredFront, Problem> {
    done(store, job, JobKind::AsBuilt, "fit").await?;
    store.front(&job_id(job)?).await.map_err(store_problem)
}

/// Candidates of a finished job, all of them in the order of the front.
///
/// # Errors
/// As [`front`].
pub async fn candidates(store: &Store, job: &str) -> Result<Vec<Candidate>, Problem> {
    must_be_done(store, job).await?;
    let bodies = store.candidates(&job_id(job)?).await;
    let bodies = bodies.map_err(store_problem)?;
    bodies.iter().map(|body| read(body)).collect()
}
