//! `/v1/jobs/{id}/export` and `/v1/imports`: a finished job as one file, out of one store and into
//! another.

use axum::Json;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use store::Error;

use crate::body::JobFileBody;
use crate::convert::store_problem;
use crate::extract::{Path, job_id};
use crate::job_file::{self, MEDIA_TYPE};
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::refusals::{NoSuchJob, TooManyFiles};
use crate::state::App;
use crate::wire::JobStatus;

/// Get a job that is over as one file.
///
/// JSON lines with everything that is kept of it: exact input, seed and build in it, events, front,
/// candidates, the checkpoints from which a longer run goes on. The first line names the form and its
/// version, the last holds a SHA-256 of all before it. `POST /v1/imports` on any server, on whatever
/// database, takes it in again.
#[utoipa::path(get, operation_id = "export_job", path = "/v1/jobs/{id}/export", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The file", body = String, content_type = "application/jsonl"),
        NoSuchJob,
        (status = 409, description = "The job is not over, or its file would be too large",
            body = Problem, content_type = "application/problem+json"),
        TooManyFiles,
    ))]
pub async fn export(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<impl IntoResponse, Problem> {
    let id = job_id(&id)?;
    let place = app.carrying_place()?;
    let exported = app.store().export(&id).await.map_err(store_problem)?;
    let file = elsewhere(move || Ok(job_file::write(exported))).await?;
    drop(place);
    let (length, most) = (file.len(), app.limits().job_file_bytes);
    if length > most {
        let detail = format!("the file would have {length} bytes; {most} are the most");
        return Err(Problem::new(Kind::NotPossible, detail));
    }
    let name = format!("attachment; filename=\"job-{id}.jsonl\"");
    let headers = [
        (header::CONTENT_TYPE, MEDIA_TYPE.to_owned()),
        (header::CONTENT_DISPOSITION, name),
    ];
    Ok((headers, file))
}

/// Take in a job that was exported here or elsewhere.
///
/// It keeps its id, its bytes and its times, and says when it came. All of it is taken in, or nothing:
/// a file that is foreign, of another version, cut off or changed is refused.
#[utoipa::path(post, operation_id = "import_job", path = "/v1/imports", tag = "jobs",
    request_body(content = String, content_type = "application/jsonl",
        description = "The file, as it was exported"),
    responses(
        (status = 201, description = "The job, now here", body = JobStatus,
            headers(("Location" = String, description = "Address of the job"))),
        (status = 409, description = "A job of this id is here already", body = Problem,
            content_type = "application/problem+json"),
        (status = 413, description = "The file is too large", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The file is foreign, damaged or not whole", body = Problem,
            content_type = "application/problem+json"),
        TooManyFiles,
    ))]
pub async fn import(
    State(app): State<App>,
    body: JobFileBody,
) -> Result<impl IntoResponse, Problem> {
    let JobFileBody { bytes, place } = body;
    let exported = elsewhere(move || job_file::read(&bytes)).await?;
    let id = app.store().import(&exported).await.map_err(refused)?;
    drop((exported, place));
    let job: JobStatus = app.store().job(&id).await.map_err(store_problem)?.into();
    let location = job.links.job.clone();
    Ok((
        StatusCode::CREATED,
        [(header::LOCATION, location)],
        Json(job),
    ))
}

fn refused(error: Error) -> Problem {
    match error {
        Error::Invalid { .. } => Problem::new(
            Kind::BadJobFile,
            format!("the file cannot be taken in: {error}"),
        ),
        error => store_problem(error),
    }
}

/// On a thread away from those that serve requests.
async fn elsewhere<T: Send + 'static>(
    task: impl FnOnce() -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    tokio::task::spawn_blocking(task).await.unwrap_or_else(|_| {
        let detail = "the file could not be worked on";
        Err(Problem::new(Kind::Internal, detail))
    })
}
