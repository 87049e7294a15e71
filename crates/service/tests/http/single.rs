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
async fn an_assessment_brings_the_pictures_that_are_named() {
    let world = World::new().await;
    let mut moved = vehicle();
    moved["steering"]["rod_outer_mm"][2] = json!(240.0);
    let names = ["steer_over_lean", "error_map", "top_view"];
    let body = json!({"vehicle": moved, "against": vehicle(), "pictures": names});
    let answer = world.post("/v1/assessments", body.to_string()).await.json();
    let parsed = parse_vehicle(&moved.to_string()).unwrap();
    let expected = design::assessment(&parsed, &Reach::default()).unwrap();
    assert_eq!(answer["quantities"], json!(expected.quantities));
    let pictures = answer["pictures"].as_array().unwrap();
    let found: Vec<&str> = pictures
        .iter()
        .map(|p| p["name"].as_str().unwrap())
        .collect();
    assert_eq!(found, names);
    let curve = pictures[0]["svg"].as_str().unwrap();
    assert!(curve.starts_with("<svg") && curve.contains("before") && curve.contains("changed"));
    assert!(
        !curve.contains("style="),
        "a page's policy allows no style attributes"
    );

    let body = json!({"vehicle": vehicle(), "pictures": ["top_view", "portrait"]}).to_string();
    let refused = world.post("/v1/assessments", body).await;
    let fault = &refused.problem(Kind::BadInput).faults[0];
    assert_eq!(fault.pointer, "/pictures/1");
    assert!(fault.allowed.contains("steer_over_lean"), "{fault:?}");
    let mut flat = vehicle();
    flat["rear_wheel"]["radius_mm"] = json!(0);
    let body = json!({"vehicle": vehicle(), "against": flat, "pictures": ["top_view"]});
    let refused = world.post("/v1/assessments", body.to_string()).await;
    let problem = refused.problem(Kind::BadInput);
    assert_eq!(problem.faults[0].pointer, "/against/rear_wheel/radius_mm");
}

#[tokio::test]
async fn an_assessment_by_a_job_has_what_the_job_asks() {
    let world = World::new().await;
    let job = world.submit().await;
    let file: Value = serde_json::from_str(crate::world::JOB).unwrap();
    let body = json!({"vehicle": file["vehicle"], "job": job.as_str()});
    let answer = world.post("/v1/assessments", body.to_string()).await.json();
    let compiled = design::Compiled::new(&design::parse_job(crate::world::JOB).unwrap()).unwrap();
    let submitted = compiled.submitted();
    let expected = json!({
        "feasible": submitted.feasible,
        "goals": submitted.goals,
        "requirements": submitted.requirements,
    });
    assert_eq!(answer["asked"], expected);
    assert_eq!(answer["reach"], json!(compiled.job().reach));
    let body = json!({"vehicle": vehicle(), "job": "0123456789abcdef"}).to_string();
    let refused = world.post("/v1/assessments", body).await;
    refused.problem(Kind::NotFound);
}

#[tokio::test]
async fn many_poses_come_in_their_order_with_their_parts() {
    let world = World::new().await;
    let questions = [
        json!({}),
        json!({"lean_deg": 8}),
        json!({"steer_deg": 170}),
        json!({"lean_deg": -6, "steer_deg": 10}),
        json!({"mean_travel_mm": 20}),
    ];
    let body = json!({"vehicle": vehicle(), "poses": questions, "parts": true});
    let answer = world.post("/v1/poses", body.to_string()).await;
    assert_eq!(answer.status, StatusCode::OK, "{answer:?}");
    let poses = answer.json()["poses"].as_array().unwrap().clone();
    assert_eq!(poses.len(), questions.len());
    assert!(poses[2]["unreachable"].as_str().unwrap().len() > 10 && poses[2]["pose"].is_null());
    let parsed = parse_vehicle(VEHICLE).unwrap();
    for k in [0, 1, 3, 4] {
        let question: PoseQuestion = serde_json::from_value(questions[k].clone()).unwrap();
        let expected = serde_json::to_value(design::pose(&parsed, &question).unwrap()).unwrap();
        let mut found = poses[k]["pose"].clone();
        let parts = found.as_object_mut().unwrap().remove("parts").unwrap();
        assert_eq!(found, expected);
        stands_on_the_ground(&found, &parts);
    }
    let single = json!({"vehicle": vehicle(), "lean_deg": 8, "parts": true}).to_string();
    assert_eq!(
        world.post("/v1/poses", single).await.json(),
        poses[1]["pose"]
    );
}

