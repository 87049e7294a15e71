//! `/v1/vehicles`: vehicles that callers keep, with notes, labels and versions.

use axum::Json;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use store::{NewVehicle, NewVersion, VehicleChange, VehicleFilter, VehicleId};

use crate::body::JsonBody;
use crate::convert::store_problem;
use crate::extract::{Path, Query, page_limit, vehicle_id};
use crate::garage::{Changes, MachineRef, SavedVehicleList, SavedVehicleStatus, ToSave};
use crate::problem::Problem;
use crate::refusals::{
    ChangedSince, FaultyBody, FaultyVehicle, NoSuchVehicle, NotJson, OutOfRange,
};
use crate::routes::assessments::vehicle as sound;
use crate::state::App;
use crate::submission::CALLER;

/// Save a vehicle.
///
/// The vehicle is checked as in a job; what is wrong is pointed at. It is kept byte for byte as its
/// first version. Without `name` it has the name in its file.
#[utoipa::path(post, operation_id = "save_vehicle", path = "/v1/vehicles", tag = "vehicles",
    request_body = ToSave,
    responses(
        (status = 201, description = "The saved vehicle", body = SavedVehicleStatus,
            headers(("Location" = String, description = "Address of the vehicle"),
                ("ETag" = String, description = "Its revision, for If-Match"))),
        NotJson,
        (status = 409, description = "As many vehicles are kept as may be", body = Problem,
            content_type = "application/problem+json"),
        FaultyVehicle,
    ))]
pub async fn save(State(app): State<App>, body: JsonBody) -> Result<Response, Problem> {
    let asked: ToSave = body.read(
        "{\"vehicle\": VEHICLE, \"name\": TEXT, \"notes\": TEXT, \
        \"labels\": [TEXT], \"note\": TEXT, \"from\": MACHINE}",
    )?;
    let file = sound(&asked.vehicle)?;
    let nameless = || "vehicle without a name".to_owned();
    let in_file = Some(file.name).filter(|name| !name.trim().is_empty());
    let new = NewVehicle {
        caller: CALLER.to_owned(),
        name: asked.name.or(in_file).unwrap_or_else(nameless),
        notes: asked.notes,
        labels: asked.labels,
        first: NewVersion {
            body: asked.vehicle.get().as_bytes().to_vec(),
            note: asked.note,
            origin: origin(&body, asked.from.as_ref())?,
        },
    };
    let saved = app.store().save_vehicle(&new).await;
    let saved = saved.map_err(|error| pointed(&body, error))?;
    let place = format!("/v1/vehicles/{}", saved.id);
    made(&app, &saved.id, place).await
}

/// Parameters of the list.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ListQuery {
    name: Option<String>,
    label: Option<String>,
    limit: Option<String>,
    cursor: Option<String>,
}

/// List saved vehicles, newest first, without their versions.
#[utoipa::path(get, operation_id = "list_vehicles", path = "/v1/vehicles", tag = "vehicles",
    params(
        ("name" = Option<String>, Query, description = "Only vehicles whose name contains this"),
        ("label" = Option<String>, Query, description = "Only vehicles with this label"),
        ("limit" = Option<u32>, Query, description = "Vehicles on a page, 1 to 200; by default 50"),
        ("cursor" = Option<String>, Query, description = "next_cursor of the page before"),
    ),
    responses(
        (status = 200, description = "One page of vehicles", body = SavedVehicleList),
        OutOfRange,
    ))]
pub async fn list(
    State(app): State<App>,
    Query(query): Query<ListQuery>,
) -> Result<Json<SavedVehicleList>, Problem> {
    let page = app.limits().page;
    let filter = VehicleFilter {
        caller: None,
        label: query.label,
        name: query.name,
        limit: query.limit.map_or(Ok(0), |text| page_limit(&text, page))?,
        cursor: query.cursor,
    };
    let found = app.store().vehicles(&filter).await;
    Ok(Json(found.map_err(store_problem)?.into()))
}

/// Look at a saved vehicle and its versions.
#[utoipa::path(get, operation_id = "get_vehicle", path = "/v1/vehicles/{id}", tag = "vehicles",
    params(("id" = String, Path, description = "Saved vehicle")),
    responses(
        (status = 200, description = "The vehicle with all its versions",
            body = SavedVehicleStatus,
            headers(("ETag" = String, description = "Its revision, for If-Match"))),
        NoSuchVehicle,
    ))]
pub async fn one(State(app): State<App>, Path(id): Path<String>) -> Result<Response, Problem> {
    status(&app, &vehicle_id(&id)?).await
}

