//! `/v1/jobs/{id}/archive`: the whole archive of a finished job with every figure that was asked for.

use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Response;
use design::Candidate;
use drawing::front_sheet;

use crate::extract::{Path, job_id};
use crate::forms::{CSV, JSON, PARQUET, form_of, lasting, table, tag, unchanged};
use crate::problem::Problem;
use crate::published;
use crate::refusals::{NoSuchForm, NoSuchJob, NotDone, TooManyWaiting};
use crate::state::App;

/// Get the whole archive of a finished job as a table.
///
/// One row for each feasible candidate that no other beats, in the order of the front's `archive`:
/// its columns are those of the front as a table. A row that stands on the front has its number there;
/// the others are numbered on from the front's last, and such a number is good wherever a candidate's
/// is, such as `/v1/jobs/{id}/candidates/{n}`. A front keeps goals alone of its archive, so every
/// row is computed again by the asked server's build, some tenths of a millisecond each. JSON (an
/// array of rows) by default, CSV or Parquet by `Accept`.
#[utoipa::path(get, operation_id = "get_archive", path = "/v1/jobs/{id}/archive", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The table", headers(("ETag" = String)),
            content((serde_json::Value = "application/json"), (String = "text/csv"),
                (String = "application/vnd.apache.parquet"))),
        (status = 304, description = "The caller holds it already"),
        NoSuchJob,
        NoSuchForm,
        NotDone,
        TooManyWaiting,
    ))]
pub async fn archive(
    State(app): State<App>,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let front = published::front(app.store(), &id).await?;
    let form = form_of(&headers, "an archive", &[JSON, CSV, PARQUET])?;
    let tag = tag(
        &front.sha256,
        form,
        &format!("archive-{}", work::build_id()),
    );
    if let Some(unchanged) = unchanged(&headers, &tag) {
        return Ok(unchanged);
    }
    let kept: published::Numbered = published::read(&front.body)?;
    let compiled = app.made_ready(&job_id(&id)?).await?;
    let sheet = move || {
        let rows = kept.archive.iter();
        let all: Vec<Candidate> = rows.map(|row| row.candidate(&compiled)).collect();
        let numbered: Vec<_> = kept.numbers().into_iter().zip(&all).collect();
        front_sheet(&numbered)
    };
    let sheet = app.reports().run(sheet).await?;
    Ok(lasting(table(&sheet, form)?, &tag))
}
