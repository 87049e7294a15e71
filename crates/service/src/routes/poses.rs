//! `/v1/poses`: poses of one vehicle, solved at once.

use axum::Json;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use design::{Fault, PoseAnswer, PoseError, PoseQuestion, Poser, Vehicle};
use drawing::pose_parts;
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use utoipa::ToSchema;

use crate::body::JsonBody;
use crate::convert::{faulty, no_pose};
use crate::problem::Problem;
use crate::refusals::{NotJson, TooManyWaiting};
use crate::routes::assessments::vehicle;
use crate::state::App;

/// Most poses in one request.
pub const MOST_POSES: usize = 400;

/// What poses are asked by.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PoseRequest {
    vehicle: Box<RawValue>,
    #[serde(default)]
    lean_deg: f64,
    #[serde(default)]
    steer_deg: f64,
    #[serde(default)]
    steer_mm: Option<f64>,
    #[serde(default)]
    mean_travel_mm: Option<f64>,
    #[serde(default)]
    poses: Option<Vec<PoseQuestion>>,
    #[serde(default)]
    parts: bool,
}

/// Many poses of one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PoseList {
    /// One for each question, in its order.
    pub poses: Vec<PoseOrNot>,
}

/// A pose, or why the machine does not reach it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PoseOrNot {
    /// The pose, where it is reached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pose: Option<PoseAnswer>,
    /// What fails, where it is not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unreachable: Option<String>,
}

/// Solve one pose of one vehicle, or many.
///
/// The body is `{"vehicle": VEHICLE, "lean_deg": 0, "steer_deg": 0, "mean_travel_mm": 0}`; what
/// is left out is zero, and `mean_travel_mm` is then as the coupling holds it. On a slider
/// machine `steer_deg` turns the handlebar; `steer_mm` in its place moves the slider.
///
/// With `"poses": [{"lean_deg": 0, …}, …]`, at most 400, the answer is `{"poses": […]}`: for each in
/// its order a `pose`, or under `unreachable` what fails there. With `"parts": true` each pose has
/// `parts`: tyres, rods, wishbones and joints in ground axes, with the joints' angles.
#[utoipa::path(post, operation_id = "solve_pose", path = "/v1/poses", tag = "at once",
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A vehicle and what drives it"),
    responses(
        (status = 200, description = "The pose, or a `PoseList` where many were asked for",
            body = PoseOrList),
        NotJson,
        (status = 422, description = "The input holds faults, or the one pose cannot be reached",
            body = Problem, content_type = "application/problem+json"),
        TooManyWaiting,
    ))]
pub async fn solve(State(app): State<App>, body: JsonBody) -> Result<Response, Problem> {
    let asked: PoseRequest = body.read(
        "{\"vehicle\": VEHICLE, \"lean_deg\": NUMBER, \"steer_deg\": NUMBER, \
         \"steer_mm\": NUMBER, \"mean_travel_mm\": NUMBER, \"poses\": [POSE], \
         \"parts\": true or false}",
    )?;
    let vehicle = vehicle(&asked.vehicle)?;
    let answer = app.compute().run(move || answer(&vehicle, asked, &body));
    Ok(Json(answer.await??).into_response())
}

/// One pose or many.
#[derive(Debug, Serialize, ToSchema)]
#[serde(untagged)]
pub enum PoseOrList {
    /// The one pose asked for.
    One(Box<PoseAnswer>),
    /// Those of `poses`.
    Many(PoseList),
}

fn answer(vehicle: &Vehicle, asked: PoseRequest, body: &JsonBody) -> Result<PoseOrList, Problem> {
    let single = PoseQuestion {
        lean_deg: asked.lean_deg,
        steer_deg: asked.steer_deg,
        steer_mm: asked.steer_mm,
        mean_travel_mm: asked.mean_travel_mm,
    };
    let poser = Poser::new(vehicle).map_err(no_pose)?;
    let Some(questions) = asked.poses else {
        let pose = solved(&poser, &single, asked.parts).map_err(no_pose)?;
        return Ok(PoseOrList::One(Box::new(pose)));
    };
    check(&single, &questions, body)?;
    let one = |(index, question)| match solved(&poser, question, asked.parts) {
        Ok(pose) => Ok(PoseOrNot {
            pose: Some(pose),
            unreachable: None,
        }),
        Err(PoseError::Unreachable(why)) => Ok(PoseOrNot {
            pose: None,
            unreachable: Some(why),
        }),
        Err(PoseError::Input(faults)) => Err(within(faults, index)),
    };
    let poses: Result<Vec<PoseOrNot>, Problem> = questions.iter().enumerate().map(one).collect();
    Ok(PoseOrList::Many(PoseList { poses: poses? }))
}

fn check(
    single: &PoseQuestion,
    questions: &[PoseQuestion],
    body: &JsonBody,
) -> Result<(), Problem> {
    if *single != PoseQuestion::default() {
        let message = "poses stand beside a single pose".to_owned();
        let allowed = "either poses, or lean_deg, steer_deg, steer_mm and mean_travel_mm";
        return Err(body.fault("/poses".to_owned(), message, allowed));
    }
    if !(1..=MOST_POSES).contains(&questions.len()) {
        let message = format!("{} poses", questions.len());
        let allowed = format!("1 to {MOST_POSES} poses");
        return Err(body.fault("/poses".to_owned(), message, &allowed));
    }
    Ok(())
}

fn solved(poser: &Poser, question: &PoseQuestion, parts: bool) -> Result<PoseAnswer, PoseError> {
    let pose = poser.solve(question)?;
    let mut answer = poser.answer(&pose);
    if parts {
        answer.parts = Some(pose_parts(poser, &pose));
    }
    Ok(answer)
}

fn within(mut faults: Vec<Fault>, index: usize) -> Problem {
    for fault in &mut faults {
        fault.pointer.insert_str(0, &format!("/poses/{index}"));
    }
    faulty(faults)
}
