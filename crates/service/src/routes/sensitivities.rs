//! `/v1/jobs/{id}/sensitivities` and the same of a candidate: what a millimetre changes.

use axum::Json;
use axum::extract::State;
use design::{Candidate, Sensitivities};

use crate::extract::Path;
use crate::problem::Problem;
use crate::published;
use crate::refusals::{JobFileTooOld, NoSuchCandidate, NoSuchJob, NotDone, TooManyWaiting};
use crate::routes::reports;
use crate::state::App;

/// Get the sensitivity of every quantity to every freedom at the submitted vehicle.
///
/// The job need not be done. The holds are met first, as in every candidate.
#[utoipa::path(get, operation_id = "get_sensitivities", path = "/v1/jobs/{id}/sensitivities",
    tag = "jobs",
    params(("id" = String, Path, description = "Job")),
    responses(
        (status = 200, description = "Change of each quantity per mm of each freedom",
            body = Sensitivities),
        NoSuchJob,
        JobFileTooOld,
        TooManyWaiting,
    ))]
pub async fn submitted(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Json<Sensitivities>, Problem> {
    at(&app, &id, None).await
}

/// Get the sensitivity of every quantity to every freedom at one candidate.
///
/// Slopes are differences of whole evaluations: point moved, holds solved, rods set to the toe of
/// the drawing, worst case taken. At an end of a freedom's range, or where one side cannot be
/// assembled, the slope is that of the other side; at a kink, where the worst pose, side, joint
/// or stop changes, both one-sided slopes are given.
#[utoipa::path(get, operation_id = "get_candidate_sensitivities",
    path = "/v1/jobs/{id}/candidates/{n}/sensitivities", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("n" = u32, Path, description = "Number on the front, from 0"),
    ),
    responses(
        (status = 200, description = "Change of each quantity per mm of each freedom",
            body = Sensitivities),
        NoSuchCandidate,
        NotDone,
        JobFileTooOld,
        TooManyWaiting,
    ))]
pub async fn candidate(
    State(app): State<App>,
    Path((id, n)): Path<(String, u32)>,
) -> Result<Json<Sensitivities>, Problem> {
    let candidate = published::candidate(&app, &id, n).await?;
    at(&app, &id, Some(candidate)).await
}

async fn at(app: &App, id: &str, of: Option<Candidate>) -> Result<Json<Sensitivities>, Problem> {
    let input = reports::input(app, id).await?;
    let task = move || {
        let (compiled, vector) = reports::compiled(&input, of)?;
        Ok(compiled.sensitivities(&vector))
    };
    app.reports().run(task).await?.map(Json)
}
