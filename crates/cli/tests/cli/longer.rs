//! Jobs that go on, begin again, or move to another server.

use std::process::Output;

use serde_json::Value;
use tempfile::TempDir;

use crate::process::{Server, demo, problem, short_job, stdout_json};

fn text(output: Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    String::from_utf8(output.stdout).unwrap().trim().to_owned()
}

/// A server and a job that it has done.
fn done(folder: &TempDir) -> (Server, String) {
    let server = Server::start(&folder.path().join("s.sqlite"), 2);
    let job = short_job(folder, 1_000);
    let id = text(server.ask(&["submit", job.to_str().unwrap()]));
    assert_eq!(server.ask(&["watch", &id]).status.code(), Some(0));
    (server, id)
}

#[test]
fn a_finished_job_is_extended() {
    let folder = tempfile::tempdir().unwrap();
    let (server, id) = done(&folder);
    let longer = server.ask(&["extend", &id, "--evaluations", "1000", "--watch"]);
    assert_eq!(longer.status.code(), Some(0), "{longer:?}");
    let found = stdout_json(&server.ask(&["jobs", "--parent", &id, "--json"]));
    let child = &found["jobs"][0];
    assert_eq!(
        (&child["state"], &child["parent"]),
        (&"done".into(), &id.clone().into())
    );
    let child = child["id"].as_str().unwrap();
    let evaluations = |id: &str| {
        let front = stdout_json(&server.ask(&["front", id, "--json"]));
        front["evaluations"].as_u64().unwrap()
    };
    assert!(evaluations(child) > evaluations(&id));
    let refused = server.ask(&["extend", &id, "--evaluations", "0"]);
    assert_eq!(refused.status.code(), Some(2));
    let unknown = server.ask(&["extend", "mine", "--evaluations", "9", "--json"]);
    problem(&unknown, 2, "not-found");
}

#[test]
fn an_open_job_is_restarted_and_a_finished_one_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("s.sqlite"), 0);
    let path = demo("rod-ends.json");
    let id = text(server.ask(&["submit", path.to_str().unwrap()]));
    let early = server.ask(&["extend", &id, "--evaluations", "9", "--json"]);
    let early = problem(&early, 2, "not-possible");
    assert!(early["detail"].as_str().unwrap().contains("queued"));
    assert_eq!(text(server.ask(&["restart", &id])), "queued");
    assert_eq!(text(server.ask(&["cancel", &id])), "cancelled");
    problem(&server.ask(&["restart", &id, "--json"]), 2, "already-over");
}

#[test]
fn a_job_is_exported_and_imported_elsewhere() {
    let folder = tempfile::tempdir().unwrap();
    let (here, id) = done(&folder);
    let there = Server::start(&folder.path().join("other.sqlite"), 0);
    let file = folder.path().join("job.jsonl");
    let path = file.to_str().unwrap();
    assert!(text(here.ask(&["export", &id, "-o", path])).ends_with("bytes written"));
    let piped = here.ask(&["export", &id, "--output", "-"]);
    assert_eq!(piped.stdout, std::fs::read(&file).unwrap());
    assert_eq!(text(there.ask(&["import", path])), id);
    for command in [
        vec!["front", id.as_str(), "--json"],
        vec!["front", id.as_str(), "--candidate", "1", "--json"],
    ] {
        let (seen, expected) = (there.ask(&command), here.ask(&command));
        assert_eq!(seen.stdout, expected.stdout);
        assert!(!seen.stdout.is_empty());
    }
    let again = there.ask(&["import", path, "--json"]);
    let again = problem(&again, 2, "not-possible");
    assert!(again["detail"].as_str().unwrap().contains("here already"));
    text(there.ask(&["delete", &id]));

    let whole = std::fs::read_to_string(&file).unwrap();
    for (spoilt, says) in [
        (whole[..whole.len() - 40].to_owned(), "cut off"),
        (whole.replacen("submitted", "sUbmitted", 1), "damaged"),
        (
            std::fs::read_to_string(demo("rod-ends.json")).unwrap(),
            "does not begin",
        ),
    ] {
        std::fs::write(&file, spoilt).unwrap();
        let refused = problem(&there.ask(&["import", path, "--json"]), 2, "bad-job-file");
        assert!(
            refused["detail"].as_str().unwrap().contains(says),
            "{refused}"
        );
    }
    let sparse = std::fs::File::create(&file).unwrap();
    sparse.set_len((256 << 20) + 1).unwrap();
    problem(&there.ask(&["import", path, "--json"]), 2, "too-large");
    problem(
        &there.ask(&["import", "absent.jsonl", "--json"]),
        2,
        "usage",
    );
    let jobs: Value = stdout_json(&there.ask(&["jobs", "--json"]));
    assert_eq!(jobs["jobs"].as_array().unwrap().len(), 0);
    problem(
        &there.ask(&["export", &id, "-o", path, "--json"]),
        2,
        "not-found",
    );
}

#[test]
fn an_open_job_is_not_exported() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("s.sqlite"), 0);
    let path = demo("rod-ends.json");
    let id = text(server.ask(&["submit", path.to_str().unwrap()]));
    let file = folder.path().join("job.jsonl");
    let refused = server.ask(&["export", &id, "-o", file.to_str().unwrap(), "--json"]);
    problem(&refused, 2, "not-possible");
    assert!(!file.exists(), "a refused export leaves no file");
}
