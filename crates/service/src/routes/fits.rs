//! `/v1/fits` and `/v1/jobs/{id}/fit`: a machine as built, explained from readings.

use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use design::{AsBuiltFit, fit_as_built, parse_as_built};

use crate::body::JsonBody;
use crate::convert::faulty;
use crate::extract::Path;
use crate::fitted::Fitted;
use crate::forms::{CSV, HTML, JSON, form_of, lasting, table, tag, typed, unchanged};
use crate::problem::Problem;
use crate::published;
use crate::refusals::{NoSuchForm, NoSuchJob, NotJson, TooManyWaiting};
use crate::routes::reports;
use crate::state::App;

/// Fit a machine as built: which deviations from its drawing explain what was read off it.
///
/// The body holds the vehicle as drawn, readings of toe, camber and height in poses or points that
/// were measured, and what may deviate, each with the standard deviation that is expected; its
/// schema is at /v1/schema/fit. The answer gives each deviation with its uncertainty, names those
/// that the readings do not see or tell together only, and, where changes are allowed, the smallest
/// change that brings the figures back to those of the drawing. With `Accept: text/html` it is a
/// page to read and to print. A fit with many unknowns takes minutes: POST the same file, with
/// `"kind": "as_built"` in it, to /v1/jobs, and a worker computes it.
#[utoipa::path(post, operation_id = "fit_as_built", path = "/v1/fits", tag = "at once",
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A vehicle as drawn, readings, unknowns, and changes that are allowed"),
    responses(
        (status = 200, description = "The fit",
            content((AsBuiltFit = "application/json"), (String = "text/html"))),
        NotJson,
        NoSuchForm,
        (status = 422, description = "The input holds faults, a pose cannot be reached, or fewer \
            figures were read than there are unknowns",
            body = Problem, content_type = "application/problem+json"),
        TooManyWaiting,
    ))]
pub async fn fit(
    State(app): State<App>,
    headers: HeaderMap,
    body: JsonBody,
) -> Result<Response, Problem> {
    let form = form_of(&headers, "a fit", &[JSON, HTML])?;
    let input = body.text;
    let asked = parse_as_built(&input).map_err(faulty)?;
    let answer = app.reports().run(move || fit_as_built(&asked)).await?;
    let fit = answer.map_err(faulty)?;
    if form != HTML {
        return Ok(Json(fit).into_response());
    }
    let fitted = Fitted {
        facts: Vec::new(),
        input,
        fit,
    };
    let html = app.reports().run(move || fitted.report()).await??;
    Ok(reports::page(html))
}

/// Get the fit of a finished job of the kind `as_built`.
///
/// As CSV by `Accept` the table of its figures: each as read, fitted, drawn and after the change.
#[utoipa::path(get, operation_id = "get_fit", path = "/v1/jobs/{id}/fit", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The fit",
            content((AsBuiltFit = "application/json"), (String = "text/csv")),
            headers(("ETag" = String))),
        (status = 304, description = "The caller holds it already"),
        NoSuchJob,
        NoSuchForm,
        (status = 409, description = "The job is not done, or is no fit", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn of_job(
    State(app): State<App>,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let form = form_of(&headers, "a fit", &[JSON, CSV])?;
    let published = published::fit(app.store(), &id).await?;
    let tag = tag(&published.sha256, form, "fit");
    if let Some(unchanged) = unchanged(&headers, &tag) {
        return Ok(unchanged);
    }
    if form == JSON {
        return Ok(lasting(typed(JSON, published.body), &tag));
    }
    let (fitted, _) = reports::fitted(&app, &id).await?;
    Ok(lasting(table(&fitted.figures()?, form)?, &tag))
}
