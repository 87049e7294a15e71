//! What a caller may do to a job beside cancelling it: pause, resume, change, extend, restart,
//! delete.

use axum::Json;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use serde::{Deserialize, Deserializer};
use store::{JobId, Priority};
use utoipa::{IntoResponses, ToSchema};

use crate::body::JsonBody;
use crate::convert::store_problem;
use crate::extract::{Path, job_id};
use crate::problem::Problem;
use crate::refusals::{FaultyBody, NotJson, QueueFull};
use crate::state::App;
use crate::submission::{self, SubmittedJob};
use crate::wire::JobStatus;

/// What every request about a job may be told.
#[derive(IntoResponses)]
#[allow(
    dead_code,
    reason = "only the document of the interface is made from it"
)]
enum OfAJob {
    /// No such job
    #[response(status = 404, content_type = "application/problem+json")]
    Unknown(#[to_schema] Problem),
}

/// What every request that needs an open job may be told.
#[derive(IntoResponses)]
#[allow(
    dead_code,
    reason = "only the document of the interface is made from it"
)]
enum OfAnOpenJob {
    /// No such job
    #[response(status = 404, content_type = "application/problem+json")]
    Unknown(#[to_schema] Problem),
    /// The job is over
    #[response(status = 409, content_type = "application/problem+json")]
    Over(#[to_schema] Problem),
}

/// Pause a job.
///
/// No more of its slices are claimed; those in progress go on to their end. Pausing a paused job
/// changes nothing.
#[utoipa::path(post, operation_id = "pause_job", path = "/v1/jobs/{id}/pause", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The job, now paused", body = JobStatus),
        OfAnOpenJob,
    ))]
pub async fn pause(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Json<JobStatus>, Problem> {
    set_paused(&app, &id, true).await
}

/// Resume a paused job.
#[utoipa::path(post, operation_id = "resume_job", path = "/v1/jobs/{id}/resume", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The job, no longer paused", body = JobStatus),
        OfAnOpenJob,
    ))]
pub async fn resume(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Json<JobStatus>, Problem> {
    set_paused(&app, &id, false).await
}

async fn set_paused(app: &App, id: &str, paused: bool) -> Result<Json<JobStatus>, Problem> {
    let job = app.store().set_paused(&job_id(id)?, paused).await;
    Ok(Json(job.map_err(store_problem)?.into()))
}

/// Changes to a job; what is absent stays as it is.
#[derive(Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct JobChange {
    /// `urgent`, `normal` or `background`: which jobs' slices are claimed first. Not for jobs that
    /// are over.
    #[serde(default)]
    priority: Option<String>,
    /// All labels of the job: at most 20, each of 1 to 100 bytes.
    #[serde(default)]
    labels: Option<Vec<String>>,
    /// Days that the job is kept after its end, 1 to 36,500; null keeps it until it is deleted.
    #[serde(default, deserialize_with = "present")]
    #[schema(value_type = Option<u32>)]
    keep_days: Option<Option<u32>>,
}

/// Tells null from absent.
fn present<'de, D: Deserializer<'de>>(source: D) -> Result<Option<Option<u32>>, D::Error> {
    Option::deserialize(source).map(Some)
}

/// Change a job's priority, labels or days to be kept.
///
/// The changes are made one after the other, in the order of this schema; one that is refused keeps
/// the later ones from being made.
#[utoipa::path(patch, operation_id = "change_job", path = "/v1/jobs/{id}", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    request_body = JobChange,
    responses(
        (status = 200, description = "The job as it now stands", body = JobStatus),
        (status = 400, description = "Not JSON, or a value out of range", body = Problem,
            content_type = "application/problem+json"),
        OfAnOpenJob,
        FaultyBody,
    ))]
