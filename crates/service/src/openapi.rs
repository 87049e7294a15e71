//! The OpenAPI document, made from the routes and the schemas of the inputs.

use serde_json::{Value, json};
use utoipa::OpenApi;

use crate::forms::MOST_PICTURES;
use crate::limits::Limits;
use crate::routes::poses::MOST_POSES;

#[derive(OpenApi)]
#[openapi(
    components(schemas(design::PoseQuestion)),
    info(
        title = "leanwright",
        description = "Searches the front end of leaning cargo tricycles: a job goes in, a Pareto \
                       front of hardpoints comes out."
    ),
    tags(
        (name = "jobs", description = "Searches: submit, follow, fetch, compare"),
        (name = "vehicles", description = "Vehicles that are kept, with notes and versions"),
        (name = "at once", description = "One vehicle, answered at once"),
        (name = "about", description = "Forms, problems, probes"),
    )
)]
struct Info;

/// What the router starts from.
pub fn info() -> utoipa::openapi::OpenApi {
    Info::openapi()
}

/// The whole document, with the schemas of job and vehicle file among its components.
pub fn document() -> Value {
    let mut api = crate::router::documented().into_openapi();
    let limits = Limits::default().describe();
    let about = api.info.description.take().unwrap_or_default();
    api.info.description = Some(format!("{about}\n\n{limits}"));
    let mut document = serde_json::to_value(api).unwrap_or_default();
    adopt(&mut document, "JobFile", design::job_schema());
    adopt(&mut document, "VehicleFile", design::vehicle_schema());
    let body = |path: &str| format!("/paths/{}/post/requestBody", path.replace('/', "~1"));
    let vehicle = json!({"$ref": "#/components/schemas/VehicleFile"});
    set_body(
        &mut document,
        &body("/v1/jobs"),
        json!({"$ref": "#/components/schemas/JobFile"}),
    );
    set_body(
        &mut document,
        &body("/v1/assessments"),
        json!({
            "type": "object",
            "required": ["vehicle"],
            "additionalProperties": false,
            "properties": {
                "vehicle": vehicle,
                "reach": {"type": ["object", "null"]},
                "job": {"type": ["string", "null"]},
                "against": {"anyOf": [vehicle, {"type": "null"}]},
                "pictures": {"type": "array", "maxItems": MOST_PICTURES, "items": {"type": "string"}},
                "labels": {
                    "type": ["array", "null"],
                    "minItems": 2,
                    "maxItems": 2,
                    "items": {"type": "string"},
                },
            },
        }),
    );
    let number = json!({"type": "number"});
    set_body(
        &mut document,
        &body("/v1/poses"),
        json!({
            "type": "object",
            "required": ["vehicle"],
            "additionalProperties": false,
            "properties": {
                "vehicle": vehicle,
                "lean_deg": number,
                "steer_deg": number,
                "steer_mm": {"type": ["number", "null"]},
                "mean_travel_mm": {"type": ["number", "null"]},
                "poses": {
                    "type": ["array", "null"],
                    "minItems": 1,
                    "maxItems": MOST_POSES,
                    "items": {"$ref": "#/components/schemas/PoseQuestion"},
                },
                "parts": {"type": "boolean"},
            },
        }),
    );
    for form in ["ToSave", "ToSaveAsVersion"] {
        let place = format!("/components/schemas/{form}/properties/vehicle");
        if let Some(member) = document.pointer_mut(&place) {
            *member = vehicle.clone();
        }
    }
    state_token(&mut document);
    state_problems(&mut document);
    document
}

/// A token may or may not be required, depending on how the server was started.
fn state_token(document: &mut Value) {
    document["components"]["securitySchemes"] = json!({
        "token": {
            "type": "http",
            "scheme": "bearer",
            "description": "Required when the server was started with a token file",
        },
    });
    document["security"] = json!([{}, {"token": []}]);
}

/// What may happen on every route is said once for each: guards, limits, faults of the server.
fn state_problems(document: &mut Value) {
    let any_other = json!({
        "description": "Any other problem; /problems lists every kind",
        "content": {
            "application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}},
        },
    });
    let paths = document["paths"].as_object_mut().into_iter().flatten();
    for (_, path) in paths {
        for (_, operation) in path.as_object_mut().into_iter().flatten() {
            operation["responses"]["default"] = any_other.clone();
        }
    }
}

fn set_body(document: &mut Value, pointer: &str, schema: Value) {
    if let Some(body) = document.pointer_mut(pointer) {
        body["content"]["application/json"]["schema"] = schema;
    }
}

/// Puts a JSON Schema among the components.
fn adopt(document: &mut Value, name: &str, mut schema: Value) {
    if let Value::Object(members) = &mut schema {
        members.remove("$schema");
    }
    if let Some(Value::Object(schemas)) = document.pointer_mut("/components/schemas") {
        schemas.insert(name.to_owned(), schema);
    }
}
