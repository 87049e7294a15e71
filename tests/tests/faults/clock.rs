//! A worker's wall clock is off by an hour. On PostgreSQL the time of the store is the server's, so
//! nothing may be seen of it. On SQLite the process's clock is the database's, and is put forward and
//! back between two lives of the process.

use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

use leanwright_tests::database::{Database, Engine};
use leanwright_tests::site::{Launch, desk, ended_once, job, rescues, serve, until_done, work};

const HOUR: i64 = 3_600;

/// A library that shifts the clock of the process that loads it.
fn library() -> PathBuf {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    let build = || {
        let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/faults/shifted_clock.c");
        let built = std::env::temp_dir().join(format!("shifted-clock-{}.so", std::process::id()));
        let compiler = Command::new("cc")
            .args(["-shared", "-fPIC", "-O1", "-Wall", "-Werror", "-o"])
            .arg(&built)
            .arg(source)
            .status();
        assert!(compiler.expect("a C compiler").success());
        built
    };
    BUILT.get_or_init(build).clone()
}

fn shifted(seconds: i64) -> Launch {
    Launch {
        environment: vec![
            ("LD_PRELOAD", library()),
            ("SHIFTED_CLOCK_S", seconds.to_string().into()),
        ],
        ..Launch::default()
    }
}

/// Seconds since 1970 as `date` prints them under the library.
fn date(seconds: i64) -> i64 {
    let date = Command::new("date")
        .arg("+%s")
        .envs(shifted(seconds).environment)
        .output();
    let printed = String::from_utf8(date.expect("date starts").stdout);
    let printed = printed.expect("text");
    printed.trim().parse().expect("a number")
}

#[test]
fn the_library_shifts_the_clock() {
    let apart = date(HOUR) - date(0);
    assert!((HOUR - 5..=HOUR + 60).contains(&apart), "{apart} s");
}

#[test]
fn on_postgres_nobody_notices() {
    for seconds in [HOUR, -HOUR] {
        let database = Database::new(Engine::Postgres);
        let server = desk(&database);
        let id = server.submit(&job());
        // The lease is long enough for a busy machine, so a rescue could only come of the clock.
        let lease_s = 20;
        let right = work(
            &database,
            &Launch {
                workers: 1,
                lease_s,
                ..Launch::default()
            },
        );
        let wrong = work(
            &database,
            &Launch {
                workers: 1,
                lease_s,
                ..shifted(seconds)
            },
        );
        ended_once(&database, &server, &id);
        assert_eq!(rescues(&database), 0);
        let apart = "SELECT max(seen_at) - min(started_at) FROM workers";
        assert!(database.number(apart) < HOUR * 500);
        drop((right, wrong));
    }
}

#[test]
fn on_sqlite_the_clock_may_leap_between_two_lives() {
    for seconds in [HOUR, -HOUR] {
        let database = Database::new(Engine::Sqlite);
        let server = serve(&database, &Launch::default());
        let id = server.submit(&job());
        until_done(&database, 1);
        server.kill();
        let server = serve(&database, &shifted(seconds));
        until_done(&database, 3);
        server.kill();
        let server = serve(&database, &Launch::default());
        ended_once(&database, &server, &id);
    }
}