pub async fn change(
    State(app): State<App>,
    Path(id): Path<String>,
    body: JsonBody,
) -> Result<Json<JobStatus>, Problem> {
    let id = job_id(&id)?;
    let change: JobChange = body.read("an object with priority, labels, keep_days")?;
    let class = change.priority.as_deref();
    let class = class.map(|word| priority(word, "priority")).transpose()?;
    make(&app, &id, class, &change)
        .await
        .map_err(store_problem)?;
    let job = app.store().job(&id).await.map_err(store_problem)?;
    Ok(Json(job.into()))
}

async fn make(
    app: &App,
    id: &JobId,
    class: Option<Priority>,
    change: &JobChange,
) -> Result<(), store::Error> {
    let store = app.store();
    if let Some(class) = class {
        store.set_priority(id, class).await?;
    }
    if let Some(labels) = &change.labels {
        store.set_labels(id, labels).await?;
    }
    if let Some(days) = change.keep_days {
        store.set_keep_days(id, days).await?;
    }
    Ok(())
}

/// The class of this word.
pub(crate) fn priority(word: &str, name: &str) -> Result<Priority, Problem> {
    Priority::parse(word).ok_or_else(|| {
        let words = Priority::ALL.map(Priority::as_str).join(", ");
        Problem::bad_parameter(name, word, "no such priority", &words)
    })
}

/// How much longer a job is to search.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Extension {
    /// Evaluations beside those spent; rounded up to whole epochs of all islands.
    #[schema(minimum = 1, maximum = 1_000_000_000)]
    evaluations: u64,
}

/// Go on with a finished job.
///
/// Makes a new job that goes on from the checkpoints before the polish, with the finished one as its
/// `parent`. Without an early stop its result equals, to the last bit, that of one job with the whole
/// budget. After an early stop, the gain is looked at anew.
#[utoipa::path(post, operation_id = "extend_job", path = "/v1/jobs/{id}/extend", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    request_body = Extension,
    responses(
        (status = 201, description = "The new job", body = SubmittedJob,
            headers(("Location" = String, description = "Address of the new job"))),
        NotJson,
        OfAJob,
        (status = 409, description = "The job is not done, its checkpoints are no longer kept, or \
            another build computed it", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The number is out of range", body = Problem,
            content_type = "application/problem+json"),
        QueueFull,
    ))]
pub async fn extend(
    State(app): State<App>,
    Path(id): Path<String>,
    body: JsonBody,
) -> Result<impl IntoResponse, Problem> {
    const ALLOWED: &str = "a whole number from 1 to 1000000000";
    let id = job_id(&id)?;
    let asked: Extension = body.read(&format!("an object with evaluations, {ALLOWED}"))?;
    if !(1..=1_000_000_000).contains(&asked.evaluations) {
        let message = "not a possible number of evaluations".to_owned();
        return Err(body.fault("/evaluations".to_owned(), message, ALLOWED));
    }
    let job = submission::extend(&app, &id, asked.evaluations).await?;
    let location = job.job.links.job.clone();
    Ok((
        StatusCode::CREATED,
        [(header::LOCATION, location)],
        Json(job),
    ))
}

/// Start an open job again from its seed.
///
/// For a job that waits for workers of a build that are gone: what was computed is discarded, and the
/// build that claims it next computes it from the beginning. An event says so.
#[utoipa::path(post, operation_id = "restart_job", path = "/v1/jobs/{id}/restart", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The job, queued again", body = JobStatus),
        OfAnOpenJob,
    ))]
pub async fn restart(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Json<JobStatus>, Problem> {
    let job = app.store().restart(&job_id(&id)?).await;
    Ok(Json(job.map_err(store_problem)?.into()))
}

/// Delete a job with everything that belongs to it.
///
/// In whatever state it is; workers on it stop. What was deleted cannot be brought back.
#[utoipa::path(delete, operation_id = "delete_job", path = "/v1/jobs/{id}", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 204, description = "The job is gone"),
        OfAJob,
    ))]
pub async fn delete(State(app): State<App>, Path(id): Path<String>) -> Result<StatusCode, Problem> {
    app.store()
        .delete(&job_id(&id)?)
        .await
        .map_err(store_problem)?;
    Ok(StatusCode::NO_CONTENT)
}
