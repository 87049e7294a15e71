//! A store with the processes that serve it and work on it.
//!
//! On SQLite one server has the file and works itself; on PostgreSQL a server that only serves stands
//! beside worker processes.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use serde_json::{Value, json};

use crate::database::{Database, Engine};
use crate::process::{Process, until};
use crate::program::{Server, clean, demo, program_with_fault_points};

/// What a process is started with.
#[derive(Clone, Debug)]
pub struct Launch {
    /// Worker threads.
    pub workers: u32,
    /// Seconds that a claim holds.
    pub lease_s: u32,
    /// Where it stops or kills itself, as the store's fault points read it.
    pub fault: Option<String>,
    /// Further environment.
    pub environment: Vec<(&'static str, PathBuf)>,
}

impl Default for Launch {
    /// Two workers with claims of a second.
    fn default() -> Launch {
        Launch {
            workers: 2,
            lease_s: 1,
            fault: None,
            environment: vec![],
        }
    }
}

impl Launch {
    /// The default, with something at a fault point.
    pub fn fault(fault: &str) -> Launch {
        Launch {
            fault: Some(fault.to_owned()),
            ..Launch::default()
        }
    }

    fn command(&self, database: &Database, words: &[&str]) -> Command {
        // The signal of a write beyond a limit is ignored, so that the write fails instead.
        let mut command = clean(Path::new("sh"));
        command
            .args(["-c", "trap '' XFSZ; exec \"$0\" \"$@\""])
            .arg(program_with_fault_points())
            .args(words)
            .args(["--json", "--lease-s", &self.lease_s.to_string()])
            .env("LEANWRIGHT_STORE", database.url())
            .envs(self.environment.iter().cloned());
        if let Some(fault) = &self.fault {
            command.env("LEANWRIGHT_FAULT_POINT", fault);
        }
        command
    }

    /// The command of a server.
    pub fn serve(&self, database: &Database) -> Command {
        let workers = self.workers.to_string();
        let words = ["serve", "--listen", "127.0.0.1:0", "--workers", &workers];
        self.command(database, &words)
    }

    /// The command of a worker process.
    pub fn work(&self, database: &Database) -> Command {
        self.command(database, &["work", "--workers", &self.workers.to_string()])
    }
}

/// Starts a server.
pub fn serve(database: &Database, launch: &Launch) -> Server {
    Server::of(Process::start(&mut launch.serve(database)))
}

/// Starts a worker process.
pub fn work(database: &Database, launch: &Launch) -> Process {
    Process::start(&mut launch.work(database))
}

/// A server that only serves.
pub fn desk(database: &Database) -> Server {
    let launch = Launch {
        workers: 0,
        ..Launch::default()
    };
    serve(database, &launch)
}

/// The demo job on real kinematics, cut to six slices of search, two of polish and those that end it.
pub fn job() -> Value {
    let mut job = demo("rod-ends.json");
    job["search"] = json!({
        "evaluations": 20000, "islands": 2, "seed": 11, "front": 12, "polish_points": 2,
        "polish_evaluations": 60,
    });
    job
}

/// The front of [`job`] when nothing disturbs it, the same on every store.
pub fn undisturbed() -> &'static str {
    static FRONT: OnceLock<String> = OnceLock::new();
    FRONT.get_or_init(|| {
        let database = Database::new(Engine::Sqlite);
        let server = serve(&database, &Launch::default());
        let id = server.submit(&job());
        server.front(&id)
    })
}

/// Checks that the job came to its one end: the bits of an undisturbed run, one result, one event of
/// its end, each slice done once and none left open.
pub fn ended_once(database: &Database, server: &Server, id: &str) {
    assert!(
        server.front(id) == undisturbed(),
        "the result differs from an undisturbed run's"
    );
    assert_eq!(database.number("SELECT count(*) FROM results"), 1);
    let ends = "SELECT count(*) FROM events WHERE kind IN ('done', 'failed', 'cancelled')";
    assert_eq!(database.number(ends), 1);
    let open = "SELECT count(*) FROM slices WHERE state <> 'done'";
    assert_eq!(database.number(open), 0);
    let told_wrong = "SELECT count(*) FROM slices WHERE arrived <> inputs";
    assert_eq!(database.number(told_wrong), 0);
}

/// How many slices of all jobs are done.
pub fn slices_done(database: &Database) -> i64 {
    database.number("SELECT count(*) FROM slices WHERE state = 'done'")
}

/// Slices that were taken from a worker.
pub fn rescues(database: &Database) -> i64 {
    database.number("SELECT count(*) FROM events WHERE kind = 'rescued'")
}

/// Waits until so many slices are done.
pub fn until_done(database: &Database, slices: i64) {
    let what = format!("{slices} slices are done");
    until(&what, || slices_done(database) >= slices);
}
