//! Every bad request gets a problem document, and the server goes on.

use axum::body::Body;
use axum::http::{Method, Request, header};
use leanwright_service::Kind;
use serde_json::{Value, json};

use crate::world::{JOB, VEHICLE, World, get, get_with, post};

const TAKING_A_BODY: [&str; 4] = [
    "/v1/jobs",
    "/v1/comparisons",
    "/v1/assessments",
    "/v1/poses",
];

#[tokio::test]
async fn bodies_that_are_not_json() {
    let world = World::new().await;
    let bodies = ["", "{", "{\"a\": NaN}", "[1,]", "\u{feff}{}", "{} {}"];
    for path in TAKING_A_BODY {
        for body in bodies {
            let answer = world.post(path, body).await;
            answer.problem(Kind::BadJson);
        }
        world
            .post(path, vec![b'"', 0xff, b'"'])
            .await
            .problem(Kind::BadJson);
        let deep = "[".repeat(200_000);
        world.post(path, deep).await.problem(Kind::BadJson);
        world.still_serves().await;
    }
}

#[tokio::test]
async fn bodies_that_are_not_declared_as_json() {
    let world = World::new().await;
    for path in TAKING_A_BODY {
        for media_type in [
            "text/plain",
            "application/x-www-form-urlencoded",
            "json",
            "",
        ] {
            let mut request = post(path, JOB);
            let headers = request.headers_mut();
            headers.insert(header::CONTENT_TYPE, media_type.parse().unwrap());
            world.ask(request).await.problem(Kind::WrongMediaType);
        }
        let mut request = post(path, JOB);
        request.headers_mut().remove(header::CONTENT_TYPE);
        world.ask(request).await.problem(Kind::WrongMediaType);
        let mut request = post(path, JOB);
        let headers = request.headers_mut();
        headers.insert(header::CONTENT_ENCODING, "gzip".parse().unwrap());
        world.ask(request).await.problem(Kind::WrongMediaType);
    }
    world.still_serves().await;
}

#[tokio::test]
async fn bodies_beyond_the_limit() {
    let world = World::new().await;
    for path in TAKING_A_BODY {
        let large = format!("\"{}\"", "a".repeat(1 << 20));
        world
            .post(path, large.clone())
            .await
            .problem(Kind::TooLarge);
        let mut declared = post(path, "{}");
        let headers = declared.headers_mut();
        headers.insert(header::CONTENT_LENGTH, "104857600".parse().unwrap());
        world.ask(declared).await.problem(Kind::TooLarge);
    }
    world.still_serves().await;
}

#[tokio::test]
async fn json_of_the_wrong_shape() {
    let world = World::new().await;
    for path in TAKING_A_BODY {
        for body in ["null", "7", "[]", "\"\"", "{}", "{\"unheard_of\": 1}"] {
            let answer = world.post(path, body).await;
            let problem = answer.problem(Kind::BadInput);
            assert!(!problem.faults.is_empty(), "{path} {body}");
        }
    }
    world.still_serves().await;
}

#[tokio::test]
async fn faults_name_place_value_and_what_is_allowed() {
    let world = World::new().await;
    let mut job: Value = serde_json::from_str(JOB).unwrap();
    job["freedoms"][0]["axis"] = json!("w");
    job["search"]["islands"] = json!(0);
    let answer = world.post("/v1/jobs", job.to_string()).await;
    let faults = answer.problem(Kind::BadInput).faults;
    let at = |pointer: &str| {
        let found = faults.iter().find(|fault| fault.pointer == pointer);
        found.unwrap_or_else(|| panic!("{pointer}: {faults:?}"))
    };
    assert_eq!(at("/freedoms/0/axis").value, json!("w"));
    assert_eq!(at("/search/islands").value, json!(0));
    assert!(!at("/search/islands").allowed.is_empty());
    world.still_serves().await;
}

#[tokio::test]
async fn a_faulty_vehicle_is_pointed_at_from_the_top_of_the_request() {
    let world = World::new().await;
    let mut vehicle: Value = serde_json::from_str(VEHICLE).unwrap();
    vehicle["front_wheels"]["radius_mm"] = json!(-1);
    for path in ["/v1/assessments", "/v1/poses"] {
        let answer = world
            .post(path, json!({ "vehicle": vehicle }).to_string())
            .await;
        let faults = answer.problem(Kind::BadInput).faults;
        assert_eq!(faults[0].pointer, "/vehicle/front_wheels/radius_mm");
        assert_eq!(faults[0].value, json!(-1));
    }
    world.still_serves().await;
}

#[tokio::test]
async fn addresses_where_nothing_is() {
    let world = World::new().await;
    let id = world.submit().await;
    let paths = [
        "/page".to_owned(),
        "/page/../v1/jobs".to_owned(),
        "/v1".to_owned(),
        "/v1/jobs/".to_owned(),
        "/v1/jobs/0123456789abcdef".to_owned(),
        "/v1/jobs/0123456789abcdef/events".to_owned(),
        "/v1/jobs/0123456789abcdef/front".to_owned(),
        "/v1/jobs/0123456789abcdef/input".to_owned(),
        "/v1/jobs/0123456789abcdef/candidates/0".to_owned(),
        "/v1/jobs/..%2F..%2Fetc".to_owned(),
        "/v1/jobs/%ff".to_owned(),
        format!("/v1/jobs/{id}/candidates/-1"),
        format!("/v1/jobs/{id}/candidates/4294967296"),
        "/problems/unheard-of".to_owned(),
    ];
    for path in paths {
        world.get(&path).await.problem(Kind::NotFound);
    }
    let cancel = world.post("/v1/jobs/0123456789abcdef/cancel", "").await;
    cancel.problem(Kind::NotFound);
    world.still_serves().await;
}

#[tokio::test]
async fn methods_that_a_resource_does_not_have() {
    let world = World::new().await;
    for (method, path, allow) in [
        (Method::DELETE, "/v1/jobs", "GET"),
        (Method::PUT, "/v1/jobs/0123456789abcdef", "GET"),
        (Method::GET, "/v1/poses", "POST"),
        (Method::OPTIONS, "/v1/assessments", "POST"),
        (Method::POST, "/healthz", "GET"),
    ] {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, "127.0.0.1:8080")
            .body(Body::empty())
            .unwrap();
        let answer = world.ask(request).await;
        answer.problem(Kind::MethodNotAllowed);
        assert!(answer.header("allow").contains(allow), "{answer:?}");
    }
    world.still_serves().await;
}

#[tokio::test]
async fn parameters_out_of_range() {
    let world = World::new().await;
    for query in [
        "limit=0",
        "limit=201",
        "limit=-1",
        "limit=ten",
        "state=finished",
        "cursor=somewhere",
        "unheard_of=1",
        "limit=1&limit=2",
    ] {
        let answer = world.ask(get(&format!("/v1/jobs?{query}"))).await;
        answer.problem(Kind::BadParameter);
    }
    let id = world.submit().await;
    let path = format!("/v1/jobs/{id}/events");
    let answer = world.ask(get_with(&path, "last-event-id", "last")).await;
    let problem = answer.problem(Kind::BadParameter);
    assert_eq!(problem.faults[0].pointer, "/Last-Event-ID");
    world
        .get(&format!("{path}?after=x"))
        .await
        .problem(Kind::BadParameter);
    world.still_serves().await;
}