/// Change a saved vehicle's name, notes or labels.
///
/// What is absent stays. With `If-Match` the change is made only if nobody changed the vehicle since.
#[utoipa::path(patch, operation_id = "change_vehicle", path = "/v1/vehicles/{id}", tag = "vehicles",
    params(
        ("id" = String, Path, description = "Saved vehicle"),
        ("If-Match" = Option<String>, Header, description = "ETag of the vehicle as last seen"),
    ),
    request_body = Changes,
    responses(
        (status = 200, description = "The vehicle as it now stands", body = SavedVehicleStatus,
            headers(("ETag" = String))),
        (status = 400, description = "Not JSON, or not a usable If-Match", body = Problem,
            content_type = "application/problem+json"),
        NoSuchVehicle,
        ChangedSince,
        FaultyBody,
    ))]
pub async fn change(
    State(app): State<App>,
    Path(id): Path<String>,
    headers: HeaderMap,
    body: JsonBody,
) -> Result<Response, Problem> {
    let id = vehicle_id(&id)?;
    let asked: Changes = body.read("an object with name, notes, labels")?;
    let change = VehicleChange {
        name: asked.name,
        notes: asked.notes,
        labels: asked.labels,
    };
    let done = app
        .store()
        .change_vehicle(&id, &change, seen(&headers)?)
        .await;
    done.map_err(|error| pointed(&body, error))?;
    status(&app, &id).await
}

/// Delete a saved vehicle with all its versions.
///
/// Jobs that were made from it keep their own copy. What was deleted cannot be brought back.
#[utoipa::path(delete, operation_id = "delete_vehicle", path = "/v1/vehicles/{id}", tag = "vehicles",
    params(
        ("id" = String, Path, description = "Saved vehicle"),
        ("If-Match" = Option<String>, Header, description = "ETag of the vehicle as last seen"),
    ),
    responses(
        (status = 204, description = "The vehicle is gone"),
        (status = 400, description = "Not a usable If-Match", body = Problem,
            content_type = "application/problem+json"),
        NoSuchVehicle,
        ChangedSince,
    ))]
pub async fn delete(
    State(app): State<App>,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<StatusCode, Problem> {
    let done = app
        .store()
        .delete_vehicle(&vehicle_id(&id)?, seen(&headers)?)
        .await;
    done.map_err(store_problem)?;
    Ok(StatusCode::NO_CONTENT)
}

async fn status(app: &App, id: &VehicleId) -> Result<Response, Problem> {
    // The vehicle first: a version that comes meanwhile then makes the tag older than the list, so
    // that a change by this tag is refused rather than made unawares.
    let vehicle = app.store().vehicle(id).await.map_err(store_problem)?;
    let versions = app.store().versions(id).await.map_err(store_problem)?;
    let tag = tag(vehicle.revision);
    let mut response = Json(SavedVehicleStatus::with_versions(vehicle, versions)).into_response();
    if let Ok(tag) = HeaderValue::from_str(&tag) {
        response.headers_mut().insert(header::ETAG, tag);
    }
    Ok(response)
}

pub(super) async fn made(app: &App, id: &VehicleId, place: String) -> Result<Response, Problem> {
    let mut response = status(app, id).await?;
    *response.status_mut() = StatusCode::CREATED;
    if let Ok(place) = HeaderValue::from_str(&place) {
        response.headers_mut().insert(header::LOCATION, place);
    }
    Ok(response)
}

fn tag(revision: u64) -> String {
    format!("\"r{revision}\"")
}

/// The revision that the caller has seen, by `If-Match` (RFC 9110, section 13.1.1).
pub(super) fn seen(headers: &HeaderMap) -> Result<Option<u64>, Problem> {
    let Some(value) = headers.get(header::IF_MATCH) else {
        return Ok(None);
    };
    let text = value.to_str().unwrap_or("not text").trim();
    if text == "*" {
        return Ok(None);
    }
    let number = text
        .strip_prefix("\"r")
        .and_then(|text| text.strip_suffix('"'));
    let number = number.and_then(|digits| digits.parse().ok());
    number.map(Some).ok_or_else(|| {
        let allowed = "the ETag of the vehicle, such as \"r3\", or *";
        Problem::bad_parameter("If-Match", text, "not a revision of a vehicle", allowed)
    })
}

pub(super) fn origin(
    body: &JsonBody,
    from: Option<&MachineRef>,
) -> Result<Option<Vec<u8>>, Problem> {
    let Some(from) = from else {
        return Ok(None);
    };
    if !from.is_whole() {
        let message = "not the name of a candidate or of a saved version".to_owned();
        return Err(body.fault("/from".to_owned(), message, MachineRef::ALLOWED));
    }
    // Plain numbers and texts always have a JSON form.
    Ok(serde_json::to_vec(from).ok())
}

/// What the store refuses about a field of the body points there.
pub(super) fn pointed(body: &JsonBody, error: store::Error) -> Problem {
    match error {
        store::Error::Invalid { field, message } => {
            body.fault(format!("/{field}"), message, "see the message")
        }
        other => store_problem(other),
    }
}
