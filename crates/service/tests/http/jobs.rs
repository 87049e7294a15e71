use axum::http::StatusCode;
use leanwright_service::{Kind, Limits};
use serde_json::json;

use crate::world::{JOB, World, post};

#[tokio::test]
async fn a_submitted_job_has_an_address_a_budget_and_a_place_in_the_list() {
    let world = World::new().await;
    let answer = world.post("/v1/jobs", JOB).await;
    assert_eq!(answer.status, StatusCode::CREATED);
    let job = answer.json();
    let address = answer.header("location");
    assert_eq!(address, format!("/v1/jobs/{}", job["id"].as_str().unwrap()));
    assert_eq!(job["state"], "queued");
    let budget = &job["budget"];
    assert!(budget["evaluations"].as_u64() >= budget["asked"].as_u64());
    assert!(job["findings"].is_array());

    let found = world.get(address).await.json();
    assert_eq!(found["id"], job["id"]);
    assert_eq!(found["links"]["front"], format!("{address}/front"));
    let list = world.get("/v1/jobs?state=queued").await.json();
    assert_eq!(list["jobs"][0]["id"], job["id"]);
    let none = world.get("/v1/jobs?state=done").await.json();
    assert_eq!(none["jobs"], json!([]));
    let input = world.get(&format!("{address}/input")).await;
    assert_eq!(input.text(), JOB);
}

#[tokio::test]
async fn one_key_makes_one_job() {
    let world = World::new().await;
    let keyed = |body: String| {
        let mut request = post("/v1/jobs", body);
        let headers = request.headers_mut();
        headers.insert("idempotency-key", "saturday-3".parse().unwrap());
        request
    };
    let first = world.ask(keyed(JOB.into())).await;
    assert_eq!(first.status, StatusCode::CREATED);
    let second = world.ask(keyed(JOB.into())).await;
    assert_eq!(second.status, StatusCode::OK);
    assert_eq!(first.json()["id"], second.json()["id"]);
    let other = world.ask(keyed(format!("{JOB} "))).await;
    other.problem(Kind::KeyReused);

    let mut unusable = post("/v1/jobs", JOB);
    let headers = unusable.headers_mut();
    headers.insert("idempotency-key", "two words".parse().unwrap());
    let refused = world.ask(unusable).await.problem(Kind::BadParameter);
    assert_eq!(refused.faults[0].pointer, "/Idempotency-Key");
    world.still_serves().await;
}

#[tokio::test]
async fn pages_follow_each_other_without_gaps() {
    let world = World::new().await;
    let mut submitted = Vec::new();
    for _ in 0..3 {
        submitted.insert(0, world.submit().await.to_string());
    }
    let mut listed = Vec::new();
    let mut path = "/v1/jobs?limit=2".to_owned();
    loop {
        let page = world.get(&path).await.json();
        let ids = page["jobs"].as_array().unwrap().iter();
        listed.extend(ids.map(|job| job["id"].as_str().unwrap().to_owned()));
        match page["next_cursor"].as_str() {
            Some(cursor) => path = format!("/v1/jobs?limit=2&cursor={cursor}"),
            None => break,
        }
    }
    assert_eq!(listed, submitted);
}

#[tokio::test]
async fn cancelling_is_final_and_may_be_repeated() {
    let world = World::new().await;
    let id = world.submit().await;
    for _ in 0..2 {
        let answer = world.post(&format!("/v1/jobs/{id}/cancel"), "").await;
        assert_eq!(answer.status, StatusCode::OK);
        assert_eq!(answer.json()["state"], "cancelled");
    }
    let front = world.get(&format!("/v1/jobs/{id}/front")).await;
    assert!(front.problem(Kind::NoFront).detail.contains("cancelled"));
    let done = world.publish(&[]).await;
    let answer = world.post(&format!("/v1/jobs/{done}/cancel"), "").await;
    answer.problem(Kind::AlreadyOver);
    world.still_serves().await;
}

#[tokio::test]
async fn a_full_queue_is_a_problem_that_says_when_to_come_back() {
    let limits = Limits {
        open_jobs: 1,
        ..Limits::default()
    };
    let world = World::with(limits, None).await;
    world.submit().await;
    let refused = world.post("/v1/jobs", JOB).await;
    refused.problem(Kind::QueueFull);
    assert_eq!(refused.header("retry-after"), "30");
    world.still_serves().await;
}
