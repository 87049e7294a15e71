//! `/v1/jobs`: submit, list, look at, cancel.

use axum::Json;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::IntoResponse;
use serde::Deserialize;
use store::{JobFilter, JobId, JobState, Priority, Store};

use crate::body::JsonBody;
use crate::convert::store_problem;
use crate::extract::{Path, Query, job_id, page_limit};
use crate::problem::Problem;
use crate::refusals::{NoSuchJob, OutOfRange, QueueFull};
use crate::routes::life::priority;
use crate::state::App;
use crate::submission::{self, Life, SubmittedJob};
use crate::wire::{JobList, JobStatus};

/// What may be said about a new job beside its file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SubmitQuery {
    parent: Option<String>,
    priority: Option<String>,
    labels: Option<String>,
    keep_days: Option<String>,
}

impl SubmitQuery {
    async fn life(self, store: &Store) -> Result<Life, Problem> {
        let labels = self.labels.unwrap_or_default();
        let labels = labels.split(',').filter(|label| !label.is_empty());
        let class = self.priority.as_deref();
        let class = class.map_or(Ok(Priority::default()), |word| priority(word, "priority"))?;
        Ok(Life {
            priority: class,
            labels: labels.map(str::to_owned).collect(),
            keep_days: self.keep_days.as_deref().map(days).transpose()?,
            parent: match &self.parent {
                Some(text) => Some(parent(store, text).await?),
                None => None,
            },
        })
    }
}

fn days(text: &str) -> Result<u32, Problem> {
    text.parse().map_err(|_| {
        let allowed = "a whole number from 1 to 36500";
        Problem::bad_parameter("keep_days", text, "not a number of days", allowed)
    })
}

async fn parent(store: &Store, text: &str) -> Result<JobId, Problem> {
    let unknown = || {
        let allowed = "the id of a job of this store";
        Problem::bad_parameter("parent", text, "there is no such job", allowed)
    };
    let id = JobId::parse(text).ok_or_else(unknown)?;
    match store.job(&id).await {
        Ok(job) => Ok(job.id),
        Err(store::Error::NotFound { .. }) => Err(unknown()),
        Err(fault) => Err(store_problem(fault)),
    }
}

/// Submit a job.
///
/// The body is a job file; its schema is at /v1/schema/job. With `"kind": "as_built"` in it it is the
/// file of a fit of a machine as built (/v1/schema/fit), computed by a worker like any job. With the header `Idempotency-Key`,
/// sending the same body again gives the first job back (200 instead of 201). To run a job again
/// with changes, send its changed input with the first one as `parent`: the new job says so, and
/// the list finds it by it.
#[utoipa::path(post, operation_id = "submit_job", path = "/v1/jobs", tag = "jobs",
    params(
        ("Idempotency-Key" = Option<String>, Header,
            description = "1 to 200 visible characters; one key makes one job"),
        ("parent" = Option<String>, Query, description = "The job that this one was made from"),
        ("priority" = Option<String>, Query,
            description = "urgent, normal (default) or background"),
        ("labels" = Option<String>, Query, description = "Labels, parted by commas"),
        ("keep_days" = Option<u32>, Query,
            description = "Days to keep the job after its end, 1 to 36,500; by default for good"),
    ),
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A job file"),
    responses(
        (status = 201, description = "The new job", body = SubmittedJob,
            headers(("Location" = String, description = "Address of the job"))),
        (status = 200, description = "The job submitted earlier with this key",
            body = SubmittedJob),
        (status = 400, description = "Not JSON, or a bad header or parameter", body = Problem,
            content_type = "application/problem+json"),
        (status = 409, description = "The key was used with another body", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The job holds faults", body = Problem,
            content_type = "application/problem+json"),
        QueueFull,
    ))]
pub async fn submit(
    State(app): State<App>,
    Query(query): Query<SubmitQuery>,
    headers: HeaderMap,
    body: JsonBody,
) -> Result<impl IntoResponse, Problem> {
    let key = idempotency_key(&headers)?;
    let life = query.life(app.store()).await?;
    let (job, created) = submission::take(&app, body.text, key, life).await?;
    let status = if created {
        StatusCode::CREATED
    } else {
        StatusCode::OK
    };
    let location = job.job.links.job.clone();
    Ok((status, [(header::LOCATION, location)], Json(job)))
}

