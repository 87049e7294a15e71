//! `/v1/schema/…` and `/v1/openapi.json`: the forms of inputs and of this interface.

use std::sync::OnceLock;

use axum::Json;
use serde_json::Value;

use crate::openapi;

/// JSON Schema of a job file.
#[utoipa::path(get, operation_id = "get_job_schema", path = "/v1/schema/job", tag = "about",
    responses((status = 200, description = "JSON Schema, draft 2020-12", body = serde_json::Value)))]
pub async fn job() -> Json<Value> {
    Json(design::job_schema())
}

/// JSON Schema of a vehicle file.
#[utoipa::path(get, operation_id = "get_vehicle_schema", path = "/v1/schema/vehicle", tag = "about",
    responses((status = 200, description = "JSON Schema, draft 2020-12", body = serde_json::Value)))]
pub async fn vehicle() -> Json<Value> {
    Json(design::vehicle_schema())
}

/// JSON Schema of what a fit of a machine as built is asked by.
#[utoipa::path(get, operation_id = "get_fit_schema", path = "/v1/schema/fit", tag = "about",
    responses((status = 200, description = "JSON Schema, draft 2020-12", body = serde_json::Value)))]
pub async fn fit() -> Json<Value> {
    Json(design::as_built_schema())
}

/// This document.
#[utoipa::path(get, operation_id = "get_openapi", path = "/v1/openapi.json", tag = "about",
    responses((status = 200, description = "OpenAPI 3.1", body = serde_json::Value)))]
pub async fn openapi() -> Json<&'static Value> {
    static DOCUMENT: OnceLock<Value> = OnceLock::new();
    Json(DOCUMENT.get_or_init(openapi::document))
}
