//! Processes that sleep past their lease, and two that finish at the same instant.

use std::time::{Duration, Instant};

use leanwright_tests::database::{Database, ENGINES, Engine};
use leanwright_tests::process::Process;
use leanwright_tests::site::{Launch, desk, ended_once, job, rescues, serve, work};
use rustix::process::Signal;

/// On PostgreSQL another worker ends the whole job meanwhile; on SQLite the one process wakes up and
/// finds its own claims too old.
fn sleeps_at(place: &str) {
    for engine in ENGINES {
        let database = Database::new(engine);
        let sleeping = Launch::fault(&format!("{place}=stop"));
        match engine {
            Engine::Sqlite => sleeping_server(&database, &sleeping),
            Engine::Postgres => sleeping_worker(&database, &sleeping),
        }
    }
}

fn sleeping_server(database: &Database, sleeping: &Launch) {
    let first = desk(database);
    let id = first.submit(&job());
    first.kill();
    let server = serve(database, sleeping);
    server.process.stopped();
    std::thread::sleep(Duration::from_secs(3));
    server.process.signal(Signal::CONT);
    ended_once(database, &server, &id);
}

fn sleeping_worker(database: &Database, sleeping: &Launch) {
    let server = desk(database);
    let id = server.submit(&job());
    let mut sleeper = work(database, sleeping);
    sleeper.stopped();
    let other = work(database, &Launch::default());
    ended_once(database, &server, &id);
    assert!(rescues(database) > 0, "the sleeper's slice was taken");
    sleeper.signal(Signal::CONT);
    // Long enough to write what it had in hand.
    std::thread::sleep(Duration::from_secs(2));
    assert!(sleeper.is_running());
    ended_once(database, &server, &id);
    sleeper.signal(Signal::TERM);
    assert!(sleeper.ended().success());
    drop(other);
}

#[test]
fn before_it_computes() {
    sleeps_at("run.begun@1/0");
}

#[test]
fn before_it_stores_a_checkpoint() {
    sleeps_at("complete.called@1/0");
}

#[test]
fn with_a_checkpoint_in_an_open_transaction() {
    sleeps_at("complete.kept@1/1");
}

#[test]
fn with_the_result_in_an_open_transaction() {
    sleeps_at("publish.stored");
}

/// Two threads of one process store their slices at the same instant, each time.
#[test]
fn both_inputs_are_stored_at_once_by_two_threads() {
    for engine in ENGINES {
        let database = Database::new(engine);
        let meeting = Launch {
            lease_s: 10,
            ..Launch::fault("complete.called#*=meet")
        };
        if engine == Engine::Sqlite {
            let server = serve(&database, &meeting);
            let id = server.submit(&job());
            ended_once(&database, &server, &id);
        } else {
            let server = desk(&database);
            let id = server.submit(&job());
            let _worker = work(&database, &meeting);
            ended_once(&database, &server, &id);
        }
    }
}

/// Pairs of ends at one moment that are asked for, and the jobs in which they may come: on a busy
/// machine both are seldom at their end within one wait.
const PAIRS: usize = 3;
const MOST_JOBS: usize = 6;

/// Two processes stand before each of their checkpoints until both do, then go on together.
#[test]
fn both_inputs_are_stored_at_once_by_two_processes() {
    let mut together = 0;
    for _ in 0..MOST_JOBS {
        together += pairs_in_one_job();
        if together >= PAIRS {
            return;
        }
    }
    panic!("{together} pairs were stored at once");
}

/// How many pairs of checkpoints were stored at once in a job that ended as it should.
fn pairs_in_one_job() -> usize {
    let database = Database::new(Engine::Postgres);
    let server = desk(&database);
    let id = server.submit(&job());
    let pausing = Launch {
        workers: 1,
        lease_s: 30,
        ..Launch::fault("complete.called#*=stop")
    };
    let workers = [work(&database, &pausing), work(&database, &pausing)];
    let mut together = 0;
    while server.json(&format!("/v1/jobs/{id}"))["state"] != "done" {
        if both_stop(&workers) {
            together += 1;
        }
        for worker in workers.iter().filter(|worker| worker.is_stopped()) {
            worker.signal(Signal::CONT);
        }
    }
    ended_once(&database, &server, &id);
    together
}

/// Whether both stop within the time that a slice takes.
fn both_stop(workers: &[Process]) -> bool {
    let start = Instant::now();
    while start.elapsed() < Duration::from_secs(3) {
        if workers.iter().all(Process::is_stopped) {
            return true;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    false
}
