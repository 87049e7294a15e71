//! A worker process killed, stopped and continued in the middle of a job: the result is the same to
//! the last bit. The process is this test binary itself, started again as a worker.

#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, missing_docs)]

mod common;

use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use common::*;
use leanwright_work::Worker;
use leanwright_work::slices::run_search;
use rustix::process::{Pid, Resource, Rlimit, prlimit};
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, Connection};
use store::{Completion, Error, JobId, JobState, Store, WorkerInfo};

const STORE: &str = "LEANWRIGHT_TEST_STORE";

/// Not a test of its own: the child process. It works on the store named by the environment until
/// it is killed.
#[tokio::test(flavor = "multi_thread")]
#[ignore = "the child process of the tests below"]
async fn child() {
    let Some(path) = std::env::var_os(STORE) else {
        return;
    };
    let store = Store::open(&options_at(&PathBuf::from(path)))
        .await
        .unwrap();
    let _worker = Worker::start(&store, &worker_options(2)).unwrap();
    std::future::pending::<()>().await;
}

fn start_child(place: &Place) -> Child {
    // The signal that a write beyond a limit raises is ignored, so that the write fails instead.
    Command::new("sh")
        .args(["-c", "trap '' XFSZ; exec \"$0\" \"$@\""])
        .arg(std::env::current_exe().unwrap())
        .args(["--exact", "child", "--ignored", "--nocapture"])
        .env(STORE, place.folder.path().join("jobs.db"))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// Waits until so many slices are done and one is running, as seen past the store.
async fn slices_done(place: &Place, at_least: i64) {
    let path = place.folder.path().join("jobs.db");
    let mut plain = SqliteConnectOptions::new()
        .filename(path)
        .connect()
        .await
        .unwrap();
    for _ in 0..6_000 {
        let seen: (i64, i64) = sqlx::query_as(
            "SELECT coalesce(sum(state = 'done'), 0), coalesce(sum(state = 'running'), 0) FROM slices",
        )
        .fetch_one(&mut plain)
        .await
        .unwrap();
        if seen.0 >= at_least && seen.1 > 0 {
            return plain.close().await.unwrap();
        }
        tokio::time::sleep(Duration::from_millis(2)).await;
    }
    panic!("waited for {at_least} slices");
}

/// A store in which a job waits, and what an undisturbed run makes of that job.
async fn waiting_job() -> (Place, JobId, (String, Vec<Vec<u8>>)) {
    let toy = Toy {
        epochs: 12,
        pause_us: 100,
        ..Toy::default()
    };
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    store.close().await;
    drop(store);
    (place, id, expected)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_killed_process_changes_no_bit() {
    let (place, id, expected) = waiting_job().await;
    // Four lives, each cut short while slices are running.
    for done in [3, 10, 17, 25] {
        let mut child = start_child(&place);
        slices_done(&place, done).await;
        child.kill().unwrap();
        child.wait().unwrap();
    }
    let store = place.open().await;
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    let job = finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert_eq!(result(&store, &id).await, expected);
    let events = store.events(&id, 0, 1_000).await.unwrap();
    assert!(
        events.iter().any(|event| event.kind == "rescued"),
        "a kill left slices running"
    );
}

/// A disk that is full for three leases and then has room again. Every write of the process fails with
/// "file too large" meanwhile, which SQLite reports as it reports a full disk.
#[tokio::test(flavor = "multi_thread")]
async fn a_full_disk_changes_no_bit() {
    let (place, id, expected) = waiting_job().await;
    let mut child = start_child(&place);
    for done in [3, 15] {
        slices_done(&place, done).await;
        limit_files(&child, Some(0));
        // A write that had begun may still end.
        tokio::time::sleep(Duration::from_millis(200)).await;
        let before = count(&place, "SELECT count(*) FROM slices WHERE state = 'done'").await;
        tokio::time::sleep(Duration::from_secs(3)).await;
        let after = count(&place, "SELECT count(*) FROM slices WHERE state = 'done'").await;
        assert_eq!(before, after, "nothing can be stored on a full disk");
        assert_eq!(
            child.try_wait().unwrap(),
            None,
            "the worker outlives a full disk"
        );
        limit_files(&child, None);
    }
    while count(&place, "SELECT count(*) FROM results").await == 0 {
        assert_eq!(child.try_wait().unwrap(), None);
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let store = place.open().await;
    assert_eq!(store.job(&id).await.unwrap().state, JobState::Done);
    assert_eq!(result(&store, &id).await, expected);
}

/// Lets the process write no file beyond this size.
fn limit_files(child: &Child, bytes: Option<u64>) {
    let pid = Pid::from_child(child);
    let limit = Rlimit {
        current: bytes,
        maximum: None,
    };
    prlimit(Some(pid), Resource::Fsize, limit).unwrap();
}

async fn count(place: &Place, sql: &'static str) -> i64 {
    let path = place.folder.path().join("jobs.db");
    let options = SqliteConnectOptions::new().filename(path);
    let mut plain = options.connect().await.unwrap();
    let found = sqlx::query_scalar(sql).fetch_one(&mut plain).await.unwrap();
    plain.close().await.unwrap();
    found
}

/// Nobody can write to the store for longer than a lease: the worker holds its claim for lost by its
/// own clock, and takes the slice up again once it can.
#[tokio::test(flavor = "multi_thread")]
async fn a_store_out_of_reach_for_a_lease_loses_the_claim() {
    let toy = Toy {
        islands: 1,
        epochs: 1,
        epoch_evaluations: 400,
        polish_points: 0,
        pause_us: 8_000,
        ..Toy::default()
    };
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    until(&store, &id, |job| job.state == JobState::Running).await;
    let options = SqliteConnectOptions::new().filename(place.folder.path().join("jobs.db"));
    let mut other = options.connect().await.unwrap();
    sqlx::query("BEGIN IMMEDIATE")
        .execute(&mut other)
        .await
        .unwrap();
    tokio::time::sleep(Duration::from_millis(1_800)).await;
    sqlx::query("ROLLBACK").execute(&mut other).await.unwrap();
    let job = finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert_eq!(result(&store, &id).await, expected);
    let events = store.events(&id, 0, 1_000).await.unwrap();
    assert!(events.iter().any(|event| event.kind == "rescued"));
}

/// A process that sleeps past its lease: a second worker takes its slices, and when it wakes up what
/// it still writes is refused. Two processes can't share a SQLite file, so both workers live here and
/// the sleep is that of one thread in the middle of a slice.
#[tokio::test(flavor = "multi_thread")]
async fn a_worker_that_sleeps_past_its_lease_writes_nothing() {
    let toy = Toy {
        islands: 2,
        epochs: 3,
        ..Toy::default()
    };
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let sleeper = WorkerInfo {
        name: "sleeper".into(),
        build: "test".into(),
        threads: 1,
    };
    let claim = store.claim(&sleeper).await.unwrap().unwrap();
    let late = run_search(&*model(&toy), claim.key, &[], &|| 1, &|| false).unwrap();
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    finished(&store, &id).await;
    worker.stop().await;
    let done = Completion {
        checkpoint: &late.checkpoint,
        readers: 2,
        ..Completion::default()
    };
    assert!(matches!(
        store.complete(&claim, &done).await,
        Err(Error::LeaseLost)
    ));
    assert_eq!(result(&store, &id).await, expected);
}
