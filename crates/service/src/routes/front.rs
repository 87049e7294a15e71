//! `/v1/jobs/{id}/front` and what belongs to it: candidates and hardpoints.

use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use design::Candidate;
use drawing::{front_sheet, hardpoint_sheet};
use work::FrontDocument;

use crate::extract::{Path, Query};
use crate::forms::{
    CSV, JSON, PARQUET, PictureQuery, SVG, form_of, lasting, table, tag, typed, unchanged,
};
use crate::problem::Problem;
use crate::published::{self, CandidateBody};
use crate::refusals::{
    NoSuchCandidate, NoSuchForm, NoSuchJob, NoSuchPicture, NotDone, TooManyWaiting,
};
use crate::routes::reports::{finished, submitted_job};
use crate::state::App;

/// Get the front of a finished job.
///
/// JSON by default. `Accept: text/csv` or `application/vnd.apache.parquet` gives a table with one
/// row a candidate: number, goals and requirements, held coordinates, moved points, rods; units
/// stand in the names of the columns, a caution in the header `leanwright-caution`. `Accept: image/svg+xml` gives a picture: `picture` names a
/// pair of goals, such as `front_0_1`. A finished front never changes: send its ETag as
/// `If-None-Match` to learn so without the body.
#[utoipa::path(get, operation_id = "get_front", path = "/v1/jobs/{id}/front", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("picture" = Option<String>, Query,
            description = "With `Accept: image/svg+xml`: which picture; the first by default"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The front", headers(("ETag" = String)),
            content((FrontDocument = "application/json"), (String = "text/csv"),
                (String = "application/vnd.apache.parquet"), (String = "image/svg+xml"))),
        (status = 304, description = "The caller holds it already"),
        NoSuchPicture,
        NoSuchJob,
        NoSuchForm,
        NotDone,
        TooManyWaiting,
    ))]
pub async fn front(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(query): Query<PictureQuery>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let front = published::front(app.store(), &id).await?;
    let form = form_of(&headers, "a front", &[JSON, CSV, PARQUET, SVG])?;
    query.only_for_svg(form)?;
    let tag = match form {
        JSON => front.sha256.clone(),
        _ => tag(&front.sha256, form, query.picture.as_deref().unwrap_or("")),
    };
    if let Some(unchanged) = unchanged(&headers, &tag) {
        return Ok(unchanged);
    }
    let response = match form {
        JSON => typed(JSON, front.body),
        SVG => {
            let finished = finished(&app, &id).await?;
            let task = move || query.pick_drawn(&finished.pictures()?);
            typed(SVG, app.reports().run(task).await??)
        }
        _ => {
            let candidates = published::candidates(app.store(), &id).await?;
            let numbered: Vec<_> = candidates.iter().enumerate().collect();
            table(&front_sheet(&numbered), form)?
        }
    };
    Ok(lasting(response, &tag))
}

/// Get one candidate with everything that was asked of it and its vehicle file.
///
/// One of the front comes as it was published. Numbers behind the front's last are those that the
/// table of the archive gives to its other rows, and what they name is computed again by the asked
/// server's build: here, in reports, studies and comparisons alike.
///
/// `Accept: image/svg+xml` gives a picture: `picture` is `before_and_after`, `front_view`,
/// `top_view`, `corner_view`, `side_view`, `leaned_front_view`, `steered_top_view`,
/// `turn_front_view`, `turn_top_view`, `error_map`, `slip_map` or the name of a curve of the
/// assessment, such as `steer_over_lean`. Another name is refused with the list of all.
#[utoipa::path(get, operation_id = "get_candidate", path = "/v1/jobs/{id}/candidates/{n}", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("n" = u32, Path, description = "Number on the front, from 0"),
        ("picture" = Option<String>, Query,
            description = "With `Accept: image/svg+xml`: which picture; the first by default"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The candidate", headers(("ETag" = String)),
            content((Candidate = "application/json"), (String = "image/svg+xml"))),
        (status = 304, description = "The caller holds it already"),
        NoSuchPicture,
        NoSuchCandidate,
        NoSuchForm,
        (status = 409, description = "The job is not done, or the machine cannot be shown",
            body = Problem, content_type = "application/problem+json"),
        TooManyWaiting,
    ))]
