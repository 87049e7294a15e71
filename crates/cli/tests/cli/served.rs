//! Commands that talk to a server.

use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::Stdio;

use serde_json::Value;

use crate::process::{Server, command, demo, problem, short_job, stdout_json, wait};

#[test]
fn a_job_is_submitted_watched_fetched_and_compared() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("s.sqlite"), 2);
    let job = short_job(&folder, 3_000);
    let submitted = stdout_json(&server.ask(&["submit", job.to_str().unwrap(), "--json"]));
    let id = submitted["id"].as_str().unwrap();

    let watched = server.ask(&["watch", id, "--json"]);
    assert_eq!(watched.status.code(), Some(0), "{watched:?}");
    let lines = String::from_utf8(watched.stdout).unwrap();
    let events: Vec<Value> = lines
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(events.first().unwrap()["kind"], "submitted");
    assert_eq!(events.last().unwrap()["kind"], "done");

    let front = stdout_json(&server.ask(&["front", id, "--json"]));
    let count = front["candidates"].as_array().unwrap().len();
    assert!((2..=12).contains(&count), "{count}");
    let out = folder.path().join("out");
    let table = server.ask(&["front", id, "--out", out.to_str().unwrap()]);
    assert_eq!(table.status.code(), Some(0), "{table:?}");
    let table = String::from_utf8(table.stdout).unwrap();
    assert_eq!(table.lines().count(), count + 1);
    assert!(table.lines().next().unwrap().contains("lean_steer_deg"));
    let written = files(&out);
    for name in ["front.csv", "front.json", "job.json", "report.html"] {
        assert!(written.contains(&name.to_owned()), "{written:?}");
    }
    let vehicles: Vec<String> = (0..count)
        .map(|n| format!("candidate-{n:03}.json"))
        .collect();
    assert!(
        vehicles.iter().all(|name| written.contains(name)),
        "{written:?}"
    );
    let csv = String::from_utf8(server.ask(&["front", id, "--csv"]).stdout).unwrap();
    assert_eq!(csv.lines().count(), count + 1);

    let one = server.ask(&["front", id, "--candidate", "1"]);
    let vehicle = folder.path().join("vehicle.json");
    std::fs::write(&vehicle, &one.stdout).unwrap();
    let assessed = server.ask(&["assess", vehicle.to_str().unwrap(), "--json"]);
    assert_eq!(assessed.status.code(), Some(0), "{assessed:?}");

    let (first, second) = (format!("{id}/0"), format!("{id}/1"));
    let compared = stdout_json(&server.ask(&["compare", &first, &second, "--json"]));
    assert_eq!(compared["candidates"].as_array().unwrap().len(), 2);
    let text = String::from_utf8(server.ask(&["compare", &first, &second]).stdout).unwrap();
    assert!(
        text.contains("difference") && text.contains("steering_error_deg"),
        "{text}"
    );
    let beyond = format!("{id}/999");
    problem(
        &server.ask(&["compare", &first, &beyond, "--json"]),
        2,
        "not-found",
    );
}

/// What the container's health check runs: it asks without a token, since a probe has none.
#[test]
fn ready_says_whether_a_server_and_its_store_answer() {
    let folder = tempfile::tempdir().unwrap();
    let token = folder.path().join("token");
    std::fs::write(&token, "a-token-for-this-test-alone\n").unwrap();
    let more = ["--token-file", token.to_str().unwrap()];
    let server = Server::start_with(&folder.path().join("s.sqlite"), 0, &more);
    let ready = server.ask(&["ready"]);
    assert_eq!(ready.status.code(), Some(0), "{ready:?}");
    assert_eq!(ready.stdout, b"ready\n");
    assert_eq!(
        stdout_json(&server.ask(&["ready", "--json"]))["status"],
        "ready"
    );
    let url = server.url.clone();
    drop(server);
    let gone = crate::process::leanwright(["ready", "--json", "--server", &url]);
    problem(&gone, 5, "server-unreachable");
}

