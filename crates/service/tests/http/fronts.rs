use axum::http::StatusCode;
use design::{Compiled, parse_job};
use leanwright_service::Kind;
use serde_json::{Value, json};

use crate::world::{JOB, World, get_with};

/// The submitted vehicle as a candidate, and the same with all freedoms at their lower ends.
pub fn candidates() -> Vec<Value> {
    let job = parse_job(JOB).unwrap();
    let compiled = Compiled::new(&job).unwrap();
    let low: Vec<f64> = job
        .freedoms
        .iter()
        .map(|f| f.offsets_mm(&job.vehicle)[0] / 4.0)
        .collect();
    let found = [
        compiled.submitted(),
        compiled.candidate(&compiled.round(&low)),
    ];
    found
        .map(|candidate| serde_json::to_value(candidate).unwrap())
        .to_vec()
}

/// A front document with these rows and this archive.
pub fn front_document(rows: Value, archive: Value) -> Value {
    let budget = json!({"asked": 2, "evaluations": 2, "islands": 1, "epochs": 1,
        "epoch_evaluations": 2, "polish_evaluations": 0});
    json!({"version": 1, "name": "by hand", "seed": 7, "budget": budget, "evaluations": 2,
        "feasible": 2, "hypervolume": null, "hypervolume_is_estimate": false, "scales": [],
        "goals": [], "findings": [], "candidates": rows, "archive": archive})
}

#[tokio::test]
async fn a_front_comes_as_json_and_as_csv() {
    let world = World::new().await;
    let candidates = candidates();
    let id = world.publish(&candidates).await;
    let path = format!("/v1/jobs/{id}/front");
    let front = world.get(&path).await;
    assert_eq!(front.status, StatusCode::OK);
    assert_eq!(front.json()["candidates"], json!(candidates));

    let csv = world.ask(get_with(&path, "accept", "text/csv")).await;
    assert_eq!(csv.header("content-type"), "text/csv; charset=utf-8");
    assert!(
        csv.header("leanwright-caution")
            .contains("no proof of strength")
    );
    let lines: Vec<&str> = csv.text().split_terminator("\r\n").collect();
    assert_eq!(lines.len(), 3);
    let heads: Vec<&str> = lines[0].split(',').collect();
    let goal = &candidates[1]["goals"][0];
    let column = heads
        .iter()
        .position(|head| head.starts_with(goal["quantity"].as_str().unwrap()));
    let cell = lines[2].split(',').nth(column.unwrap()).unwrap();
    assert_eq!(cell.parse::<f64>().ok(), goal["value"].as_f64());
    for line in &lines {
        assert_eq!(line.split(',').count(), heads.len());
    }

    let neither = world.ask(get_with(&path, "accept", "image/png")).await;
    neither.problem(Kind::NotAcceptable);
    world.still_serves().await;
}

#[tokio::test]
async fn a_finished_front_is_known_by_its_tag() {
    let world = World::new().await;
    let id = world.publish(&candidates()).await;
    for path in [
        format!("/v1/jobs/{id}/front"),
        format!("/v1/jobs/{id}/candidates/1"),
    ] {
        let tag = world.get(&path).await.header("etag").to_owned();
        let again = world.ask(get_with(&path, "if-none-match", &tag)).await;
        assert_eq!(again.status, StatusCode::NOT_MODIFIED);
        assert!(again.body.is_empty());
        assert_eq!(again.header("etag"), tag);
        let other = world
            .ask(get_with(&path, "if-none-match", "\"other\""))
            .await;
        assert_eq!(other.status, StatusCode::OK);
    }
    let path = format!("/v1/jobs/{id}/front");
    let json_tag = world.get(&path).await.header("etag").to_owned();
    let csv = world.ask(get_with(&path, "accept", "text/csv")).await;
    assert_ne!(csv.header("etag"), json_tag);
}

#[tokio::test]
async fn a_job_that_is_not_done_has_no_front_and_says_why() {
    let world = World::new().await;
    let id = world.submit().await;
    let front = world.get(&format!("/v1/jobs/{id}/front")).await;
    assert!(front.problem(Kind::NoFront).detail.contains("queued"));
    let candidate = world.get(&format!("/v1/jobs/{id}/candidates/0")).await;
    candidate.problem(Kind::NoFront);
    world.still_serves().await;
}

#[tokio::test]
async fn candidates_are_numbered_from_0_to_the_end_of_the_front() {
    let world = World::new().await;
    let candidates = candidates();
    let id = world.publish(&candidates).await;
    let second = world.get(&format!("/v1/jobs/{id}/candidates/1")).await;
    assert_eq!(second.json(), candidates[1]);
    let beyond = world.get(&format!("/v1/jobs/{id}/candidates/2")).await;
    beyond.problem(Kind::NotFound);
}

#[tokio::test]
async fn what_a_millimetre_changes_is_told_of_vehicle_and_candidate() {
    let world = World::new().await;
    let candidates = candidates();
    let id = world.publish(&candidates).await;
    let job = parse_job(JOB).unwrap();
    let compiled = Compiled::new(&job).unwrap();
    let vector: Vec<f64> = serde_json::from_value(candidates[1]["vector"].clone()).unwrap();
    for (path, vector) in [
        (
            format!("/v1/jobs/{id}/sensitivities"),
            vec![0.0; vector.len()],
        ),
        (format!("/v1/jobs/{id}/candidates/1/sensitivities"), vector),
    ] {
        let told = world.get(&path).await;
        assert_eq!(told.status, StatusCode::OK);
        let own = serde_json::to_value(compiled.sensitivities(&vector)).unwrap();
        assert_eq!(told.json(), own);
        assert!(own["quantities"][0]["slopes"][0]["per_mm"].is_number());
    }
    for path in ["candidates/2/sensitivities", "candidates/x/sensitivities"] {
        let missing = world.get(&format!("/v1/jobs/{id}/{path}")).await;
        missing.problem(Kind::NotFound);
    }
    world
        .get("/v1/jobs/00f1e2d3c4b5a697/sensitivities")
        .await
        .problem(Kind::NotFound);
    world.still_serves().await;
}

#[tokio::test]
async fn a_study_tells_what_errors_make_of_vehicle_and_candidate() {
    let world = World::new().await;
    let id = world.publish(&candidates()).await;
    let job = parse_job(JOB).unwrap();
    let compiled = Compiled::new(&job).unwrap();
    let zero = vec![0.0; job.freedoms.len()];
    let told = world.get(&format!("/v1/jobs/{id}/study")).await;
    assert_eq!(told.status, StatusCode::OK);
    assert_eq!(
        told.json(),
        serde_json::to_value(compiled.study(&zero)).unwrap()
    );
    let finer = world
        .get(&format!(
            "/v1/jobs/{id}/candidates/1/study?sigma_mm=0.2&samples=100"
        ))
        .await
        .json();
    assert_eq!(
        (&finer["sigma_mm"], &finer["samples"]),
        (&json!(0.2), &json!(100))
    );
    assert!(finer["quantities"][0]["p95"].is_number());
    for (query, kind) in [
        ("samples=4", Kind::BadInput),
        ("sigma_mm=-1", Kind::BadInput),
        ("sigma_mm=NaN", Kind::BadInput),
        ("samples=many", Kind::BadParameter),
        ("sigma=1", Kind::BadParameter),
    ] {
        let refused = world.get(&format!("/v1/jobs/{id}/study?{query}")).await;
        refused.problem(kind);
    }
    world
        .get(&format!("/v1/jobs/{id}/candidates/7/study"))
        .await
        .problem(Kind::NotFound);
    world.still_serves().await;
}
