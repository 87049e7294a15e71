//! The disk is full at a checkpoint and at the publication, then has room again.

use std::fs::File;
use std::io::Write;
use std::path::PathBuf;
use std::time::Duration;

use leanwright_tests::database::{Database, Engine};
use leanwright_tests::process::Process;
use leanwright_tests::site::{Launch, desk, ended_once, job, serve, slices_done, work};
use rustix::process::Signal;

/// What goes on while nothing can be stored.
fn nothing_is_stored(database: &Database, process: &mut Process) {
    process.signal(Signal::CONT);
    // A write that had begun, or that finds room in a page that is there, may still end.
    std::thread::sleep(Duration::from_secs(2));
    let before = slices_done(database);
    std::thread::sleep(Duration::from_secs(3));
    assert_eq!(before, slices_done(database), "a full disk takes nothing");
    assert_eq!(database.number("SELECT count(*) FROM results"), 0);
    assert!(process.is_running(), "the process outlives a full disk");
}

/// No file of the process may grow or be written, which SQLite reports as it reports a full disk.
fn on_sqlite(place: &str) {
    let database = Database::new(Engine::Sqlite);
    let first = desk(&database);
    let id = first.submit(&job());
    first.kill();
    let mut server = serve(&database, &Launch::fault(&format!("{place}=stop")));
    server.process.stopped();
    server.process.limit_files(Some(0));
    nothing_is_stored(&database, &mut server.process);
    server.process.limit_files(None);
    ended_once(&database, &server, &id);
}

/// The tables lie on a small disk that a file of ours fills.
fn on_postgres(place: &str) {
    // Without the right to mount a small disk this case can't be made; tests/postgres/with says so.
    let Some(disk) = std::env::var_os("LEANWRIGHT_TEST_POSTGRES_SMALL") else {
        return;
    };
    let filler = PathBuf::from(disk).join("filler");
    // Alone, since others fill the same disk.
    let database = Database::in_tablespace("small");
    let server = desk(&database);
    let id = server.submit(&job());
    let mut worker = work(&database, &Launch::fault(&format!("{place}=stop")));
    worker.stopped();
    fill(&filler);
    nothing_is_stored(&database, &mut worker);
    std::fs::remove_file(filler).expect("the filler was there");
    ended_once(&database, &server, &id);
}

fn fill(path: &PathBuf) {
    let mut file = File::create(path).expect("a file can be made");
    let block = [0; 4096];
    while file.write_all(&block).is_ok() {}
}

#[test]
fn full_at_a_checkpoint() {
    on_sqlite("complete.called@1/0");
    on_postgres("complete.called@1/0");
}

#[test]
fn full_at_the_publication() {
    on_sqlite("publish.begun");
    on_postgres("publish.begun");
}
