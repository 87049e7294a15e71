//! `/v1/jobs/{id}/found` and `/v1/jobs/{id}/submitted`: what a job has found so far, and what it
//! began with.

use axum::Json;
use axum::extract::State;
use design::Candidate;
use work::FoundDocument;

use crate::convert::store_problem;
use crate::extract::{Path, job_id};
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::refusals::{NoSuchJob, TooManyWaiting};
use crate::state::App;

/// Look at what a search has found so far.
///
/// At most 200 points of the front that is still growing, from the newest checkpoints: nothing is
/// rounded to the workshop's grid or polished yet. An ask costs some milliseconds of merging; after
/// each `progress` event is often enough.
#[utoipa::path(get, operation_id = "get_found", path = "/v1/jobs/{id}/found", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The front so far", body = FoundDocument),
        NoSuchJob,
        (status = 409, description = "Another build computes it", body = Problem,
            content_type = "application/problem+json"),
        TooManyWaiting,
    ))]
pub async fn found(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Json<FoundDocument>, Problem> {
    let id = job_id(&id)?;
    let compiled = app.made_ready(&id).await?;
    let newest = app.store().latest_checkpoints(&id).await;
    let newest: Vec<(u32, Vec<u8>)> = newest
        .map_err(store_problem)?
        .into_iter()
        .map(|(key, bytes)| (key.island, bytes))
        .collect();
    let merged = app.reports().run(move || work::found(&compiled, &newest));
    merged.await?.map(Json).map_err(|fault| {
        Problem::new(
            Kind::NotPossible,
            format!("this build cannot read what was found so far: {fault}"),
        )
    })
}

/// Get the submitted vehicle with everything that its job asks for.
///
/// The reference of the front: no freedom is moved, holds are kept.
#[utoipa::path(get, operation_id = "get_submitted", path = "/v1/jobs/{id}/submitted", tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "The submitted vehicle as a candidate", body = Candidate),
        NoSuchJob,
        TooManyWaiting,
    ))]
pub async fn submitted(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Json<Candidate>, Problem> {
    let compiled = app.made_ready(&job_id(&id)?).await?;
    let submitted = app.reports().run(move || compiled.submitted()).await?;
    Ok(Json(submitted))
}
