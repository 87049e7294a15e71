//! `/v1/comparisons`: candidates and saved vehicles against each other.

use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::body::JsonBody;
use crate::compared::{Machines, over_one_another, page};
use crate::comparison::{Comparison, compare as side_by_side};
use crate::extract::Query;
use crate::forms::{HTML, JSON, PictureQuery, SVG, drawn, form_of, typed};
use crate::garage::MachineRef;
use crate::problem::Problem;
use crate::refusals::{NoSuchForm, TooManyWaiting};
use crate::routes::reports;
use crate::state::App;

/// What to compare.
#[derive(Debug, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ComparisonRequest {
    /// 1 to 64 candidates of jobs or versions of saved vehicles; the others are compared with the
    /// first.
    #[schema(min_items = 1, max_items = 64)]
    pub candidates: Vec<MachineRef>,
    /// Compare every quantity of the table over its usual poses and the reach of the first job, and
    /// not what the jobs asked for.
    #[serde(default)]
    pub every: bool,
    /// Names of pictures to come with the answer, at most 64; for JSON only.
    #[serde(default)]
    #[schema(max_items = 64)]
    pub pictures: Vec<String>,
}

/// Compare candidates of one or several jobs and saved vehicles, quantity by quantity.
///
/// A candidate has the figures that its own job asked for; a saved vehicle is measured by what the
/// first job named asks, and where no job is named, or with `every`, all machines are assessed by every
/// quantity. `Accept: image/svg+xml` gives a picture of all over one another: `picture` is
/// `front_view`, `top_view`, `corner_view` or the name of a curve of the assessment, such as
/// `steer_over_lean`. Another name is refused with the list of all. `pictures` in the body gives
/// several with the answer.
#[utoipa::path(post, operation_id = "compare_candidates", path = "/v1/comparisons", tag = "jobs",
    params(("picture" = Option<String>, Query,
        description = "With `Accept: image/svg+xml`: which picture; the first by default")),
    request_body = ComparisonRequest,
    responses(
        (status = 200, description = "The comparison; with `Accept: text/html` as a page with \
            curves and linkages over one another, with `Accept: image/svg+xml` one of its pictures",
            content((Comparison = "application/json"), (String = "text/html"),
                (String = "image/svg+xml"))),
        (status = 400, description = "Not JSON, or no such picture", body = Problem,
            content_type = "application/problem+json"),
        (status = 404, description = "No such job, candidate, vehicle or version", body = Problem,
            content_type = "application/problem+json"),
        NoSuchForm,
        (status = 409, description = "A job has no front", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The request holds faults, or a machine cannot be measured",
            body = Problem, content_type = "application/problem+json"),
        TooManyWaiting,
    ))]
pub async fn compare(
    State(app): State<App>,
    Query(query): Query<PictureQuery>,
    headers: HeaderMap,
    body: JsonBody,
) -> Result<Response, Problem> {
    let request = read(&body, app.limits().compared_candidates)?;
    let form = form_of(&headers, "a comparison", &[JSON, HTML, SVG])?;
    query.only_for_svg(form)?;
    let every = request.every;
    let machines = Machines::find(&app, request.candidates).await?;
    match form {
        SVG => {
            let task = move || {
                let (measured, reach) = machines.measured(every)?;
                query.pick(&over_one_another(&measured, &reach)?)
            };
            Ok(typed(SVG, app.compute().run(task).await??))
        }
        HTML => {
            let task = move || {
                let (measured, reach) = machines.measured(every)?;
                page(&measured, &reach)
            };
            Ok(reports::page(app.reports().run(task).await??))
        }
        _ => {
            let task = move || answer(machines, every, &request.pictures, &body);
            Ok(Json(app.compute().run(task).await??).into_response())
        }
    }
}

fn answer(
    machines: Machines,
    every: bool,
    pictures: &[String],
    body: &JsonBody,
) -> Result<Comparison, Problem> {
    let (measured, reach) = machines.measured(every)?;
    let mut found = side_by_side(&measured);
    if !pictures.is_empty() {
        found.pictures = drawn(&over_one_another(&measured, &reach)?, pictures, body)?;
    }
    Ok(found)
}

fn read(body: &JsonBody, most: usize) -> Result<ComparisonRequest, Problem> {
    let allowed = format!("1 to {most} machines, each {}", MachineRef::ALLOWED);
    let request: ComparisonRequest = body.read(&allowed)?;
    let count = request.candidates.len();
    if !(1..=most).contains(&count) {
        let message = format!("{count} machines");
        return Err(body.fault("/candidates".into(), message, &allowed));
    }
    // An id that nothing can have is simply not found.
    match request
        .candidates
        .iter()
        .position(|name| !name.is_one_kind())
    {
        Some(at) => {
            let message = "not the name of a candidate or of a saved version".to_owned();
            let place = format!("/candidates/{at}");
            Err(body.fault(place, message, MachineRef::ALLOWED))
        }
        None => Ok(request),
    }
}
