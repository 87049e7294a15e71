//! Fronts, candidates and hardpoints in every form that `Accept` names.

use axum::http::{Request, StatusCode, header};
use leanwright_service::Kind;
use serde_json::{Value, json};
use work::FrontDocument;

use crate::fronts::{candidates, front_document};
use crate::world::{Answer, JOB, VEHICLE, World, get_with, post};

const CSV: &str = "text/csv";
const PARQUET: &str = "application/vnd.apache.parquet";
const SVG: &str = "image/svg+xml";

/// A whole front document of these candidates.
fn document(count: usize) -> Value {
    let rows: Vec<Value> = (0..count)
        .map(|n| json!({"number": n, "feasible": true, "knee": n == 1, "vector": [], "goals": []}))
        .collect();
    let front = front_document(json!(rows), json!([]));
    serde_json::from_value::<FrontDocument>(front.clone()).unwrap();
    front
}

async fn published(world: &World) -> String {
    let candidates = candidates();
    let id = world
        .publish_front(&document(candidates.len()), &candidates)
        .await;
    id.to_string()
}

async fn get_as(world: &World, path: &str, form: &'static str) -> Answer {
    world.ask(get_with(path, "accept", form)).await
}

fn is_a_picture(answer: &Answer) {
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    assert_eq!(answer.header("content-type"), SVG);
    assert!(answer.text().starts_with("<?xml") && answer.text().contains("<title>"));
}

#[tokio::test]
async fn hardpoints_come_as_rows_as_csv_and_as_parquet() {
    let world = World::new().await;
    let id = published(&world).await;
    let path = format!("/v1/jobs/{id}/hardpoints");
    let rows = world.get(&path).await.json();
    let rows = rows.as_array().unwrap();
    let of = |candidate: u64, side: &str, point: &str| {
        let same = |row: &&Value| {
            row["candidate"] == candidate && row["side"] == side && row["point"] == point
        };
        rows.iter().find(same).unwrap()
    };
    // The first candidate is the submitted vehicle; its right side is the mirrored left one.
    let drawn: Value = serde_json::from_str(JOB).unwrap();
    let outer = &drawn["vehicle"]["steering"]["rod_outer_mm"];
    let left = of(0, "left", "rod_outer");
    assert_eq!(left["y_mm"].as_f64(), outer[1].as_f64());
    let right = of(0, "right", "rod_outer");
    assert_eq!(right["y_mm"].as_f64(), outer[1].as_f64().map(|y| -y));
    assert_eq!(right["change_x_mm"], 0.0);

    let csv = get_as(&world, &path, CSV).await;
    assert_eq!(csv.header("content-type"), "text/csv; charset=utf-8");
    assert_eq!(csv.text().lines().count(), rows.len() + 1);
    let parquet = get_as(&world, &path, PARQUET).await;
    assert_eq!(parquet.header("content-type"), PARQUET);
    assert!(parquet.body.starts_with(b"PAR1"));

    let one = format!("/v1/jobs/{id}/candidates/1/hardpoints");
    let own = world.get(&one).await.json();
    let expected = rows.iter().filter(|row| row["candidate"] == 1).count();
    assert_eq!(own.as_array().unwrap().len(), expected);
    get_as(&world, &one, SVG).await.problem(Kind::NotAcceptable);
    let beyond = format!("/v1/jobs/{id}/candidates/7/hardpoints");
    world.get(&beyond).await.problem(Kind::NotFound);
    world.still_serves().await;
}

#[tokio::test]
async fn fronts_and_candidates_come_as_pictures() {
    let world = World::new().await;
    let id = published(&world).await;
    let front = format!("/v1/jobs/{id}/front");
    is_a_picture(&get_as(&world, &front, SVG).await);
    is_a_picture(&get_as(&world, &format!("{front}?picture=front_0_1"), SVG).await);
    assert!(
        get_as(&world, &front, PARQUET)
            .await
            .body
            .starts_with(b"PAR1")
    );
    let candidate = format!("/v1/jobs/{id}/candidates/1");
    let mut seen = Vec::new();
    for name in ["top_view", "error_map", "steer_over_lean"] {
        let path = format!("{candidate}?picture={name}");
        let answer = get_as(&world, &path, SVG).await;
        is_a_picture(&answer);
        let tag = answer.header("etag").to_owned();
        let mut again = get_with(&path, "accept", SVG);
        let value = tag.parse().unwrap();
        again.headers_mut().insert(header::IF_NONE_MATCH, value);
        assert_eq!(world.ask(again).await.status, StatusCode::NOT_MODIFIED);
        seen.push((tag, answer.body));
    }
    seen.sort();
    seen.dedup_by(|a, b| a.0 == b.0 || a.1 == b.1);
    assert_eq!(seen.len(), 3);
}

#[tokio::test]
async fn vehicles_and_comparisons_come_as_pictures() {
    let world = World::new().await;
    let id = published(&world).await;
    let vehicle: Value = serde_json::from_str(VEHICLE).unwrap();
    let bodies = [
        ("/v1/assessments", json!({ "vehicle": vehicle })),
        (
            "/v1/comparisons",
            json!({"candidates": [{"job": id, "number": 0}, {"job": id, "number": 1}]}),
        ),
    ];
    for (path, body) in bodies {
        let ask = |picture: &str| {
            let mut request: Request<_> = post(&format!("{path}{picture}"), body.to_string());
            let value = SVG.parse().unwrap();
            request.headers_mut().insert(header::ACCEPT, value);
            request
        };
        is_a_picture(&world.ask(ask("")).await);
        is_a_picture(&world.ask(ask("?picture=toe_over_travel")).await);
        let refused = world.ask(ask("?picture=portrait")).await;
        let fault = &refused.problem(Kind::BadParameter).faults[0];
        assert_eq!(fault.value, "portrait");
        assert!(fault.allowed.contains("toe_over_travel"), "{fault:?}");
    }
    world.still_serves().await;
}

#[tokio::test]
async fn pictures_that_there_are_not() {
    let world = World::new().await;
    let id = published(&world).await;
    for (path, known) in [
        (format!("/v1/jobs/{id}/front"), "front_0_1"),
        (format!("/v1/jobs/{id}/candidates/0"), "error_map"),
    ] {
        let path = format!("{path}?picture=%3Cscript%3E");
        let refused = get_as(&world, &path, SVG).await;
        let fault = &refused.problem(Kind::BadParameter).faults[0];
        assert_eq!(fault.pointer, "/picture");
        assert!(fault.allowed.contains(known), "{fault:?}");
        // Without pictures asked for, the name is refused and not passed over.
        world.get(&path).await.problem(Kind::BadParameter);
    }
    world.still_serves().await;
}
