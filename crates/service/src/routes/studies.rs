//! `/v1/jobs/{id}/study` and the same of a candidate: what a workshop's errors make of it.

use axum::Json;
use axum::extract::State;
use design::{Candidate, Study, Tolerance, check_tolerance};
use serde::Deserialize;

use crate::convert::faulty;
use crate::extract::{Path, Query};
use crate::problem::Problem;
use crate::published;
use crate::refusals::{FigureOutOfRange, NoSuchCandidate, NoSuchJob, NotDone, TooManyWaiting};
use crate::routes::reports;
use crate::state::App;

/// What a study takes instead of the job's own tolerance.
#[derive(Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instead {
    sigma_mm: Option<f64>,
    rod_mm: Option<f64>,
    stud_deg: Option<f64>,
    samples: Option<u32>,
    seed: Option<u64>,
}

/// Study the submitted vehicle: what errors of a workshop make of every quantity.
///
/// The job need not be done. Machines are built within the job's `tolerance`, holds met first;
/// the query takes other figures instead.
#[utoipa::path(get, operation_id = "get_study", path = "/v1/jobs/{id}/study", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("sigma_mm" = Option<f64>, Query, description = "Standard deviation of hardpoints, mm"),
        ("rod_mm" = Option<f64>, Query, description = "Of rod lengths after setting the toe, mm"),
        ("stud_deg" = Option<f64>, Query, description = "Of studs and bolts, degrees"),
        ("samples" = Option<u32>, Query, description = "Machines built, 64 to 1024"),
        ("seed" = Option<u64>, Query, description = "Seed of the errors"),
    ),
    responses(
        (status = 200, description = "Percentiles, causes, and how exact the workshop must be",
            body = Study),
        (status = 400, description = "A parameter of the query is none", body = Problem,
            content_type = "application/problem+json"),
        NoSuchJob,
        FigureOutOfRange,
        TooManyWaiting,
    ))]
pub async fn submitted(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(instead): Query<Instead>,
) -> Result<Json<Study>, Problem> {
    at(&app, &id, None, instead).await
}

/// Study one candidate: what errors of a workshop make of every quantity.
///
/// Every hardpoint errs by itself, left and right apart; the rods are then set to the toe of the
/// drawing. Of each quantity: the 50th and 95th percentile and the worst of the machines built,
/// the three errors that matter most, and for each requirement the error that still keeps it in
/// 95 % of them. A study that the job itself made, where `studied` stands in the front's row, is given
/// as it was published unless the query asks for other figures.
#[utoipa::path(get, operation_id = "get_candidate_study",
    path = "/v1/jobs/{id}/candidates/{n}/study", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("n" = u32, Path, description = "Number on the front, from 0"),
        ("sigma_mm" = Option<f64>, Query, description = "Standard deviation of hardpoints, mm"),
        ("rod_mm" = Option<f64>, Query, description = "Of rod lengths after setting the toe, mm"),
        ("stud_deg" = Option<f64>, Query, description = "Of studs and bolts, degrees"),
        ("samples" = Option<u32>, Query, description = "Machines built, 64 to 1024"),
        ("seed" = Option<u64>, Query, description = "Seed of the errors"),
    ),
    responses(
        (status = 200, description = "Percentiles, causes, and how exact the workshop must be",
            body = Study),
        (status = 400, description = "A parameter of the query is none", body = Problem,
            content_type = "application/problem+json"),
        NoSuchCandidate,
        NotDone,
        FigureOutOfRange,
        TooManyWaiting,
    ))]
pub async fn candidate(
    State(app): State<App>,
    Path((id, n)): Path<(String, u32)>,
    Query(instead): Query<Instead>,
) -> Result<Json<Study>, Problem> {
    let candidate = published::candidate(&app, &id, n).await?;
    if let (Some(made), true) = (&candidate.study, instead == Instead::default()) {
        return Ok(Json((**made).clone()));
    }
    at(&app, &id, Some(candidate), instead).await
}

async fn at(
    app: &App,
    id: &str,
    of: Option<Candidate>,
    instead: Instead,
) -> Result<Json<Study>, Problem> {
    let input = reports::input(app, id).await?;
    let task = move || {
        let (compiled, vector) = reports::compiled(&input, of)?;
        let tolerance = instead.of(&compiled.job().tolerance);
        check_tolerance(&tolerance).map_err(faulty)?;
        Ok(compiled.study_within(&vector, &tolerance))
    };
    app.reports().run(task).await?.map(Json)
}

impl Instead {
    fn of(&self, own: &Tolerance) -> Tolerance {
        Tolerance {
            sigma_mm: self.sigma_mm.unwrap_or(own.sigma_mm),
            rod_mm: self.rod_mm.unwrap_or(own.rod_mm),
            stud_deg: self.stud_deg.unwrap_or(own.stud_deg),
            samples: self.samples.unwrap_or(own.samples),
            seed: self.seed.unwrap_or(own.seed),
            ..own.clone()
        }
    }
}
