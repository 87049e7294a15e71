//! `/v1/jobs/{id}/report` and `/v1/jobs/{id}/candidates/{n}/report`: pages to read and to print.

use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::{IntoResponse, Response};
use design::{Candidate, Compiled, parse_job};
use store::{JobId, JobKind};

use crate::convert::{faulty, store_problem};
use crate::extract::{Path, job_id};
use crate::fitted::Fitted;
use crate::forms::{lasting, unchanged};
use crate::problem::Problem;
use crate::published::{self, of_kind};
use crate::refusals::{NoSuchCandidate, NoSuchJob, NotDone, TooManyWaiting};
use crate::report::Finished;
use crate::state::App;

/// Get the report of a finished job: one self-contained HTML file without scripts. Of a search it
/// shows the front; of a fit of a machine as built the deviations, the smallest change, and curves.
#[utoipa::path(get, operation_id = "get_report", path = "/v1/jobs/{id}/report", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The report", body = String, content_type = "text/html",
            headers(("ETag" = String))),
        (status = 304, description = "The caller holds it already"),
        NoSuchJob,
        NotDone,
        TooManyWaiting,
    ))]
pub async fn job(
    State(app): State<App>,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let job = app
        .store()
        .job(&job_id(&id)?)
        .await
        .map_err(store_problem)?;
    if JobKind::parse(&job.kind) == Some(JobKind::AsBuilt) {
        return of_fit(&app, &id, &headers).await;
    }
    let tag = tag(&app, &id, "report").await?;
    if let Some(unchanged) = unchanged(&headers, &tag) {
        return Ok(unchanged);
    }
    let finished = finished(&app, &id).await?;
    let html = app.reports().run(move || finished.report()).await??;
    Ok(lasting(page(html), &tag))
}

async fn of_fit(app: &App, id: &str, headers: &HeaderMap) -> Result<Response, Problem> {
    let (fitted, sha256) = fitted(app, id).await?;
    let tag = format!("{sha256}-{}-report", work::build_id());
    if let Some(unchanged) = unchanged(headers, &tag) {
        return Ok(unchanged);
    }
    let html = app.reports().run(move || fitted.report()).await??;
    Ok(lasting(page(html), &tag))
}

/// Get the report of one candidate: one self-contained HTML file without scripts.
#[utoipa::path(get, operation_id = "get_candidate_report",
    path = "/v1/jobs/{id}/candidates/{n}/report", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("n" = u32, Path, description = "Number on the front, from 0"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The report", body = String, content_type = "text/html",
            headers(("ETag" = String))),
        (status = 304, description = "The caller holds it already"),
        NoSuchCandidate,
        (status = 409, description = "The job is not done, or the machine cannot be shown",
            body = Problem, content_type = "application/problem+json"),
        TooManyWaiting,
    ))]
pub async fn candidate(
    State(app): State<App>,
    Path((id, n)): Path<(String, u32)>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let candidate = published::candidate(&app, &id, n).await?;
    let tag = tag(&app, &id, &format!("report-{n}")).await?;
    if let Some(unchanged) = unchanged(&headers, &tag) {
        return Ok(unchanged);
    }
    let finished = finished(&app, &id).await?;
    let task = move || finished.candidate_report(n as usize, &candidate);
    let html = app.reports().run(task).await??;
    Ok(lasting(page(html), &tag))
}

/// A report depends on the result and on the program that draws it.
async fn tag(app: &App, id: &str, what: &str) -> Result<String, Problem> {
    let front = published::front(app.store(), id).await?;
    Ok(format!("{}-{}-{what}", front.sha256, work::build_id()))
}

/// A finished job with all that its reports and pictures need.
pub(crate) async fn finished(app: &App, id: &str) -> Result<Finished, Problem> {
    let front = published::front(app.store(), id).await?;
    let job = app.store().job(&job_id(id)?).await.map_err(store_problem)?;
    let mut facts = vec![("Job".to_owned(), id.to_owned())];
    facts.extend(job.build.map(|build| ("Build".to_owned(), build)));
    Ok(Finished {
        facts,
        input: input(app, id).await?,
        front: published::read(&front.body)?,
        candidates: published::candidates(app.store(), id).await?,
    })
}

/// The job of a store.
pub(crate) async fn submitted_job(app: &App, id: &str) -> Result<design::Job, Problem> {
    parse_job(&input(app, id).await?).map_err(faulty)
}

/// A job file made ready, with the vector of a candidate, by default that of the submitted vehicle. Of
/// several layouts it is the candidate's alone.
pub(crate) fn compiled(
    input: &str,
    candidate: Option<Candidate>,
) -> Result<(Compiled, Vec<f64>), Problem> {
    let job = parse_job(input).map_err(faulty)?;
    let job = job.of_layout(candidate.as_ref().map_or(0, Candidate::layout_place));
    let vector = candidate.map_or_else(|| vec![0.0; job.freedoms.len()], |c| c.vector);
    Ok((Compiled::new(&job).map_err(faulty)?, vector))
}

/// The file of a search as submitted.
pub(crate) async fn input(app: &App, id: &str) -> Result<String, Problem> {
    let id = job_id(id)?;
    let job = app.store().job(&id).await.map_err(store_problem)?;
    of_kind(&job, JobKind::Search)?;
    text_of(app, &id).await
}

async fn text_of(app: &App, id: &JobId) -> Result<String, Problem> {
    let bytes = app.store().input(id).await.map_err(store_problem)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A finished fit with all that its report needs.
pub(crate) async fn fitted(app: &App, id: &str) -> Result<(Fitted, String), Problem> {
    let published = published::fit(app.store(), id).await?;
    let id = job_id(id)?;
    let job = app.store().job(&id).await.map_err(store_problem)?;
    let mut facts = vec![("Job".to_owned(), id.to_string())];
    facts.extend(job.build.map(|build| ("Build".to_owned(), build)));
    let fitted = Fitted {
        facts,
        input: text_of(app, &id).await?,
        fit: published::read(&published.body)?,
    };
    Ok((fitted, published.sha256))
}

/// A page under the policy of reports: their own stylesheet, no script, nothing from elsewhere.
pub(crate) fn page(html: String) -> Response {
    let mut response = html.into_response();
    let headers = response.headers_mut();
    headers.insert(
        header::CONTENT_TYPE,
        HeaderValue::from_static("text/html; charset=utf-8"),
    );
    headers.insert(
        header::CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(drawing::report_policy()),
    );
    response
}
