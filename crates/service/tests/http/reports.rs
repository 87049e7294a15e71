use axum::http::StatusCode;
use axum::http::header::CONTENT_SECURITY_POLICY;
use leanwright_service::Kind;
use serde_json::{Value, json};

use crate::fronts::{candidates, front_document};
use crate::world::{VEHICLE, World, get_with, post};

fn is_a_page(text: &str) {
    assert!(text.starts_with("<!doctype html>") || text.starts_with("<!DOCTYPE html>"));
    assert!(text.contains("</svg>") && !text.contains("<script"));
    // The size that a phone on a bad connection still takes.
    assert!(text.len() < 500_000, "{} bytes", text.len());
}

#[tokio::test]
async fn a_job_and_a_candidate_come_as_pages_under_their_own_policy() {
    let world = World::new().await;
    let candidates = candidates();
    let row = |n: usize| json!({"number": n, "feasible": true, "knee": n == 1, "vector": [], "goals": []});
    let front = front_document(json!([row(0), row(1)]), json!([]));
    let id = world.publish_front(&front, &candidates).await;
    for path in [
        format!("/v1/jobs/{id}/report"),
        format!("/v1/jobs/{id}/candidates/1/report"),
    ] {
        let page = world.get(&path).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text());
        assert_eq!(page.header("content-type"), "text/html; charset=utf-8");
        let policy = page.header(CONTENT_SECURITY_POLICY.as_str());
        assert!(policy.contains("'sha256-") && !policy.contains("unsafe"));
        is_a_page(page.text());
        let tag = page.header("etag").to_owned();
        let again = world.ask(get_with(&path, "if-none-match", &tag)).await;
        assert_eq!(again.status, StatusCode::NOT_MODIFIED);
    }
    let beyond = world
        .get(&format!("/v1/jobs/{id}/candidates/9/report"))
        .await;
    beyond.problem(Kind::NotFound);
}

#[tokio::test]
async fn a_vehicle_comes_as_a_page_and_its_faults_as_a_problem() {
    let world = World::new().await;
    let ask = |vehicle: &Value| {
        let mut request = post("/v1/assessments", json!({"vehicle": vehicle}).to_string());
        let value = "text/html".parse().unwrap();
        request.headers_mut().insert("accept", value);
        request
    };
    let mut vehicle: Value = serde_json::from_str(VEHICLE).unwrap();
    let page = world.ask(ask(&vehicle)).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    is_a_page(page.text());
    vehicle["front_wheels"]["radius_mm"] = json!(-1);
    let refused = world.ask(ask(&vehicle)).await;
    refused.problem(Kind::BadInput);
}

#[tokio::test]
async fn a_comparison_comes_as_a_page() {
    let world = World::new().await;
    let id = world.publish(&candidates()).await;
    let id = id.to_string();
    let asked = json!({"candidates": [{"job": id, "number": 0}, {"job": id, "number": 1}]});
    let mut request = post("/v1/comparisons", asked.to_string());
    request
        .headers_mut()
        .insert("accept", "text/html".parse().unwrap());
    let page = world.ask(request).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    is_a_page(page.text());
}
