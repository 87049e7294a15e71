//! Published results, read back from the store.

use design::Candidate;
use serde::de::DeserializeOwned;
use store::{JobState, Store, StoredFront};

use crate::convert::store_problem;
use crate::extract::job_id;
use crate::problem::Problem;
use crate::problem_kind::Kind;

/// The front of a finished job.
///
/// # Errors
/// [`Kind::NotFound`] for no such job, [`Kind::NoFront`] for a job that is not done.
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
    let found = store.job(&job_id(job)?).await.map_err(store_problem)?;
    let detail = match found.state {
        JobState::Done => return Ok(()),
        JobState::Queued => "the job is queued; its front comes when it is done".to_owned(),
        JobState::Running => "the job is running; its front comes when it is done".to_owned(),
        JobState::Cancelled => "the job was cancelled and has no front".to_owned(),
        JobState::Failed => format!(
            "the job failed and has no front: {}",
            found.reason.as_deref().unwrap_or("no reason is known")
        ),
    };
    Err(Problem::new(Kind::NoFront, detail))
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
