use axum::http::{HeaderValue, StatusCode, header};
use leanwright_service::{Kind, Limits};

use crate::world::{JOB, World, get, get_with, post};

const TOKEN: &str = "a-token-of-many-characters";

#[tokio::test]
async fn requests_under_a_foreign_name_are_refused() {
    let world = World::new().await;
    for host in [
        "rebound.example",
        "192.0.2.1:8080",
        "localhost.rebound.example",
        "",
    ] {
        let mut request = get("/v1/jobs");
        let headers = request.headers_mut();
        headers.insert(header::HOST, HeaderValue::from_str(host).unwrap());
        world.ask(request).await.problem(Kind::ForeignHost);
    }
    let mut nameless = get("/v1/jobs");
    nameless.headers_mut().remove(header::HOST);
    world.ask(nameless).await.problem(Kind::ForeignHost);
    let mut two_names = get("/v1/jobs");
    let headers = two_names.headers_mut();
    headers.append(header::HOST, HeaderValue::from_static("rebound.example"));
    world.ask(two_names).await.problem(Kind::ForeignHost);
    world.still_serves().await;
}

#[tokio::test]
async fn requests_from_foreign_pages_are_refused_and_nothing_is_granted() {
    let world = World::new().await;
    for origin in ["http://elsewhere.example", "null", "http://127.0.0.1:9999"] {
        let request = get_with("/v1/jobs", "origin", origin);
        let answer = world.ask(request).await;
        answer.problem(Kind::ForeignOrigin);
        let mut request = post("/v1/jobs", JOB);
        let headers = request.headers_mut();
        headers.insert(header::ORIGIN, HeaderValue::from_str(origin).unwrap());
        world.ask(request).await.problem(Kind::ForeignOrigin);
    }
    let own = world
        .ask(get_with("/v1/jobs", "origin", "http://127.0.0.1:8080"))
        .await;
    assert_eq!(own.status, StatusCode::OK);
    let granted = own
        .headers
        .keys()
        .filter(|name| name.as_str().contains("allow-origin"));
    assert_eq!(granted.count(), 0);
}

#[tokio::test]
async fn a_token_is_required_everywhere_but_for_probes() {
    let world = World::with(Limits::default(), Some(TOKEN)).await;
    for path in ["/v1/jobs", "/v1/openapi.json", "/metrics", "/nowhere"] {
        let answer = world.get(path).await;
        answer.problem(Kind::Unauthorised);
        assert_eq!(answer.header("www-authenticate"), "Bearer");
    }
    for wrong in [
        "Bearer a-token-of-many-characterS",
        "Bearer a-token-of-many-character",
        "Bearer",
        "Basic YTpi",
        TOKEN,
    ] {
        let answer = world
            .ask(get_with("/v1/jobs", "authorization", wrong))
            .await;
        answer.problem(Kind::Unauthorised);
        assert!(!answer.text().contains(TOKEN));
    }
    world
        .post("/v1/jobs", JOB)
        .await
        .problem(Kind::Unauthorised);
    let right = format!("Bearer {TOKEN}");
    let answer = world
        .ask(get_with("/v1/jobs", "authorization", &right))
        .await;
    assert_eq!(answer.status, StatusCode::OK);
    assert_eq!(world.get("/healthz").await.status, StatusCode::OK);
    assert_eq!(world.get("/readyz").await.status, StatusCode::OK);
}

#[tokio::test]
async fn every_answer_carries_the_protective_headers() {
    let world = World::new().await;
    for path in ["/v1/jobs", "/nowhere", "/metrics", "/v1/jobs?limit=0"] {
        let answer = world.get(path).await;
        let policy = answer.header("content-security-policy");
        assert!(policy.starts_with("default-src 'self'"));
        assert!(!policy.contains("unsafe"));
        assert_eq!(answer.header("x-content-type-options"), "nosniff");
        assert_eq!(answer.header("x-frame-options"), "DENY");
        assert_eq!(answer.header("referrer-policy"), "no-referrer");
        assert_eq!(answer.header("cross-origin-resource-policy"), "same-origin");
        assert_eq!(answer.header("cache-control"), "no-store");
    }
}

#[tokio::test]
async fn requests_are_counted_by_route_not_by_address() {
    let world = World::new().await;
    for id in ["0123456789abcdef", "fedcba9876543210"] {
        world.get(&format!("/v1/jobs/{id}")).await;
    }
    let text = world.get("/metrics").await;
    let line = "leanwright_requests_total{method=\"GET\",route=\"/v1/jobs/{id}\",status=\"404\"} 2";
    assert!(text.text().contains(line), "{}", text.text());
    assert!(text.text().contains("\nleanwright_event_listeners 0\n"));
}