fn idempotency_key(headers: &HeaderMap) -> Result<Option<String>, Problem> {
    let Some(value) = headers.get("idempotency-key") else {
        return Ok(None);
    };
    let text = value.to_str().unwrap_or("not text");
    let sound = (1..=200).contains(&text.len()) && text.chars().all(|c| c.is_ascii_graphic());
    if !sound || value.to_str().is_err() {
        return Err(Problem::bad_parameter(
            "Idempotency-Key",
            text,
            "not a usable key",
            "1 to 200 visible ASCII characters without spaces",
        ));
    }
    Ok(Some(text.to_owned()))
}

/// Parameters of the list.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ListQuery {
    state: Option<String>,
    name: Option<String>,
    label: Option<String>,
    parent: Option<String>,
    limit: Option<String>,
    cursor: Option<String>,
}

impl ListQuery {
    /// What the store is asked for.
    pub(crate) fn filter(self, page: u32) -> Result<JobFilter, Problem> {
        Ok(JobFilter {
            caller: None,
            state: self.state.as_deref().map(state).transpose()?,
            label: self.label,
            name: self.name,
            parent: self.parent.as_deref().map(of_parent).transpose()?,
            limit: self.limit.map_or(Ok(0), |text| page_limit(&text, page))?,
            cursor: self.cursor,
        })
    }
}

fn state(word: &str) -> Result<JobState, Problem> {
    JobState::parse(word).ok_or_else(|| {
        let words = JobState::ALL.map(JobState::as_str).join(", ");
        Problem::bad_parameter("state", word, "no such state", &words)
    })
}

fn of_parent(text: &str) -> Result<JobId, Problem> {
    JobId::parse(text).ok_or_else(|| {
        let allowed = "16 hexadecimal digits";
        Problem::bad_parameter("parent", text, "not the id of a job", allowed)
    })
}

/// List jobs, newest first.
#[utoipa::path(get, operation_id = "list_jobs", path = "/v1/jobs", tag = "jobs",
    params(
        ("state" = Option<String>, Query,
            description = "Only jobs in this state: queued, running, done, failed, cancelled"),
        ("name" = Option<String>, Query, description = "Only jobs whose name contains this"),
        ("label" = Option<String>, Query, description = "Only jobs with this label"),
        ("parent" = Option<String>, Query, description = "Only jobs made from this one"),
        ("limit" = Option<u32>, Query, description = "Jobs on a page, 1 to 200; by default 50"),
        ("cursor" = Option<String>, Query, description = "next_cursor of the page before"),
    ),
    responses(
        (status = 200, description = "One page of jobs", body = JobList),
        OutOfRange,
    ))]
pub async fn list(
    State(app): State<App>,
    Query(query): Query<ListQuery>,
) -> Result<Json<JobList>, Problem> {
    let filter = query.filter(app.limits().page)?;
    let page = app.store().jobs(&filter).await.map_err(store_problem)?;
    Ok(Json(page.into()))
}

/// Look at a job.
#[utoipa::path(get, operation_id = "get_job", path = "/v1/jobs/{id}", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The job as it stands", body = JobStatus),
        NoSuchJob,
    ))]
pub async fn one(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Json<JobStatus>, Problem> {
    let job = app.store().job(&job_id(&id)?).await;
    Ok(Json(job.map_err(store_problem)?.into()))
}

/// Get a job's input, byte for byte as it was submitted.
#[utoipa::path(get, operation_id = "get_job_input", path = "/v1/jobs/{id}/input", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The job file", body = serde_json::Value),
        NoSuchJob,
    ))]
pub async fn input(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<impl IntoResponse, Problem> {
    let bytes = app.store().input(&job_id(&id)?).await;
    let bytes = bytes.map_err(store_problem)?;
    Ok(([(header::CONTENT_TYPE, "application/json")], bytes))
}

/// Cancel a job.
///
/// Slices in progress stop soon after; what was found so far is not published.
#[utoipa::path(post, operation_id = "cancel_job", path = "/v1/jobs/{id}/cancel", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The job, now cancelled", body = JobStatus),
        NoSuchJob,
        (status = 409, description = "The job is already done or failed", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn cancel(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Json<JobStatus>, Problem> {
    let id = job_id(&id)?;
    app.store().cancel(&id).await.map_err(store_problem)?;
    let job = app.store().job(&id).await.map_err(store_problem)?;
    Ok(Json(job.into()))
}
