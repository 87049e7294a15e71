use axum::body::Body;
use axum::http::StatusCode;
use http_body_util::BodyExt;
use leanwright_service::Kind;
use serde_json::Value;

use crate::world::{World, get};

const NO_JOB: &str = "/v1/jobs/00f1e2d3c4b5a697";

#[tokio::test]
async fn the_submitted_vehicle_comes_as_a_candidate_that_moved_nothing() {
    let world = World::new().await;
    let id = world.submit().await;
    let submitted = world.get(&format!("/v1/jobs/{id}/submitted")).await;
    assert_eq!(submitted.status, StatusCode::OK);
    let candidate = submitted.json();
    let offsets = candidate["vector"].as_array().unwrap();
    assert!(offsets.iter().all(|offset| offset.as_f64() == Some(0.0)));
    assert!(candidate["hardpoints"].as_array().unwrap().is_empty());
    let missing = world.get(&format!("{NO_JOB}/submitted")).await;
    missing.problem(Kind::NotFound);
}

#[tokio::test]
async fn before_the_first_checkpoint_nothing_is_found() {
    let world = World::new().await;
    let id = world.submit().await;
    let found = world.get(&format!("/v1/jobs/{id}/found")).await.json();
    assert_eq!(found["front"], 0);
    assert_eq!(found["points"], serde_json::json!([]));
    assert_eq!(found["goals"].as_array().unwrap().len(), 3);
    let missing = world.get(&format!("{NO_JOB}/found")).await;
    missing.problem(Kind::NotFound);
}

/// The next message of a stream: its kind and its data.
async fn next(stream: &mut Body) -> (String, Value) {
    let frame = stream.frame().await.unwrap().unwrap();
    let text = String::from_utf8(frame.into_data().unwrap().to_vec()).unwrap();
    let of = |name: &str| text.lines().find_map(|line| line.strip_prefix(name));
    let kind = of("event: ").unwrap().to_owned();
    (kind, serde_json::from_str(of("data: ").unwrap()).unwrap())
}

#[tokio::test]
async fn the_list_of_jobs_tells_what_changes_and_what_goes() {
    let world = World::new().await;
    let first = world.submit().await;
    let mut stream = world.open(get("/v1/events")).await.into_body();
    let (kind, list) = next(&mut stream).await;
    assert_eq!(kind, "list");
    let whole = serde_json::json!({"ids": [first.as_str()], "whole": true});
    assert_eq!(list, whole);
    let (kind, job) = next(&mut stream).await;
    assert_eq!((kind.as_str(), &job["state"]), ("job", &"queued".into()));
    assert_eq!(job["id"], first.as_str());

    let second = world.submit().await;
    assert_eq!(next(&mut stream).await.1["id"], second.as_str());
    world.app.store().cancel(&first).await.unwrap();
    let (_, job) = next(&mut stream).await;
    assert_eq!(job["id"], first.as_str());
    assert_eq!(job["state"], "cancelled");
    world.app.store().delete(&second).await.unwrap();
    let (kind, job) = next(&mut stream).await;
    assert_eq!(kind, "gone");
    assert_eq!(job["id"], second.as_str());
}

#[tokio::test]
async fn a_job_that_leaves_the_list_comes_a_last_time() {
    let world = World::new().await;
    let id = world.submit().await;
    let mut stream = world.open(get("/v1/events?state=queued")).await.into_body();
    assert_eq!(next(&mut stream).await.0, "list");
    assert_eq!(next(&mut stream).await.1["state"], "queued");
    world.app.store().cancel(&id).await.unwrap();
    let (kind, job) = next(&mut stream).await;
    assert_eq!((kind.as_str(), &job["state"]), ("job", &"cancelled".into()));
    let refused = world.get("/v1/events?state=lost").await;
    refused.problem(Kind::BadParameter);
}

#[tokio::test]
async fn the_archive_comes_with_requirements_computed_again() {
    let world = World::new().await;
    let queued = world.submit().await;
    let refused = world.get(&format!("/v1/jobs/{queued}/archive")).await;
    refused.problem(Kind::NoFront);
    let submitted = world.get(&format!("/v1/jobs/{queued}/submitted")).await;
    world.app.store().delete(&queued).await.unwrap();
    let candidate = submitted.json();
    let goals: Vec<&Value> = candidate["goals"].as_array().unwrap().iter().collect();
    let own: Vec<&Value> = goals.iter().map(|goal| &goal["value"]).collect();
    let front = serde_json::json!({
        "version": 1, "name": "", "seed": 1, "evaluations": 1, "feasible": 1, "hypervolume": null,
        "budget": {"asked": 1, "evaluations": 1, "islands": 1, "epochs": 1, "epoch_evaluations": 1,
            "polish_evaluations": 0},
        "hypervolume_is_estimate": false, "scales": [], "goals": [], "findings": [],
        "candidates": [], "archive": [{"vector": candidate["vector"], "goals": own}],
    });
    let id = world.publish_front(&front, &[]).await;
    let rows = world.get(&format!("/v1/jobs/{id}/archive")).await.json();
    assert_eq!(rows.as_array().unwrap().len(), 1);
    for goal in goals {
        assert_eq!(&rows[0][goal["quantity"].as_str().unwrap()], &goal["value"]);
    }
    assert_eq!(
        rows[0]["turning_radius_kerb_m"],
        candidate["requirements"][1]["value"]
    );
}
