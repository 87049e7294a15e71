//! `/v1/comparisons`: candidates of one or several jobs against each other.

use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::body::JsonBody;
use crate::comparison::{CandidateRef, Comparison, compare as side_by_side};
use crate::negotiate::choose;
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::published;
use crate::report::side_by_side as page_of;
use crate::routes::reports;
use crate::state::App;

const JSON: &str = "application/json";
const HTML: &str = "text/html";

/// Which candidates to compare.
#[derive(Debug, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ComparisonRequest {
    /// 1 to 64 candidates; the others are compared with the first.
    #[schema(min_items = 1, max_items = 64)]
    pub candidates: Vec<CandidateRef>,
}

/// Compare candidates of one or several jobs, quantity by quantity.
#[utoipa::path(post, operation_id = "compare_candidates", path = "/v1/comparisons", tag = "jobs",
    request_body = ComparisonRequest,
    responses(
        (status = 200, description = "The comparison; with `Accept: text/html` as a page with \
            curves and linkages over one another",
            content((Comparison = "application/json"), (String = "text/html"))),
        (status = 400, description = "Not JSON", body = Problem,
            content_type = "application/problem+json"),
        (status = 404, description = "No such job or candidate", body = Problem,
            content_type = "application/problem+json"),
        (status = 406, description = "Neither JSON nor HTML is acceptable", body = Problem,
            content_type = "application/problem+json"),
        (status = 409, description = "A job has no front", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The request holds faults", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn compare(
    State(app): State<App>,
    headers: HeaderMap,
    body: JsonBody,
) -> Result<Response, Problem> {
    let request = read(&body, app.limits().compared_candidates)?;
    let form = choose(&headers, &[JSON, HTML]).ok_or_else(|| {
        Problem::new(
            Kind::NotAcceptable,
            format!("a comparison comes as {JSON} or {HTML}"),
        )
    })?;
    let mut found = Vec::with_capacity(request.candidates.len());
    for name in request.candidates {
        let candidate = published::candidate(app.store(), &name.job, name.number).await?;
        found.push((name, candidate));
    }
    if form == JSON {
        return Ok(Json(side_by_side(&found)).into_response());
    }
    let input = reports::input(&app, &found[0].0.job).await?;
    let html = app.compute().run(move || page_of(&found, &input)).await??;
    Ok(reports::page(html))
}

fn read(body: &JsonBody, most: usize) -> Result<ComparisonRequest, Problem> {
    let allowed =
        format!("1 to {most} candidates, each {{\"job\": ID, \"number\": WHOLE NUMBER FROM 0}}");
    let request: ComparisonRequest = body.read(&allowed)?;
    let count = request.candidates.len();
    if (1..=most).contains(&count) {
        Ok(request)
    } else {
        Err(body.fault(
            "/candidates".into(),
            format!("{count} candidates"),
            &allowed,
        ))
    }
}
