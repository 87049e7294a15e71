//! Wall time of one job by one, two and four worker processes of one thread each, on PostgreSQL.
//!
//! ```text
//! tests/postgres/with cargo run --release -p leanwright-tests --bin worker_processes [JOB]
//! ```

use std::path::PathBuf;
use std::time::Instant;

use leanwright_tests::database::{Database, Engine};
use leanwright_tests::process::Process;
use leanwright_tests::program::{Server, command, demo, demo_path};
use serde_json::Value;

fn main() {
    let job = match std::env::args().nth(1) {
        Some(path) => read(path.into()),
        None => demo("example-job.json"),
    };
    let mut fronts: Vec<String> = vec![];
    for workers in [1, 2, 4] {
        let (seconds, front) = timed(&job, workers);
        println!("{workers} worker processes: {seconds:.1} s");
        fronts.push(front);
    }
    assert!(
        fronts.iter().all(|front| *front == fronts[0]),
        "the results differ"
    );
    println!("the same result to the last bit");
}

fn read(path: PathBuf) -> Value {
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| {
        panic!(
            "{}: {error}; demos lie in {:?}",
            path.display(),
            demo_path("")
        )
    });
    serde_json::from_str(&text).expect("a job is JSON")
}

fn timed(job: &Value, workers: usize) -> (f64, String) {
    let database = Database::new(Engine::Postgres);
    let start = |words: &[&str]| {
        let mut command = command();
        command.args(words).env("LEANWRIGHT_STORE", database.url());
        Process::start(&mut command)
    };
    let serve = [
        "serve",
        "--json",
        "--listen",
        "127.0.0.1:0",
        "--workers",
        "0",
    ];
    let server = Server::of(start(&serve));
    let _workers: Vec<Process> = (0..workers)
        .map(|_| start(&["work", "--json", "--workers", "1"]))
        .collect();
    let begun = Instant::now();
    let id = server.submit(job);
    let front = server.front(&id);
    (begun.elapsed().as_secs_f64(), front)
}