/// The lowest point of each tyre lies on the ground where the pose has its contact, and the rod in
/// the parts ends where the pose has the rod's end.
fn stands_on_the_ground(pose: &Value, parts: &Value) {
    let number = |v: &Value| v.as_f64().unwrap();
    let point = |v: &Value| [0, 1, 2].map(|k| number(&v[k]));
    for tyre in parts["tyres"].as_array().unwrap() {
        let (centre, axis) = (point(&tyre["centre_mm"]), point(&tyre["axis"]));
        let section = number(&tyre["section_radius_mm"]);
        let ring = number(&tyre["radius_mm"]) - section;
        // Downwards within the wheel's plane.
        let down = [
            axis[0] * axis[2],
            axis[1] * axis[2],
            axis[2] * axis[2] - 1.0,
        ];
        let length = down.iter().map(|x| x * x).sum::<f64>().sqrt();
        let lowest = [0, 1, 2].map(|k| centre[k] + ring * down[k] / length);
        assert!((lowest[2] - section).abs() < 1e-6, "{lowest:?}");
        let contact = match tyre["side"].as_str() {
            Some(side) => point(&pose[side]["contact_mm"]),
            None => point(&pose["rear"]["contact_mm"]),
        };
        assert!((lowest[0] - contact[0]).abs() < 1e-6 && (lowest[1] - contact[1]).abs() < 1e-6);
    }
    let lines = parts["lines"].as_array().unwrap();
    let rods = lines.iter().filter(|line| line["part"] == "rod");
    let lengths: Vec<f64> = rods
        .map(|rod| {
            let [a, b] = [0, 1].map(|k| point(&rod["points_mm"][k]));
            (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt()
        })
        .collect();
    // As drawn: rods are rigid, so their lengths hold in every pose.
    assert_eq!(lengths.len(), 2);
    let [inner, outer] = ["rod_inner_mm", "rod_outer_mm"].map(|n| point(&vehicle()["steering"][n]));
    let drawn = (0..3)
        .map(|k| (inner[k] - outer[k]).powi(2))
        .sum::<f64>()
        .sqrt();
    assert!(
        lengths.iter().all(|length| (length - drawn).abs() < 1e-6),
        "{lengths:?} {drawn}"
    );
    assert_eq!(parts["joints"].as_array().unwrap().len(), 8);
    for joint in parts["joints"].as_array().unwrap() {
        if let Some(margin) = joint["margin_deg"].as_f64() {
            let rest = number(&joint["limit_deg"]) - number(&joint["angle_deg"]);
            assert!((margin - rest).abs() < 1e-12);
        }
    }
}

#[tokio::test]
async fn faults_of_one_pose_of_many_are_pointed_at() {
    let world = World::new().await;
    let pointed = async |rest: Value, pointer: &str| {
        let mut body = json!({"vehicle": vehicle()});
        for (key, value) in rest.as_object().unwrap() {
            body[key] = value.clone();
        }
        let refused = world.post("/v1/poses", body.to_string()).await;
        assert_eq!(refused.problem(Kind::BadInput).faults[0].pointer, pointer);
    };
    pointed(
        json!({"poses": [{}, {"lean_deg": 99}]}),
        "/poses/1/lean_deg",
    )
    .await;
    pointed(json!({"poses": [{"lean_rad": 1}]}), "/poses/0/lean_rad").await;
    pointed(json!({"poses": []}), "/poses").await;
    pointed(json!({"poses": vec![json!({}); 401]}), "/poses").await;
    pointed(json!({"poses": [{}], "lean_deg": 3}), "/poses").await;
    world.still_serves().await;
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
