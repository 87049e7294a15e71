//! Bad files and careless callers: a clear answer each, and the server goes on with its work.

use std::io::{Read, repeat};

use leanwright_tests::program::{Server, demo};
use serde_json::{Value, json};

/// Status of a body sent as a job; the answer must be a problem document.
fn refused(server: &Server, body: &str) -> (u16, Value) {
    let (status, text) = server
        .post("/v1/jobs", body.as_bytes())
        .expect("the server answers");
    let problem: Value = serde_json::from_str(&text).expect("a problem document is JSON");
    assert_eq!(problem["status"], status, "{problem}");
    (status, problem)
}

/// The demo job with one change.
fn changed(change: impl Fn(&mut Value)) -> String {
    let mut job = demo("rod-ends.json");
    change(&mut job);
    job.to_string()
}

#[test]
fn a_server_at_work_refuses_bad_files_and_ends_its_job() {
    let folder = tempfile::tempdir().expect("a folder");
    let server = Server::start(&folder.path().join("store.sqlite"), 1);
    let mut small = demo("rod-ends.json");
    small["search"] = json!({ "evaluations": 5000, "islands": 1, "seed": 3 });
    let id = server.submit(&small);

    assert_eq!(refused(&server, "{\"name\": ").0, 400);
    assert_eq!(refused(&server, &"[".repeat(100_000)).0, 400);
    let doubled = changed(|_| ()).replacen('{', "{\"name\": \"twice\", ", 1);
    assert!(matches!(refused(&server, &doubled).0, 400 | 422));

    let rows = [
        (
            "no such wheel",
            "/vehicle/front_weels",
            changed(|job| {
                job["vehicle"]["front_weels"] = json!({});
            }),
        ),
        (
            "ball joint on its hinge",
            "/vehicle/lower_wishbone",
            changed(|job| {
                let pivot = job["vehicle"]["lower_wishbone"]["front_pivot_mm"].clone();
                job["vehicle"]["lower_wishbone"]["ball_joint_mm"] = pivot;
            }),
        ),
        (
            "metres for millimetres",
            "/vehicle/front_wheels",
            changed(|job| {
                job["vehicle"]["front_wheels"]["radius_mm"] = json!(0.25);
            }),
        ),
        (
            "turned range",
            "/freedoms/0",
            changed(|job| {
                let freedom = &mut job["freedoms"][0];
                let from = freedom["offset_from_mm"].clone();
                freedom["offset_from_mm"] = freedom["offset_to_mm"].clone();
                freedom["offset_to_mm"] = from;
            }),
        ),
        (
            "zero budget",
            "/search/evaluations",
            changed(|job| {
                job["search"]["evaluations"] = json!(0);
            }),
        ),
        (
            "ten thousand freedoms",
            "/freedoms",
            changed(|job| {
                let one = job["freedoms"][0].clone();
                job["freedoms"] = Value::Array(vec![one; 3000]);
            }),
        ),
    ];
    for (name, pointer, body) in &rows {
        let (status, problem) = refused(&server, body);
        assert_eq!(status, 422, "{name}: {problem}");
        let faults = problem["faults"].as_array().expect("a list of faults");
        let found = faults.iter().any(|fault| {
            fault["pointer"]
                .as_str()
                .is_some_and(|p| p.starts_with(pointer))
        });
        assert!(found, "{name}: no fault at {pointer} in {problem}");
    }

    // 100 MB: refused by size, or cut off while it is still being sent.
    if let Some((status, _)) = server.post("/v1/jobs", repeat(b' ').take(100_000_000)) {
        assert_eq!(status, 413);
    }
    assert_eq!(server.get("/v1/jobs/0000000000000000").0, 404);
    assert_eq!(server.get("/v1/jobs/%00/front").0, 404);
    assert_eq!(
        server
            .get(&format!("/v1/jobs?cursor={}", "x".repeat(9000)))
            .0
            / 100,
        4
    );

    let front: Value = serde_json::from_str(&server.front(&id)).expect("a front is JSON");
    assert!(!front["candidates"].as_array().expect("a list").is_empty());
}
