//! Random trouble from a seed for some minutes: workers and servers killed, stopped, ended; the database
//! restarted, its connections cut, its disk full. In the end every job is done once, with the bits of an
//! undisturbed run.
//!
//! `LEANWRIGHT_SOAK_S` is how long trouble lasts on each store, 180 s when unset; `LEANWRIGHT_SOAK_SEED`
//! draws another course. What the trouble meets hangs on the machine's timing, the course does not.

use std::time::{Duration, Instant};

use leanwright_tests::database::{Database, Engine, restart_at_once};
use leanwright_tests::process::{Process, until};
use leanwright_tests::program::Server;
use leanwright_tests::site::{Launch, desk, job, serve, slices_done, work};
use rustix::process::Signal;
use serde_json::{Value, json};

/// Jobs with other seeds, so that results can't be taken for each other's.
const KINDS: usize = 3;
/// Jobs that are open at one time.
const OPEN: usize = 2;
/// Slices done between two troubles: each of those that run, and more.
const BETWEEN: i64 = 4;

/// Draws as SplitMix64 does: Steele, Lea & Flood, "Fast splittable pseudorandom number generators", 2014
/// (the constants from memory).
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit as u64) as usize
    }

    fn pause(&mut self, from_ms: u64, to_ms: u64) {
        let span = self.next() % (to_ms - from_ms);
        std::thread::sleep(Duration::from_millis(from_ms + span));
    }
}

fn from_environment(name: &str, usual: u64) -> u64 {
    match std::env::var(name) {
        Ok(text) => text.parse().expect("a whole number"),
        Err(_) => usual,
    }
}

fn kind(number: usize) -> Value {
    let mut job = job();
    job["search"]["seed"] = json!(100 + number % KINDS);
    // Some with studies behind the polish.
    job["search"]["study_points"] = json!(2 * (number % KINDS % 2));
    job
}

/// What each kind gives when nothing disturbs it.
fn undisturbed() -> Vec<String> {
    let database = Database::new(Engine::Sqlite);
    let server = serve(&database, &Launch::default());
    let ids: Vec<String> = (0..KINDS)
        .map(|number| server.submit(&kind(number)))
        .collect();
    ids.iter().map(|id| server.front(id)).collect()
}

/// The processes under trouble.
struct Site {
    database: Database,
    /// Serves; on SQLite works as well.
    server: Option<Server>,
    workers: Vec<Process>,
    jobs: Vec<String>,
}

impl Site {
    fn new(database: Database) -> Site {
        let mut site = Site {
            database,
            server: None,
            workers: vec![],
            jobs: vec![],
        };
        site.serve();
        if site.database.engine() == Engine::Postgres {
            site.workers = (0..3).map(|_| work(&site.database, &one())).collect();
        }
        site
    }

    fn serve(&mut self) {
        self.server = Some(match self.database.engine() {
            Engine::Sqlite => serve(&self.database, &Launch::default()),
            Engine::Postgres => desk(&self.database),
        });
    }

    fn server(&self) -> &Server {
        self.server
            .as_ref()
            .expect("it serves between two troubles")
    }

    /// Keeps some jobs open.
    fn submit(&mut self) {
        while self.open() < OPEN {
            let number = self.jobs.len();
            let id = self
                .server()
                .submit_under(&format!("soak-{number}"), &kind(number));
            self.jobs.push(id);
        }
    }

    /// Lets slices be done, so that a slow machine does not lose one slice to five workers in turn, which
    /// rightly ends its job. Ends when nothing is left to do, too.
    fn progress(&self) {
        let before = slices_done(&self.database);
        until("slices are done", || {
            slices_done(&self.database) >= before + BETWEEN || self.open() == 0
        });
    }

    fn open(&self) -> usize {
        let open = "SELECT count(*) FROM jobs WHERE state IN ('queued', 'running')";
        usize::try_from(self.database.number(open)).expect("a count")
    }

    fn trouble(&mut self, draw: &mut Draw) {
        match self.database.engine() {
            Engine::Sqlite => self.trouble_on_sqlite(draw),
            Engine::Postgres => self.trouble_on_postgres(draw),
        }
    }

    fn trouble_on_sqlite(&mut self, draw: &mut Draw) {
        let mut server = self.server.take().expect("it serves");
        match draw.below(4) {
            0 => server.kill(),
            1 => {
                server.process.signal(Signal::TERM);
                server.process.ended();
            }
            2 => {
                sleep(&server.process, draw);
                self.server = Some(server);
                return;
            }
            _ => {
                server.process.limit_files(Some(0));
                draw.pause(500, 2_500);
                server.process.limit_files(None);
                self.server = Some(server);
                return;
            }
        }
        self.serve();
    }

    fn trouble_on_postgres(&mut self, draw: &mut Draw) {
        let at = draw.below(self.workers.len());
        match draw.below(6) {
            0 | 1 => {
                self.workers.swap_remove(at).kill();
                self.workers.push(work(&self.database, &one()));
            }
            2 => {
                let mut worker = self.workers.swap_remove(at);
                worker.signal(Signal::TERM);
                worker.ended();
                self.workers.push(work(&self.database, &one()));
            }
            3 => sleep(&self.workers[at], draw),
            4 => restart_at_once(),
            _ => self.database.terminate_connections(),
        }
        if draw.below(8) == 0 {
            self.server.take().expect("it serves").kill();
            self.serve();
        }
    }

    /// Lets all jobs end and looks at each.
    fn end(self, undisturbed: &[String]) {
        until("the server answers", || {
            self.server().get("/readyz").0 == 200
        });
        for (number, id) in self.jobs.iter().enumerate() {
            let front = self.server().front(id);
            assert!(front == undisturbed[number % KINDS], "job {number} differs");
        }
        let jobs = i64::try_from(self.jobs.len()).expect("a count");
        for (counted, sql) in [
            ("jobs", "SELECT count(*) FROM jobs"),
            ("results", "SELECT count(*) FROM results"),
            ("ends", "SELECT count(*) FROM events WHERE kind = 'done'"),
        ] {
            assert_eq!(self.database.number(sql), jobs, "{counted}");
        }
        let open = "SELECT count(*) FROM slices WHERE state <> 'done'";
        assert_eq!(self.database.number(open), 0);
    }
}

fn one() -> Launch {
    Launch {
        workers: 1,
        ..Launch::default()
    }
}

fn sleep(process: &Process, draw: &mut Draw) {
    process.signal(Signal::STOP);
    draw.pause(200, 3_000);
    process.signal(Signal::CONT);
}

fn soak(database: Database) {
    let seed = from_environment("LEANWRIGHT_SOAK_SEED", 1);
    let lasting = Duration::from_secs(from_environment("LEANWRIGHT_SOAK_S", 180));
    let expected = undisturbed();
    let mut draw = Draw(seed);
    let mut site = Site::new(database);
    let start = Instant::now();
    let mut troubles = 0;
    while start.elapsed() < lasting {
        site.submit();
        site.progress();
        draw.pause(0, 2_000);
        site.trouble(&mut draw);
        troubles += 1;
    }
    let (jobs, engine) = (site.jobs.len(), site.database.engine());
    site.end(&expected);
    println!("{engine:?}, seed {seed}: {jobs} jobs through {troubles} troubles");
}

#[test]
fn random_trouble_on_sqlite() {
    soak(Database::new(Engine::Sqlite));
}

#[test]
fn random_trouble_on_postgres() {
    soak(Database::alone());
}
