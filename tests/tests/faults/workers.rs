//! Workers that die in turn, end by request, are many, or are busy.

use std::time::{Duration, Instant};

use leanwright_tests::database::{Database, ENGINES, Engine};
use leanwright_tests::process::Process;
use leanwright_tests::site::{
    Launch, desk, ended_once, job, rescues, serve, slices_done, until_done, work,
};
use rustix::process::Signal;
use serde_json::json;

/// A slice that kills five workers ends its job, and says so; no healthy worker is harmed by it.
#[test]
fn a_poison_slice_ends_its_job_after_five_workers() {
    for engine in ENGINES {
        let database = Database::new(engine);
        let first = desk(&database);
        let id = first.submit(&job());
        first.kill();
        let dying = Launch {
            workers: 1,
            ..Launch::fault("run.begun@1/0=kill")
        };
        for _ in 0..5 {
            match engine {
                Engine::Sqlite => serve(&database, &dying).process.killed_itself(),
                Engine::Postgres => work(&database, &dying).killed_itself(),
            }
        }
        let healthy = serve(&database, &Launch::default());
        let over = healthy.over(&id);
        assert_eq!(over["state"], "failed");
        let reason = over["reason"].as_str().expect("a reason");
        assert!(
            reason.contains("epoch 1, island 0") && reason.contains("5 workers"),
            "{reason}"
        );
        assert_eq!(database.number("SELECT count(*) FROM results"), 0);
        let next = healthy.submit(&job());
        ended_once_beside_a_failure(&healthy.front(&next));
    }
}

fn ended_once_beside_a_failure(front: &str) {
    assert!(front == leanwright_tests::site::undisturbed());
}

/// SIGTERM: what is in flight is finished or handed back within ten seconds, and no attempt is used.
#[test]
fn a_worker_asked_to_end_leaves_nothing_behind() {
    for engine in ENGINES {
        let database = Database::new(engine);
        let launch = Launch {
            lease_s: 30,
            ..Launch::default()
        };
        let first = desk(&database);
        let id = first.submit(&job());
        first.kill();
        if engine == Engine::Sqlite {
            let mut server = serve(&database, &launch);
            asked_to_end(&database, &mut server.process);
        } else {
            asked_to_end(&database, &mut work(&database, &launch));
        }
        let server = serve(&database, &launch);
        ended_once(&database, &server, &id);
        assert_eq!(rescues(&database), 0);
    }
}

fn asked_to_end(database: &Database, process: &mut Process) {
    until_done(database, 2);
    let start = Instant::now();
    process.signal(Signal::TERM);
    assert!(process.ended().success());
    assert!(
        start.elapsed() < Duration::from_secs(11),
        "{:?}",
        start.elapsed()
    );
    let left = "SELECT count(*) FROM slices WHERE state = 'running'";
    assert_eq!(database.number(left), 0);
    assert_eq!(database.number("SELECT count(*) FROM lost_leases"), 0);
}

#[test]
fn a_second_process_on_a_sqlite_file_is_refused() {
    let database = Database::new(Engine::Sqlite);
    let server = desk(&database);
    for mut command in [
        Launch::default().serve(&database),
        Launch::default().work(&database),
    ] {
        let output = command.output().expect("the program starts");
        assert_eq!(output.status.code(), Some(5), "{output:?}");
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(told.contains("one SQLite file has one server"), "{told}");
    }
    assert_eq!(server.get("/readyz").0, 200);
}

/// Workers say who they are, of what build, and how much they did.
#[test]
fn workers_are_listed_with_what_they_did() {
    let database = Database::new(Engine::Postgres);
    let server = desk(&database);
    let id = server.submit(&job());
    let workers = [
        work(&database, &Launch::default()),
        work(&database, &Launch::default()),
    ];
    ended_once(&database, &server, &id);
    let listed = server.json("/v1/workers");
    let listed = listed.as_array().expect("a list");
    let mut slices = 0;
    for worker in &workers {
        let row = listed
            .iter()
            .find(|row| row["name"] == worker.told["worker"]);
        let row = row.expect("each worker is listed");
        assert_eq!(row["build"], worker.told["build"]);
        assert_eq!((&row["threads"], &row["alive"]), (&json!(2), &json!(true)));
        slices += row["slices"].as_i64().expect("a number");
    }
    assert_eq!(slices, slices_done(&database));
}

/// Twice as many busy threads as this machine has cores, for ten leases and more: nobody is taken for
/// dead.
#[test]
fn busy_workers_are_not_rescued() {
    let cores = std::thread::available_parallelism().map_or(2, usize::from);
    let workers = u32::try_from(2 * cores).expect("some cores");
    let launch = Launch {
        workers,
        lease_s: 2,
        ..Launch::default()
    };
    let mut long = job();
    long["search"]["evaluations"] = json!(50_000_000);
    long["search"]["islands"] = json!(workers);
    for engine in ENGINES {
        let database = Database::new(engine);
        let (server, _worker) = match engine {
            Engine::Sqlite => (serve(&database, &launch), None),
            Engine::Postgres => (desk(&database), Some(work(&database, &launch))),
        };
        server.submit(&long);
        until_done(&database, 1);
        let done = slices_done(&database);
        std::thread::sleep(Duration::from_secs(20));
        assert!(slices_done(&database) > done);
        assert_eq!(rescues(&database), 0);
    }
}

/// Eight processes with four threads each on a thousand slices: each slice is done by one of them.
#[test]
fn thirty_two_claimers_do_a_thousand_slices_once_each() {
    let database = Database::new(Engine::Postgres);
    let server = desk(&database);
    let four = Launch {
        workers: 4,
        lease_s: 30,
        ..Launch::default()
    };
    // Mostly polishes, which are short: 64 slices a job.
    let mut many = job();
    many["search"]["evaluations"] = json!(1_000);
    many["search"]["polish_points"] = json!(60);
    many["search"]["polish_evaluations"] = json!(10);
    let ids: Vec<String> = (0..20).map(|_| server.submit(&many)).collect();
    let _workers: Vec<Process> = (0..8).map(|_| work(&database, &four)).collect();
    let fronts: Vec<String> = ids.iter().map(|id| server.front(id)).collect();
    assert!(fronts.iter().all(|front| *front == fronts[0]));
    assert!(
        slices_done(&database) >= 1_000,
        "{}",
        slices_done(&database)
    );
    assert_eq!(rescues(&database), 0);
    let counted = "SELECT CAST(sum(slices) AS BIGINT) FROM workers";
    assert_eq!(database.number(counted), slices_done(&database));
}