#[test]
fn a_fit_is_submitted_watched_and_printed() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("s.sqlite"), 1);
    let job = demo("as-built/orchard-hauler.json");
    let job = job.to_str().unwrap();
    let submitted = stdout_json(&server.ask(&["submit", job, "--json"]));
    assert_eq!(submitted["kind"], "as_built");
    let id = submitted["id"].as_str().unwrap();
    assert_eq!(server.ask(&["watch", id]).status.code(), Some(0));
    let out = folder.path().join("out");
    let fitted = server.ask(&["fitted", id, "--out", out.to_str().unwrap(), "--json"]);
    assert_eq!(
        stdout_json(&fitted),
        stdout_json(&server.ask(&["fit", job, "--json"]))
    );
    assert!(files(&out).contains(&"report.html".to_owned()));
    let none = server.ask(&["front", id, "--json"]);
    assert!(
        problem(&none, 2, "not-possible")["detail"]
            .to_string()
            .contains("/fit")
    );
}

fn files(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    names.collect()
}

#[test]
fn a_cancelled_job_has_no_front() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("s.sqlite"), 0);
    let path = demo("rod-ends.json");
    let id = server
        .ask(&["submit", path.to_str().unwrap(), "--key", "k"])
        .stdout;
    let id = String::from_utf8(id).unwrap().trim().to_owned();
    let again = server
        .ask(&["submit", path.to_str().unwrap(), "--key", "k"])
        .stdout;
    assert_eq!(String::from_utf8(again).unwrap().trim(), id);
    problem(&server.ask(&["front", &id, "--json"]), 6, "no-front");
    let cancelled = server.ask(&["cancel", &id]);
    assert_eq!(
        String::from_utf8(cancelled.stdout).unwrap().trim(),
        "cancelled"
    );
    assert_eq!(server.ask(&["watch", &id]).status.code(), Some(6));
    problem(&server.ask(&["front", &id, "--json"]), 6, "no-front");
}

#[test]
fn a_bad_job_is_refused_and_the_server_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("s.sqlite"), 0);
    let path = folder.path().join("bad.json");
    std::fs::write(&path, "{\"freedoms\": 7}").unwrap();
    let told = problem(
        &server.ask(&["submit", path.to_str().unwrap(), "--json"]),
        2,
        "bad-input",
    );
    assert!(!told["faults"].as_array().unwrap().is_empty());
    problem(
        &server.ask(&["watch", "nonsense", "--json"]),
        2,
        "not-found",
    );
    let good = demo("rod-ends.json");
    assert_eq!(
        server
            .ask(&["submit", good.to_str().unwrap()])
            .status
            .code(),
        Some(0)
    );
}

#[test]
fn a_server_asked_to_end_does_so_in_order_and_takes_up_its_jobs_again() {
    let folder = tempfile::tempdir().unwrap();
    let store = folder.path().join("s.sqlite");
    let mut server = Server::start(&store, 1);
    let job = short_job(&folder, 40_000);
    let id = server.ask(&["submit", job.to_str().unwrap()]).stdout;
    let id = String::from_utf8(id).unwrap().trim().to_owned();
    server.signal("TERM");
    assert_eq!(server.wait().code(), Some(0));
    let server = Server::start(&store, 2);
    let watched = server.ask(&["watch", &id, "--json"]);
    assert_eq!(watched.status.code(), Some(0), "{watched:?}");
}

#[test]
fn two_servers_on_one_store_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let store = folder.path().join("s.sqlite");
    let server = Server::start(&store, 0);
    let path = store.to_str().unwrap();
    let second = server.ask(&[
        "serve",
        "--listen",
        "127.0.0.1:0",
        "--store",
        path,
        "--json",
    ]);
    problem(&second, 5, "store-unavailable");
}

