//! `/v1/vehicles/{id}/versions`: the versions of a saved vehicle, which never change.

use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Response;
use store::NewVersion;

use crate::body::JsonBody;
use crate::convert::store_problem;
use crate::extract::{Path, vehicle_id};
use crate::forms::{JSON, lasting, typed, unchanged};
use crate::garage::{SavedVehicleStatus, ToSaveAsVersion};
use crate::problem::Problem;
use crate::refusals::{ChangedSince, FaultyVehicle, NoSuchVehicle};
use crate::routes::assessments::vehicle as sound;
use crate::routes::vehicles::{made, origin, pointed, seen};
use crate::state::App;

/// Save one more version of a vehicle.
///
/// Versions count from 1 and never change. With `If-Match` it is saved only if nobody changed the
/// vehicle since.
#[utoipa::path(post, operation_id = "save_version", path = "/v1/vehicles/{id}/versions",
    tag = "vehicles",
    params(
        ("id" = String, Path, description = "Saved vehicle"),
        ("If-Match" = Option<String>, Header, description = "ETag of the vehicle as last seen"),
    ),
    request_body = ToSaveAsVersion,
    responses(
        (status = 201, description = "The vehicle with its new version", body = SavedVehicleStatus,
            headers(("Location" = String, description = "Address of the version"),
                ("ETag" = String, description = "The vehicle's revision, for If-Match"))),
        (status = 400, description = "Not JSON, or not a usable If-Match", body = Problem,
            content_type = "application/problem+json"),
        NoSuchVehicle,
        (status = 409, description = "It has as many versions as may be", body = Problem,
            content_type = "application/problem+json"),
        ChangedSince,
        FaultyVehicle,
    ))]
pub async fn save_version(
    State(app): State<App>,
    Path(id): Path<String>,
    headers: HeaderMap,
    body: JsonBody,
) -> Result<Response, Problem> {
    let id = vehicle_id(&id)?;
    let asked: ToSaveAsVersion =
        body.read("{\"vehicle\": VEHICLE, \"note\": TEXT, \"from\": MACHINE}")?;
    sound(&asked.vehicle)?;
    let new = NewVersion {
        body: asked.vehicle.get().as_bytes().to_vec(),
        note: asked.note,
        origin: origin(&body, asked.from.as_ref())?,
    };
    let number = app.store().save_version(&id, &new, seen(&headers)?).await;
    let number = number.map_err(|error| pointed(&body, error))?;
    let place = format!("/v1/vehicles/{id}/versions/{number}");
    made(&app, &id, place).await
}

/// Get the vehicle file of a version, byte for byte as it was saved.
///
/// It never changes: send its ETag as `If-None-Match` to learn so without the body.
#[utoipa::path(get, operation_id = "get_version", path = "/v1/vehicles/{id}/versions/{n}",
    tag = "vehicles",
    params(
        ("id" = String, Path, description = "Saved vehicle"),
        ("n" = u32, Path, description = "Number of the version, from 1"),
        ("If-None-Match" = Option<String>, Header, description = "ETags the caller holds"),
    ),
    responses(
        (status = 200, description = "The vehicle file", body = serde_json::Value,
            headers(("ETag" = String))),
        (status = 304, description = "The caller holds it already"),
        (status = 404, description = "No such vehicle or version", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn version(
    State(app): State<App>,
    Path((id, n)): Path<(String, u32)>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let found = app.store().version(&vehicle_id(&id)?, n).await;
    let found = found.map_err(store_problem)?;
    let held = unchanged(&headers, &found.sha256);
    Ok(held.unwrap_or_else(|| lasting(typed(JSON, found.body), &found.sha256)))
}
