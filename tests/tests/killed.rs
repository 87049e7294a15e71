//! A server killed in mid-job and started again ends with the bits of an undisturbed run.

use leanwright_tests::program::{Server, demo};
use serde_json::{Value, json};

/// The demo job on real kinematics, cut to a few epochs.
fn job() -> Value {
    let mut job = demo("rod-ends.json");
    job["search"] = json!({
        "evaluations": 60000, "islands": 2, "seed": 11, "front": 20, "polish_points": 2,
        "polish_evaluations": 200,
    });
    job
}

fn evaluations(job: &Value) -> u64 {
    job["progress"]["evaluations"].as_u64().unwrap_or(0)
}

fn undisturbed(workers: u32) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let server = Server::start(&folder.path().join("store.sqlite"), workers);
    let id = server.submit(&job());
    server.front(&id)
}

#[test]
fn one_and_two_workers_and_kills_give_the_same_bits() {
    let one = undisturbed(1);
    assert!(one.contains("\"candidates\""), "{one}");
    assert_eq!(one, undisturbed(2), "one worker against two");
    assert_eq!(one, killed_on_the_way(), "undisturbed against killed");
}

/// Kills the server each time that the job got further, then lets it end.
fn killed_on_the_way() -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("store.sqlite");
    let server = Server::start(&store, 2);
    let id = server.submit(&job());
    server.wait(&id, |job| job["state"] == "running");
    server.kill();
    let mut reached = 0;
    for _ in 0..2 {
        let server = Server::start(&store, 2);
        let found = server.wait(&id, |job| evaluations(job) > reached);
        assert_eq!(
            found["state"], "running",
            "over before it was killed: {found}"
        );
        reached = evaluations(&found);
        server.kill();
    }
    Server::start(&store, 2).front(&id)
}
