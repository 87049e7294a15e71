use axum::body::Body;
use axum::http::StatusCode;
use design::{Compiled, parse_job};
use http_body_util::BodyExt;
use leanwright_service::Kind;
use serde_json::{Value, json};

use crate::fronts::{candidates, front_document};
use crate::world::{JOB, World, get, get_with, post};

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
    assert_eq!(found["points"], json!([]));
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
    let whole = json!({"ids": [first.as_str()], "whole": true});
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
    let archive = json!([{"vector": candidate["vector"], "goals": own}]);
    let front = front_document(json!([]), archive);
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

/// Rows of the archive that did not come onto the front are numbered on from its last, and such a
/// number is good wherever a candidate's is.
#[tokio::test]
async fn every_row_of_the_archive_has_an_address() {
    let world = World::new().await;
    let on_front = candidates();
    let job = parse_job(JOB).unwrap();
    let half: Vec<f64> = vectors(&on_front)[1].iter().map(|x| x / 2.0).collect();
    let compiled = Compiled::new(&job).unwrap();
    let between = compiled.candidate(&compiled.round(&half));
    let rows = json!([
        {"vector": on_front[1]["vector"], "goals": []},
        {"vector": between.vector, "goals": []},
        {"vector": on_front[0]["vector"], "goals": []},
    ]);
    let row = |n: usize| {
        json!({"number": n, "feasible": true, "knee": false, "goals": [],
        "vector": on_front[n]["vector"]})
    };
    let front = front_document(json!([row(0), row(1)]), rows);
    let id = world.publish_front(&front, &on_front).await;
    let table = world.get(&format!("/v1/jobs/{id}/archive")).await.json();
    let numbers: Vec<&Value> = (0..3).map(|row| &table[row]["candidate"]).collect();
    assert_eq!(numbers, [1, 2, 0]);

    let path = format!("/v1/jobs/{id}/candidates/2");
    let found = world.get(&path).await;
    assert_eq!(found.json(), serde_json::to_value(&between).unwrap());
    let tag = found.header("etag").to_owned();
    let again = world.ask(get_with(&path, "if-none-match", &tag)).await;
    assert_eq!(again.status, StatusCode::NOT_MODIFIED);
    let points = world.get(&format!("{path}/hardpoints")).await.json();
    assert_eq!(points[0]["candidate"], 2);
    for resource in ["report", "sensitivities", "study?samples=64"] {
        let answer = world.get(&format!("{path}/{resource}")).await;
        assert_eq!(answer.status, StatusCode::OK, "{resource}: {answer:?}");
    }
    let both = json!({"candidates": [
        {"job": id.as_str(), "number": 0}, {"job": id.as_str(), "number": 2}]});
    let compared = world.ask(post("/v1/comparisons", both.to_string())).await;
    let values = &compared.json()["quantities"][0]["values"];
    assert_eq!(values[1], json!(between.goals[0].value));
    let beyond = world.get(&format!("/v1/jobs/{id}/candidates/3")).await;
    beyond.problem(Kind::NotFound);
}

fn vectors(candidates: &[Value]) -> Vec<Vec<f64>> {
    let vector = |candidate: &Value| serde_json::from_value(candidate["vector"].clone()).unwrap();
    candidates.iter().map(vector).collect()
}