pub async fn candidate(
    State(app): State<App>,
    Path((id, n)): Path<(String, u32)>,
    Query(query): Query<PictureQuery>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let front = published::front(app.store(), &id).await?;
    let body = published::candidate_body(&app, &id, n).await?;
    let form = form_of(&headers, "a candidate", &[JSON, SVG])?;
    query.only_for_svg(form)?;
    let tag = match form {
        SVG => tag(
            &front.sha256,
            form,
            &format!("{n}-{}", query.picture.as_deref().unwrap_or("")),
        ),
        _ => match &body {
            CandidateBody::Published(_) => format!("{}-{n}", front.sha256),
            CandidateBody::Again(_) => {
                tag(&front.sha256, form, &format!("{n}-{}", work::build_id()))
            }
        },
    };
    if let Some(unchanged) = unchanged(&headers, &tag) {
        return Ok(unchanged);
    }
    let response = match form {
        SVG => {
            let finished = finished(&app, &id).await?;
            let candidate = body.read()?;
            let task = move || query.pick(&finished.candidate_gallery(n as usize, &candidate)?);
            typed(SVG, app.reports().run(task).await??)
        }
        _ => match body {
            CandidateBody::Published(bytes) => typed(JSON, bytes),
            CandidateBody::Again(candidate) => Json(candidate).into_response(),
        },
    };
    Ok(lasting(response, &tag))
}

/// Get the hardpoints of every candidate of a front as a table.
///
/// One row for each candidate, side and point: position in frame axes and change since the
/// submitted vehicle, mm. JSON (an array of rows) by default, CSV or Parquet by `Accept`.
#[utoipa::path(get, operation_id = "get_hardpoints", path = "/v1/jobs/{id}/hardpoints", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The table", headers(("ETag" = String)),
            content((Vec<HardpointRow> = "application/json"), (String = "text/csv"),
                (String = "application/vnd.apache.parquet"))),
        (status = 304, description = "The caller holds it already"),
        NoSuchJob,
        NoSuchForm,
        NotDone,
    ))]
pub async fn hardpoints(
    State(app): State<App>,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let candidates = published::candidates(app.store(), &id).await?;
    let numbered = candidates.into_iter().enumerate().collect();
    hardpoint_table(&app, &id, "all", numbered, &headers).await
}

/// Get the hardpoints of one candidate as a table.
///
/// As for the whole front, with the rows of this candidate alone.
#[utoipa::path(get, operation_id = "get_candidate_hardpoints",
    path = "/v1/jobs/{id}/candidates/{n}/hardpoints", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("n" = u32, Path, description = "Number on the front, from 0"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The table", headers(("ETag" = String)),
            content((Vec<HardpointRow> = "application/json"), (String = "text/csv"),
                (String = "application/vnd.apache.parquet"))),
        (status = 304, description = "The caller holds it already"),
        NoSuchCandidate,
        NoSuchForm,
        NotDone,
    ))]
pub async fn candidate_hardpoints(
    State(app): State<App>,
    Path((id, n)): Path<(String, u32)>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let candidate = published::candidate(&app, &id, n).await?;
    let numbered = vec![(n as usize, candidate)];
    hardpoint_table(&app, &id, &n.to_string(), numbered, &headers).await
}

async fn hardpoint_table(
    app: &App,
    id: &str,
    what: &str,
    candidates: Vec<(usize, Candidate)>,
    headers: &HeaderMap,
) -> Result<Response, Problem> {
    let front = published::front(app.store(), id).await?;
    let form = form_of(headers, "a table of hardpoints", &[JSON, CSV, PARQUET])?;
    let tag = tag(&front.sha256, form, &format!("hardpoints-{what}"));
    if let Some(unchanged) = unchanged(headers, &tag) {
        return Ok(unchanged);
    }
    let job = submitted_job(app, id).await?;
    let numbered: Vec<(usize, &Candidate)> = candidates.iter().map(|(n, c)| (*n, c)).collect();
    let sheet = hardpoint_sheet(&numbered, &job);
    Ok(lasting(table(&sheet, form)?, &tag))
}

/// One row of a table of hardpoints.
#[derive(Debug, serde::Serialize, utoipa::ToSchema)]
pub struct HardpointRow {
    /// Number of the candidate on its front.
    pub candidate: u32,
    /// `left`, `right` or `middle`.
    pub side: String,
    /// Path of the point in the vehicle file, without its unit.
    pub point: String,
    /// Position in frame axes, mm.
    pub x_mm: f64,
    /// Position in frame axes, mm.
    pub y_mm: f64,
    /// Position in frame axes, mm.
    pub z_mm: f64,
    /// Change since the submitted vehicle, mm.
    pub change_x_mm: f64,
    /// Change since the submitted vehicle, mm.
    pub change_y_mm: f64,
    /// Change since the submitted vehicle, mm.
    pub change_z_mm: f64,
}
