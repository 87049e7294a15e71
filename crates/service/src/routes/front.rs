//! `/v1/jobs/{id}/front` and `/v1/jobs/{id}/candidates/{n}`: what a job came to.

use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use design::Candidate;
use work::FrontDocument;

use crate::csv::csv;
use crate::extract::Path;
use crate::negotiate::{choose, held};
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::published;
use crate::state::App;

const JSON: &str = "application/json";
const CSV: &str = "text/csv";

/// Get the front of a finished job.
///
/// JSON by default; `Accept: text/csv` gives a table with one line a candidate. A finished front
/// never changes: send its ETag as `If-None-Match` to learn so without the body.
#[utoipa::path(get, operation_id = "get_front", path = "/v1/jobs/{id}/front", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The front", headers(("ETag" = String)),
            content((FrontDocument = "application/json"), (String = "text/csv"))),
        (status = 304, description = "The caller holds it already"),
        (status = 404, description = "No such job", body = Problem,
            content_type = "application/problem+json"),
        (status = 406, description = "Neither JSON nor CSV is acceptable", body = Problem,
            content_type = "application/problem+json"),
        (status = 409, description = "The job is not done", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn front(
    State(app): State<App>,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let front = published::front(app.store(), &id).await?;
    let form = choose(&headers, &[JSON, CSV]).ok_or_else(|| {
        Problem::new(
            Kind::NotAcceptable,
            format!("a front comes as {JSON} or {CSV}"),
        )
    })?;
    let tag = match form {
        CSV => format!("{}-csv", front.sha256),
        _ => front.sha256.clone(),
    };
    if held(&headers, &tag) {
        return Ok(lasting(StatusCode::NOT_MODIFIED.into_response(), &tag));
    }
    let response = match form {
        CSV => {
            let candidates = published::candidates(app.store(), &id).await?;
            with_type("text/csv; charset=utf-8", csv(&candidates).into_bytes())
        }
        _ => with_type(JSON, front.body),
    };
    Ok(lasting(response, &tag))
}

/// Get one candidate with everything that was asked of it and its vehicle file.
#[utoipa::path(get, operation_id = "get_candidate", path = "/v1/jobs/{id}/candidates/{n}", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("n" = u32, Path, description = "Number on the front, from 0"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The candidate", body = Candidate,
            headers(("ETag" = String))),
        (status = 304, description = "The caller holds it already"),
        (status = 404, description = "No such job or candidate", body = Problem,
            content_type = "application/problem+json"),
        (status = 409, description = "The job is not done", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn candidate(
    State(app): State<App>,
    Path((id, n)): Path<(String, u32)>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let front = published::front(app.store(), &id).await?;
    let tag = format!("{}-{n}", front.sha256);
    let body = published::candidate_bytes(app.store(), &id, n).await?;
    if held(&headers, &tag) {
        return Ok(lasting(StatusCode::NOT_MODIFIED.into_response(), &tag));
    }
    Ok(lasting(with_type(JSON, body), &tag))
}

fn with_type(media_type: &'static str, body: Vec<u8>) -> Response {
    ([(header::CONTENT_TYPE, media_type)], body).into_response()
}

/// Marks an answer as one that never changes, but is asked about before it is used again.
pub(crate) fn lasting(mut response: Response, tag: &str) -> Response {
    let headers = response.headers_mut();
    if let Ok(tag) = HeaderValue::from_str(&format!("\"{tag}\"")) {
        headers.insert(header::ETAG, tag);
    }
    headers.insert(
        header::CACHE_CONTROL,
        HeaderValue::from_static("private, no-cache"),
    );
    headers.insert(header::VARY, HeaderValue::from_static("Accept"));
    response
}
