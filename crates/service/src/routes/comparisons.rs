//! `/v1/comparisons`: candidates of one or several jobs against each other.

use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::body::JsonBody;
use crate::comparison::{CandidateRef, Comparison, compare as side_by_side};
use crate::extract::Query;
use crate::forms::{HTML, JSON, PictureQuery, SVG, form_of, typed};
use crate::problem::Problem;
use crate::published;
use crate::report::{over_one_another, side_by_side as page_of};
use crate::routes::reports;
use crate::state::App;

/// Which candidates to compare.
#[derive(Debug, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ComparisonRequest {
    /// 1 to 64 candidates; the others are compared with the first.
    #[schema(min_items = 1, max_items = 64)]
    pub candidates: Vec<CandidateRef>,
}

/// Compare candidates of one or several jobs, quantity by quantity.
///
/// `Accept: image/svg+xml` gives a picture of all over one another: `picture` is `front_view`,
/// `top_view`, `corner_view` or the name of a curve of the assessment, such as `steer_over_lean`.
/// Another name is refused with the list of all.
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
        (status = 404, description = "No such job or candidate", body = Problem,
            content_type = "application/problem+json"),
        (status = 406, description = "None of the forms is acceptable", body = Problem,
            content_type = "application/problem+json"),
        (status = 409, description = "A job has no front", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The request holds faults", body = Problem,
            content_type = "application/problem+json"),
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
    let mut found = Vec::with_capacity(request.candidates.len());
    for name in request.candidates {
        let candidate = published::candidate(app.store(), &name.job, name.number).await?;
        found.push((name, candidate));
    }
    if form == JSON {
        return Ok(Json(side_by_side(&found)).into_response());
    }
    let input = reports::input(&app, &found[0].0.job).await?;
    if form == SVG {
        let task = move || query.pick(&over_one_another(&found, &input)?);
        return Ok(typed(SVG, app.compute().run(task).await??));
    }
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
