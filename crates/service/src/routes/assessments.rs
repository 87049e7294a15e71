//! `/v1/assessments` and `/v1/poses`: one vehicle, answered at once on the compute thread.

use axum::Json;
use axum::extract::State;
use design::{
    Assessment, PoseAnswer, PoseQuestion, Reach, Vehicle, assessment, parse_vehicle, pose,
};
use serde_json::{Map, Value};

use crate::body::JsonBody;
use crate::convert::{faulty, no_pose};
use crate::problem::{InputFault, Problem};
use crate::state::App;

/// Assess one vehicle: every quantity with its worst pose, curves, what stops it.
///
/// The body is `{"vehicle": VEHICLE, "reach": REACH}`; the schema of a vehicle is at
/// /v1/schema/vehicle. `reach` may be left out and is then the default of a job.
#[utoipa::path(post, path = "/v1/assessments", tag = "at once",
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A vehicle, and the reach to take it over"),
    responses(
        (status = 200, description = "The assessment", body = Assessment),
        (status = 400, description = "Not JSON", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The vehicle holds faults or cannot be assembled",
            body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many are waiting; see Retry-After", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn assess(State(app): State<App>, body: JsonBody) -> Result<Json<Assessment>, Problem> {
    let (vehicle, mut rest) = vehicle_and_rest(body.value)?;
    let reach = reach(rest.remove("reach"))?;
    refuse_unknown(&rest, "vehicle, reach")?;
    let answer = app
        .compute()
        .run(move || assessment(&vehicle, &reach))
        .await?;
    answer.map(Json).map_err(faulty)
}

fn reach(value: Option<Value>) -> Result<Reach, Problem> {
    let Some(value) = value else {
        return Ok(Reach::default());
    };
    Reach::deserialize_or(value, "/reach")
}

/// Solve one pose of one vehicle.
///
/// The body is `{"vehicle": VEHICLE, "lean_deg": 0, "steer_deg": 0, "mean_travel_mm": 0}`; what
/// is left out is zero, and `mean_travel_mm` is then as the coupling holds it.
#[utoipa::path(post, path = "/v1/poses", tag = "at once",
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A vehicle and what drives it"),
    responses(
        (status = 200, description = "The pose", body = PoseAnswer),
        (status = 400, description = "Not JSON", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The input holds faults, or the pose cannot be reached",
            body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many are waiting; see Retry-After", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn solve(State(app): State<App>, body: JsonBody) -> Result<Json<PoseAnswer>, Problem> {
    let (vehicle, rest) = vehicle_and_rest(body.value)?;
    let question = PoseQuestion::deserialize_or(Value::Object(rest), "")?;
    let answer = app.compute().run(move || pose(&vehicle, &question)).await?;
    answer.map(Json).map_err(no_pose)
}

/// A small record whose only faults are those of its form.
trait DeserializeOr: Sized {
    fn deserialize_or(value: Value, pointer: &str) -> Result<Self, Problem>;
}

impl<T: serde::de::DeserializeOwned> DeserializeOr for T {
    fn deserialize_or(value: Value, pointer: &str) -> Result<Self, Problem> {
        T::deserialize(&value).map_err(|error| {
            Problem::bad_input(vec![InputFault {
                pointer: pointer.to_owned(),
                message: error.to_string(),
                value,
                allowed: "see the schema of this request".to_owned(),
            }])
        })
    }
}

fn vehicle_and_rest(body: Value) -> Result<(Vehicle, Map<String, Value>), Problem> {
    let Value::Object(mut members) = body else {
        return Err(one_fault(
            "",
            "not an object",
            body,
            "an object with a vehicle",
        ));
    };
    let Some(vehicle) = members.remove("vehicle") else {
        return Err(one_fault("/vehicle", "absent", Value::Null, "a vehicle"));
    };
    let vehicle = parse_vehicle(&vehicle.to_string()).map_err(|mut faults| {
        for fault in &mut faults {
            fault.pointer.insert_str(0, "/vehicle");
        }
        faulty(faults)
    })?;
    Ok((vehicle, members))
}

fn refuse_unknown(rest: &Map<String, Value>, allowed: &str) -> Result<(), Problem> {
    let faults: Vec<_> = rest
        .iter()
        .map(|(name, value)| InputFault {
            pointer: format!("/{}", name.replace('~', "~0").replace('/', "~1")),
            message: "no such member".to_owned(),
            value: value.clone(),
            allowed: allowed.to_owned(),
        })
        .collect();
    if faults.is_empty() {
        Ok(())
    } else {
        Err(Problem::bad_input(faults))
    }
}

fn one_fault(pointer: &str, message: &str, value: Value, allowed: &str) -> Problem {
    Problem::bad_input(vec![InputFault {
        pointer: pointer.to_owned(),
        message: message.to_owned(),
        value,
        allowed: allowed.to_owned(),
    }])
}
