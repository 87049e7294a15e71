//! `/v1/assessments` and `/v1/poses`: one vehicle, answered at once on the compute thread.

use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use design::{
    Assessment, PoseAnswer, PoseQuestion, Reach, Vehicle, assessment, parse_vehicle, pose,
};
use drawing::{vehicle_pictures, vehicle_report};
use serde::Deserialize;
use serde_json::value::RawValue;

use crate::body::JsonBody;
use crate::convert::{faulty, no_pose};
use crate::extract::Query;
use crate::forms::{HTML, JSON, PictureQuery, SVG, form_of, typed};
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::routes::reports;
use crate::state::App;

/// What an assessment is asked by.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct AssessmentRequest {
    vehicle: Box<RawValue>,
    #[serde(default)]
    reach: Reach,
}

/// What a pose is asked by.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PoseRequest {
    vehicle: Box<RawValue>,
    #[serde(default)]
    lean_deg: f64,
    #[serde(default)]
    steer_deg: f64,
    #[serde(default)]
    steer_mm: Option<f64>,
    #[serde(default)]
    mean_travel_mm: Option<f64>,
}

/// Assess one vehicle: every quantity with its worst pose, curves, what stops it.
///
/// The body is `{"vehicle": VEHICLE, "reach": REACH}`; the schema of a vehicle is at
/// /v1/schema/vehicle. `reach` may be left out and is then the default of a job. With `Accept:
/// text/html` a report of the vehicle comes as one page; with `Accept: image/svg+xml` one picture
/// of it: `picture` is a name as for a candidate's pictures. Another name is refused with the
/// list of all.
#[utoipa::path(post, operation_id = "assess_vehicle", path = "/v1/assessments", tag = "at once",
    params(("picture" = Option<String>, Query,
        description = "With `Accept: image/svg+xml`: which picture; the first by default")),
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A vehicle, and the reach to take it over"),
    responses(
        (status = 200, description = "The assessment",
            content((Assessment = "application/json"), (String = "text/html"),
                (String = "image/svg+xml"))),
        (status = 400, description = "Not JSON, or no such picture", body = Problem,
            content_type = "application/problem+json"),
        (status = 406, description = "None of the forms is acceptable", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The vehicle holds faults or cannot be assembled",
            body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many are waiting; see Retry-After", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn assess(
    State(app): State<App>,
    Query(query): Query<PictureQuery>,
    headers: HeaderMap,
    body: JsonBody,
) -> Result<Response, Problem> {
    let form = form_of(&headers, "an assessment", &[JSON, HTML, SVG])?;
    query.only_for_svg(form)?;
    let asked: AssessmentRequest = body.read("{\"vehicle\": VEHICLE, \"reach\": REACH}")?;
    let vehicle = vehicle(&asked.vehicle)?;
    let reach = asked.reach;
    if form == SVG {
        let task = move || picture(&vehicle, &reach, &query);
        return Ok(typed(SVG, app.compute().run(task).await??));
    }
    if form == HTML {
        let task = move || report(&vehicle, &reach);
        return Ok(reports::page(app.compute().run(task).await??));
    }
    let task = move || assessment(&vehicle, &reach);
    let answer = app.compute().run(task).await?;
    answer
        .map(|found| Json(found).into_response())
        .map_err(faulty)
}

fn report(vehicle: &Vehicle, reach: &Reach) -> Result<String, Problem> {
    assessment(vehicle, reach).map_err(faulty)?;
    vehicle_report(vehicle, reach).map_err(|why| Problem::new(Kind::PoseUnreachable, why))
}

fn picture(vehicle: &Vehicle, reach: &Reach, query: &PictureQuery) -> Result<String, Problem> {
    // The assessment finds the faults of the input with their places; pictures come after it.
    assessment(vehicle, reach).map_err(faulty)?;
    let pictures = vehicle_pictures(vehicle, reach);
    query.pick(&pictures.map_err(|why| Problem::new(Kind::PoseUnreachable, why))?)
}

/// Solve one pose of one vehicle.
///
/// The body is `{"vehicle": VEHICLE, "lean_deg": 0, "steer_deg": 0, "mean_travel_mm": 0}`; what
/// is left out is zero, and `mean_travel_mm` is then as the coupling holds it. On a slider
/// machine `steer_deg` turns the handlebar; `steer_mm` in its place moves the slider.
#[utoipa::path(post, operation_id = "solve_pose", path = "/v1/poses", tag = "at once",
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A vehicle and what drives it"),
    responses(
        (status = 200, description = "The pose", body = PoseAnswer),
        (status = 400, description = "Not JSON", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The input holds faults, or the pose cannot be reached",
            body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many are waiting; see Retry-After", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn solve(State(app): State<App>, body: JsonBody) -> Result<Json<PoseAnswer>, Problem> {
    let asked: PoseRequest = body.read(
        "{\"vehicle\": VEHICLE, \"lean_deg\": NUMBER, \"steer_deg\": NUMBER, \
         \"steer_mm\": NUMBER, \"mean_travel_mm\": NUMBER}",
    )?;
    let vehicle = vehicle(&asked.vehicle)?;
    let question = PoseQuestion {
        lean_deg: asked.lean_deg,
        steer_deg: asked.steer_deg,
        steer_mm: asked.steer_mm,
        mean_travel_mm: asked.mean_travel_mm,
    };
    let answer = app.compute().run(move || pose(&vehicle, &question)).await?;
    answer.map(Json).map_err(no_pose)
}

/// The vehicle's own text is kept, so that its faults are found as in a file of its own.
fn vehicle(text: &RawValue) -> Result<Vehicle, Problem> {
    parse_vehicle(text.get()).map_err(|mut faults| {
        for fault in &mut faults {
            fault.pointer.insert_str(0, "/vehicle");
        }
        faulty(faults)
    })
}
