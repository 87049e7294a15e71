//! SIGKILL at every step of claim, run, checkpoint and publication, inside the transactions and after
//! their commits.

use leanwright_tests::database::{Database, ENGINES, Engine};
use leanwright_tests::site::{Launch, desk, ended_once, job, serve, work};

/// Each runs on both stores: a process kills itself at the place, another ends the job.
fn killed_at(place: &str) {
    for engine in ENGINES {
        let database = Database::new(engine);
        let dying = Launch::fault(&format!("{place}=kill"));
        match engine {
            Engine::Sqlite => killed_server(&database, &dying),
            Engine::Postgres => killed_worker(&database, &dying),
        }
    }
}

fn killed_server(database: &Database, dying: &Launch) {
    let first = desk(database);
    let id = first.submit(&job());
    first.kill();
    serve(database, dying).process.killed_itself();
    let server = serve(database, &Launch::default());
    ended_once(database, &server, &id);
}

fn killed_worker(database: &Database, dying: &Launch) {
    let server = desk(database);
    let id = server.submit(&job());
    work(database, dying).killed_itself();
    let _worker = work(database, &Launch::default());
    ended_once(database, &server, &id);
}

#[test]
fn at_the_beginning_of_a_claim() {
    killed_at("claim.begun#5");
}

#[test]
fn with_a_claim_not_yet_committed() {
    killed_at("claim.taken#3");
}

#[test]
fn with_a_claim_committed_that_nobody_knows_of() {
    killed_at("claim.committed#3");
}

#[test]
fn before_the_first_evaluation() {
    killed_at("run.begun#2");
}

#[test]
fn between_two_batches() {
    killed_at("run.batch@1/0#20");
}

#[test]
fn in_a_beat() {
    killed_at("beat.kept");
}

#[test]
fn before_a_checkpoint() {
    killed_at("complete.begun@1/1");
}

#[test]
fn with_the_slice_ended_and_no_checkpoint() {
    killed_at("complete.ended@1/0");
}

#[test]
fn with_the_checkpoint_and_no_successor() {
    killed_at("complete.kept@0/1");
}

#[test]
fn with_the_successors_told_and_nothing_committed() {
    killed_at("complete.told@1/1");
}

#[test]
fn after_the_commit_of_a_checkpoint() {
    killed_at("complete.committed@1/0");
}

#[test]
fn before_the_publication() {
    killed_at("publish.begun");
}

#[test]
fn with_the_job_marked_and_no_result() {
    killed_at("publish.marked");
}

#[test]
fn with_the_result_stored_and_not_committed() {
    killed_at("publish.stored");
}

#[test]
fn with_all_of_the_publication_but_its_commit() {
    killed_at("publish.told");
}

#[test]
fn after_the_commit_of_the_publication() {
    killed_at("publish.committed");
}

/// The rescuer is killed in the middle of a rescue of a slice whose worker was killed before.
#[test]
fn in_a_rescue() {
    let database = Database::new(Engine::Postgres);
    let server = desk(&database);
    let id = server.submit(&job());
    work(&database, &Launch::fault("run.begun@1/0=kill")).killed_itself();
    work(&database, &Launch::fault("rescue.taken=kill")).killed_itself();
    let _worker = work(&database, &Launch::default());
    ended_once(&database, &server, &id);
}