#[test]
fn a_token_opens_the_server_to_those_who_hold_it() {
    let folder = tempfile::tempdir().unwrap();
    let token = folder.path().join("token");
    std::fs::write(&token, "a-token-of-many-characters\n").unwrap();
    let token = token.to_str().unwrap();
    let store = folder.path().join("s.sqlite");
    let server = Server::start_with(&store, 0, &["--token-file", token]);
    let job = demo("rod-ends.json");
    let job = job.to_str().unwrap();
    let told = problem(&server.ask(&["submit", job, "--json"]), 5, "unauthorised");
    assert!(!told.to_string().contains("many-characters"));
    let submitted = server.ask(&["submit", job, "--token-file", token]);
    assert_eq!(submitted.status.code(), Some(0), "{submitted:?}");
}

#[test]
fn a_watcher_bears_a_restart_of_the_server() {
    let folder = tempfile::tempdir().unwrap();
    let store = folder.path().join("s.sqlite");
    let mut server = Server::start(&store, 0);
    let job = short_job(&folder, 3_000);
    let id = server.ask(&["submit", job.to_str().unwrap()]).stdout;
    let id = String::from_utf8(id).unwrap().trim().to_owned();
    let mut watching = command()
        .args(["watch", &id, "--json", "--server", &server.url])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut told = String::new();
    let mut output = BufReader::new(watching.stdout.take().unwrap());
    output.read_line(&mut told).unwrap();
    let address = server.url.trim_start_matches("http://").to_owned();
    server.signal("KILL");
    server.wait();
    let again = Server::start_with(&store, 1, &["--listen", &address]);
    assert_eq!(again.url, server.url);
    output.read_to_string(&mut told).unwrap();
    assert_eq!(wait(&mut watching).code(), Some(0), "{told}");
    let numbers = told.lines().map(|line| {
        let event: Value = serde_json::from_str(line).unwrap();
        event["number"].as_u64().unwrap()
    });
    let numbers: Vec<u64> = numbers.collect();
    assert_eq!(
        numbers,
        (1..=numbers.len() as u64).collect::<Vec<_>>(),
        "each event once"
    );
}

#[test]
fn a_job_is_listed_paused_changed_and_deleted() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("s.sqlite"), 0);
    let path = demo("rod-ends.json");
    let path = path.to_str().unwrap();
    let submit = |more: &[&str]| {
        let words: Vec<&str> = ["submit", path]
            .into_iter()
            .chain(more.iter().copied())
            .collect();
        let id = server.ask(&words).stdout;
        String::from_utf8(id).unwrap().trim().to_owned()
    };
    let first = submit(&["--label", "spring", "--priority", "background"]);
    let child = submit(&["--parent", &first, "--keep-days", "3"]);
    let listed = stdout_json(&server.ask(&["jobs", "--parent", &first, "--json"]));
    assert_eq!(listed["jobs"][0]["id"], child);
    assert_eq!(listed["jobs"][0]["keep_days"], 3);
    let table = String::from_utf8(server.ask(&["jobs", "--label", "spring"]).stdout).unwrap();
    assert!(table.contains(&first) && !table.contains(&child), "{table}");

    let paused = String::from_utf8(server.ask(&["pause", &first]).stdout).unwrap();
    assert_eq!(paused.trim(), "queued, paused");
    let resumed = String::from_utf8(server.ask(&["resume", &first]).stdout).unwrap();
    assert_eq!(resumed.trim(), "queued");
    let change = [
        "change",
        &first,
        "--priority",
        "urgent",
        "--no-labels",
        "--json",
    ];
    let changed = stdout_json(&server.ask(&change));
    assert_eq!(changed["priority"], "urgent");
    assert_eq!(changed["labels"], serde_json::json!([]));
    problem(&server.ask(&["change", &first, "--json"]), 2, "usage");

    assert_eq!(server.ask(&["delete", &child]).status.code(), Some(0));
    problem(&server.ask(&["watch", &child, "--json"]), 2, "not-found");
}
