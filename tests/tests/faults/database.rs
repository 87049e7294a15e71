//! The database server goes away in the middle of a claim, a checkpoint and a commit, or cuts all
//! connections. On SQLite the database is the process itself: see the kills.

use leanwright_tests::database::{Database, Engine, restart_at_once};
use leanwright_tests::process::until;
use leanwright_tests::site::{Launch, desk, ended_once, job, until_done, work};
use rustix::process::Signal;

/// A worker stands at the place while the server is restarted, then goes on by itself.
fn restarted_at(place: &str) {
    let database = Database::alone();
    let server = desk(&database);
    let id = server.submit(&job());
    let worker = work(&database, &Launch::fault(&format!("{place}=stop")));
    worker.stopped();
    restart_at_once();
    worker.signal(Signal::CONT);
    ended_once(&database, &server, &id);
}

#[test]
fn restarted_in_a_claim() {
    restarted_at("claim.taken#3");
}

#[test]
fn restarted_in_a_checkpoint() {
    restarted_at("complete.kept@1/0");
}

#[test]
fn restarted_before_a_commit() {
    restarted_at("complete.told@1/1");
}

#[test]
fn restarted_before_the_commit_of_the_result() {
    restarted_at("publish.told");
}

#[test]
fn restarted_at_any_moment() {
    let database = Database::alone();
    let server = desk(&database);
    let id = server.submit(&job());
    let _workers = [work(&database, &one()), work(&database, &one())];
    for slices in [1, 3, 5] {
        until_done(&database, slices);
        restart_at_once();
    }
    ended_once(&database, &server, &id);
}

#[test]
fn all_connections_are_terminated_again_and_again() {
    let database = Database::new(Engine::Postgres);
    let server = desk(&database);
    let id = server.submit(&job());
    let _workers = [work(&database, &one()), work(&database, &one())];
    for slices in 1..7 {
        until_done(&database, slices);
        database.terminate_connections();
    }
    until("the server answers again", || {
        server.get("/readyz").0 == 200
    });
    ended_once(&database, &server, &id);
}

fn one() -> Launch {
    Launch {
        workers: 1,
        ..Launch::default()
    }
}
