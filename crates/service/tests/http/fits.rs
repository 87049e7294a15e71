//! Fits of machines as built: at once and as jobs.

use axum::http::StatusCode;
use leanwright_service::Kind;
use serde_json::{Value, json};

use crate::life::run;
use crate::world::{World, get_with};

const FILE: &str = include_str!("../../../../demo-jobs/as-built/orchard-hauler.json");

fn file() -> Value {
    serde_json::from_str(FILE).unwrap()
}

fn expected() -> Value {
    let asked = design::parse_as_built(FILE).unwrap();
    serde_json::to_value(design::fit_as_built(&asked).unwrap()).unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_fit_as_a_job_is_the_one_given_at_once() {
    let world = World::new().await;
    let worker = work::Worker::start(world.app.store(), &work::WorkerOptions::new(1)).unwrap();
    let job = run(&world, "/v1/jobs?labels=bench", FILE.to_owned()).await;
    worker.stop().await;
    assert_eq!(job["kind"], "as_built");
    assert_eq!(job["name"], file()["name"]);
    assert_eq!(job["labels"], json!(["bench"]));
    let links = &job["links"];
    assert!(links.get("front").is_none());
    let path = links["fit"].as_str().unwrap();
    let fit = world.get(path).await;
    assert_eq!(fit.status, StatusCode::OK);
    assert_eq!(fit.json(), expected());

    let held = world
        .ask(get_with(path, "if-none-match", fit.header("etag")))
        .await;
    assert_eq!(held.status, StatusCode::NOT_MODIFIED);
    let table = world.ask(get_with(path, "accept", "text/csv")).await;
    let lines: Vec<&str> = table.text().lines().collect();
    let figures = expected()["figures"].as_array().unwrap().len();
    assert_eq!(lines.len(), figures + 1);
    let head = "reading,lean_deg,steer_deg,mean_travel_mm,figure,read,fitted,drawn,mended";
    assert_eq!(lines[0], head);

    let report = world.get(links["report"].as_str().unwrap()).await;
    assert!(report.header("content-type").starts_with("text/html"));
    for words in ["The smallest change", "rod inner z, right", "as corrected"] {
        assert!(report.text().contains(words), "{words}");
    }
    let exported = world.get(links["export"].as_str().unwrap()).await;
    assert!(exported.text().contains("\"kind\":\"as_built\""));
    world.still_serves().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_fit_has_no_front_and_a_search_no_fit() {
    let world = World::new().await;
    let worker = work::Worker::start(world.app.store(), &work::WorkerOptions::new(1)).unwrap();
    let job = run(&world, "/v1/jobs", FILE.to_owned()).await;
    worker.stop().await;
    let id = job["id"].as_str().unwrap();
    for path in [
        "front",
        "candidates/0",
        "hardpoints",
        "study",
        "sensitivities",
        "found",
        "submitted",
        "candidates/0/report",
    ] {
        let refused = world.get(&format!("/v1/jobs/{id}/{path}")).await;
        let problem = refused.problem(Kind::NotPossible);
        assert!(problem.detail.contains("/fit"), "{path}: {problem:?}");
    }
    let more = json!({"evaluations": 1000}).to_string();
    let refused = world.post(&format!("/v1/jobs/{id}/extend"), more).await;
    refused.problem(Kind::NotPossible);
    let mut other: Value = serde_json::from_str(crate::world::JOB).unwrap();
    other["start_from"] = json!({"job": id});
    let refused = world.post("/v1/jobs", other.to_string()).await;
    assert_eq!(
        refused.problem(Kind::BadInput).faults[0].pointer,
        "/start_from/job"
    );

    let search = world.submit().await;
    let refused = world.get(&format!("/v1/jobs/{search}/fit")).await;
    refused.problem(Kind::NotPossible);
    world.still_serves().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_no_fit_can_use_is_refused_at_submission() {
    let world = World::new().await;
    let refused = |place: &str, value: Value| {
        let mut changed = file();
        *changed.pointer_mut(place).unwrap() = value;
        let world = &world;
        async move {
            let answer = world.post("/v1/jobs", changed.to_string()).await;
            let problem = answer.problem(Kind::BadInput);
            (
                problem.faults[0].pointer.clone(),
                problem.faults[0].message.clone(),
            )
        }
    };
    let (at, words) = refused("/kind", json!("as_buildt")).await;
    assert!(
        at == "/kind" && words.contains("no job of this kind"),
        "{words}"
    );
    let (at, words) = refused("/readings/0/lean_deg", json!(50)).await;
    assert!(
        at == "/readings/0" && words.contains("does not reach"),
        "{words}"
    );
    let (at, words) = refused("/readings", json!([{"toe_left_deg": 0.2}])).await;
    assert!(at == "/unknowns" && words.contains("do not see"), "{words}");
    let (at, _) = refused("/vehicle/rear_wheel", json!(null)).await;
    assert!(at.starts_with("/vehicle/rear_wheel"), "{at}");
    assert_eq!(world.get("/v1/jobs").await.json()["jobs"], json!([]));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_queued_fit_is_cancelled_and_its_key_finds_it() {
    let world = World::new().await;
    let submit = || {
        let mut request = crate::world::post("/v1/jobs", FILE);
        let key = "bench-1".parse().unwrap();
        request.headers_mut().insert("idempotency-key", key);
        world.ask(request)
    };
    let first = submit().await;
    assert_eq!(first.status, StatusCode::CREATED);
    assert_eq!(first.json().get("budget"), None);
    let again = submit().await;
    assert_eq!(again.status, StatusCode::OK);
    assert_eq!(again.json()["id"], first.json()["id"]);
    let path = format!("/v1/jobs/{}", first.json()["id"].as_str().unwrap());
    let waiting = world.get(&format!("{path}/fit")).await;
    assert!(waiting.problem(Kind::NoFront).detail.contains("queued"));
    let cancelled = world.post(&format!("{path}/cancel"), "").await.json();
    assert_eq!(cancelled["state"], "cancelled");
    let over = world.get(&format!("{path}/report")).await;
    assert!(over.problem(Kind::NoFront).detail.contains("has no fit"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_fit_at_once_is_a_page_too() {
    let world = World::new().await;
    let mut request = crate::world::post("/v1/fits", FILE);
    let html = "text/html".parse().unwrap();
    request.headers_mut().insert("accept", html);
    let page = world.ask(request).await;
    assert!(page.header("content-type").starts_with("text/html"));
    assert!(
        page.header("content-security-policy")
            .contains("default-src")
    );
    assert!(page.text().contains("Which deviations explain it"));
}
