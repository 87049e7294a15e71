//! Folders that cannot be written and disks without room: said clearly, and the server goes on.

use std::fs::{self, Permissions};
use std::os::unix::fs::{PermissionsExt, symlink};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::Output;

use leanwright_tests::program::{Server, clean, command, demo, demo_path};
use serde_json::{Value, json};

/// The problem document that a command left on standard error.
fn problem(output: &Output) -> Value {
    assert_ne!(output.status.code(), Some(0), "{output:?}");
    assert!(output.stdout.is_empty(), "{output:?}");
    serde_json::from_slice(&output.stderr).unwrap_or_else(|error| panic!("{error}: {output:?}"))
}

fn says(problem: &Value, kind: &str, words: &str) {
    assert_eq!(problem["type"], format!("/problems/{kind}"), "{problem}");
    let detail = problem["detail"].as_str().expect("a detail");
    assert!(detail.contains(words), "{problem}");
}

/// A short job as a file.
fn job(folder: &Path) -> std::path::PathBuf {
    let mut job = demo("rod-ends.json");
    job["search"] = json!({ "evaluations": 1000, "islands": 1, "seed": 3 });
    let file = folder.join("job.json");
    fs::write(&file, job.to_string()).expect("a file is written");
    file
}

#[test]
fn a_read_only_folder_is_named_by_run_and_serve() {
    let folder = tempfile::tempdir().expect("a folder");
    let job = job(folder.path());
    // Rights do not bind root, so the program is another user's then, who must reach its file.
    let program = folder.path().join("leanwright");
    fs::copy(leanwright_tests::program::program(), &program).expect("the program is copied");
    let closed = folder.path().join("closed");
    fs::create_dir(&closed).expect("a folder");
    for path in [folder.path(), &closed] {
        fs::set_permissions(path, Permissions::from_mode(0o555)).expect("rights are set");
    }
    let root = fs::metadata("/proc/self").is_ok_and(|own| {
        use std::os::unix::fs::MetadataExt;
        own.uid() == 0
    });
    let run = |arguments: &[&str]| {
        let mut command = clean(&program);
        if root {
            command.uid(65_534).gid(65_534);
        }
        command
            .args(arguments)
            .output()
            .expect("the program starts")
    };
    let job = job.to_str().expect("the path is text");
    let out = closed.join("out");
    let out = out.to_str().expect("the path is text");
    says(
        &problem(&run(&["run", job, "--json", "--out", out])),
        "not-written",
        out,
    );
    let store = closed.join("store.sqlite");
    let store = store.to_str().expect("the path is text");
    let listen = ["--listen", "127.0.0.1:0", "--json"];
    let refused = problem(&run(&[&["serve", "--store", store][..], &listen].concat()));
    assert!(
        refused["detail"]
            .as_str()
            .is_some_and(|d| d.contains("store")),
        "{refused}"
    );
    fs::set_permissions(folder.path(), Permissions::from_mode(0o755)).expect("rights are set");
}

#[test]
fn a_file_that_the_disk_does_not_take_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    fs::create_dir(&out).expect("a folder");
    // Every write to this device fails as on a full disk.
    symlink("/dev/full", out.join("front.json")).expect("a link");
    let output = command()
        .arg("run")
        .arg(job(folder.path()))
        .args(["--json", "--out"])
        .arg(&out)
        .output()
        .expect("the program starts");
    says(&problem(&output), "not-written", "front.json");
}

#[test]
fn a_store_without_room_refuses_jobs_and_the_server_goes_on() {
    let folder = tempfile::tempdir().expect("a folder");
    // No file may grow beyond this many blocks of 512 bytes: writes fail as on a full disk.
    let server = Server::start_in_shell(
        &folder.path().join("store.sqlite"),
        "trap '' XFSZ; ulimit -f 1200; exec \"$@\"",
    );
    let body = fs::read_to_string(demo_path("rod-ends.json")).expect("a demo file is there");
    let refused = (0..400).find_map(|_| {
        let (status, text) = server.post("/v1/jobs", body.as_bytes()).expect("an answer");
        (status != 201).then_some((status, text))
    });
    let (status, text) = refused.expect("the room ends");
    let problem: Value = serde_json::from_str(&text).expect("a problem document is JSON");
    assert_eq!(status, 503, "{problem}");
    says(&problem, "store-unavailable", "store");
    assert_eq!(server.get("/healthz").0, 200);
    assert_eq!(server.get("/v1/jobs").0, 200);
    let pose = json!({ "vehicle": demo("rod-ends.json")["vehicle"], "lean_deg": 3 });
    let answer = server.post("/v1/poses", pose.to_string().as_bytes());
    assert_eq!(answer.expect("an answer").0, 200);
}
