use std::sync::mpsc::channel;

use axum::http::StatusCode;
use design::{PoseQuestion, Reach, parse_vehicle};
use leanwright_service::{Kind, Limits};
use serde_json::{Value, json};

use crate::world::{VEHICLE, World};

fn vehicle() -> Value {
    serde_json::from_str(VEHICLE).unwrap()
}

#[tokio::test]
async fn an_assessment_is_the_one_that_the_library_gives() {
    let world = World::new().await;
    let body = json!({"vehicle": vehicle()}).to_string();
    let answer = world.post("/v1/assessments", body).await;
    assert_eq!(answer.status, StatusCode::OK);
    let vehicle = parse_vehicle(VEHICLE).unwrap();
    let expected = design::assessment(&vehicle, &Reach::default()).unwrap();
    assert_eq!(answer.json(), serde_json::to_value(expected).unwrap());
}

#[tokio::test]
async fn a_pose_is_the_one_that_the_library_gives() {
    let world = World::new().await;
    let body = json!({"vehicle": vehicle(), "lean_deg": -6, "steer_deg": 10}).to_string();
    let answer = world.post("/v1/poses", body).await;
    assert_eq!(answer.status, StatusCode::OK);
    let question = PoseQuestion {
        lean_deg: -6.0,
        steer_deg: 10.0,
        steer_mm: None,
        mean_travel_mm: None,
    };
    let expected = design::pose(&parse_vehicle(VEHICLE).unwrap(), &question).unwrap();
    assert_eq!(answer.json(), serde_json::to_value(expected).unwrap());
}

#[tokio::test]
async fn a_pose_out_of_reach_is_a_problem_that_names_what_fails() {
    let world = World::new().await;
    let body = json!({"vehicle": vehicle(), "steer_deg": 170}).to_string();
    let answer = world.post("/v1/poses", body).await;
    let problem = answer.problem(Kind::PoseUnreachable);
    assert!(problem.detail.len() > 10, "{problem:?}");
    world.still_serves().await;
}

#[tokio::test]
async fn unknown_members_are_refused_by_name() {
    let world = World::new().await;
    for path in ["/v1/assessments", "/v1/poses"] {
        let body = json!({"vehicle": vehicle(), "lean_rad": 0.1}).to_string();
        let problem = world.post(path, body).await.problem(Kind::BadInput);
        assert!(format!("{:?}", problem.faults).contains("lean_rad"));
    }
    let body = json!({"vehicle": vehicle(), "reach": {"speed": 1}}).to_string();
    let problem = world
        .post("/v1/assessments", body)
        .await
        .problem(Kind::BadInput);
    assert!(
        problem.faults[0].pointer.starts_with("/reach"),
        "{problem:?}"
    );
    let body = json!({"vehicle": vehicle(), "steer_deg": "left"}).to_string();
    let problem = world.post("/v1/poses", body).await.problem(Kind::BadInput);
    assert_eq!(problem.faults[0].pointer, "/steer_deg");
    assert_eq!(problem.faults[0].value, json!("left"));
    let twice = VEHICLE.replacen("\"name\"", "\"version\": 1, \"version\": 1, \"name\"", 1);
    let body = format!("{{\"vehicle\": {twice}}}");
    let problem = world.post("/v1/poses", body).await.problem(Kind::BadInput);
    assert_eq!(problem.faults[0].pointer, "/vehicle/version");
    world.still_serves().await;
}

#[tokio::test]
async fn a_full_compute_thread_answers_busy_and_recovers() {
    let limits = Limits {
        waiting_assessments: 1,
        ..Limits::default()
    };
    let world = World::with(limits, None).await;
    let (started, starts) = channel();
    let (go_on, hold) = channel::<()>();
    let compute = world.app.compute().clone();
    let occupying = tokio::spawn(async move {
        let task = move || {
            started.send(()).unwrap();
            hold.recv().unwrap();
        };
        compute.run(task).await
    });
    let wait = tokio::task::spawn_blocking(move || starts.recv());
    wait.await.unwrap().unwrap();
    let compute = world.app.compute().clone();
    let waiting = tokio::spawn(async move { compute.run(|| ()).await });
    tokio::task::yield_now().await;
    let body = json!({"vehicle": vehicle()}).to_string();
    for path in ["/v1/assessments", "/v1/poses"] {
        let refused = world.post(path, body.clone()).await;
        refused.problem(Kind::Busy);
        assert_eq!(refused.header("retry-after"), "1");
    }
    world.still_serves().await;
    go_on.send(()).unwrap();
    occupying.await.unwrap().unwrap();
    waiting.await.unwrap().unwrap();
    let answer = world.post("/v1/poses", body).await;
    assert_eq!(answer.status, StatusCode::OK);
}

#[tokio::test]
async fn a_fit_is_the_one_that_the_library_gives() {
    let world = World::new().await;
    let text = include_str!("../../../../demo-jobs/as-built/orchard-hauler.json");
    let answer = world.post("/v1/fits", text).await;
    assert_eq!(answer.status, StatusCode::OK);
    let asked = design::parse_as_built(text).unwrap();
    let expected = design::fit_as_built(&asked).unwrap();
    assert_eq!(answer.json(), serde_json::to_value(expected).unwrap());
    assert_eq!(
        world.get("/v1/schema/fit").await.json(),
        design::as_built_schema()
    );

    let mut few: Value = serde_json::from_str(text).unwrap();
    few["readings"] = json!([{"toe_left_deg": 0.2}]);
    let refused = world.post("/v1/fits", few.to_string()).await;
    let problem = refused.problem(Kind::BadInput);
    assert_eq!(problem.faults[0].pointer, "/unknowns");
    world.post("/v1/fits", "{").await.problem(Kind::BadJson);
    world.still_serves().await;
}
