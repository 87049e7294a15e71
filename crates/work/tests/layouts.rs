//! One job over several layouts: islands, rings and archives of their own, one front.

#![allow(clippy::unwrap_used, missing_docs)]

#[allow(dead_code)]
mod common;

use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

use common::{Place, result};
use design::Candidate;
use leanwright_work::slices::{run_merge, run_polish, run_search};
use leanwright_work::{FrontDocument, Model, Plan, Worker, WorkerOptions, compile};
use serde_json::{Value, json};
use store::{Job, JobId, JobInput, JobKind, JobState, NewJob, Priority, SliceKey, Store};

/// The layouts' job, small: three layouts on two islands each, two epochs.
fn job() -> Value {
    let text = include_str!("../../../demo-jobs/layouts.json");
    let mut job: Value = serde_json::from_str(text).unwrap();
    job["layouts"].as_array_mut().unwrap().truncate(2);
    job["search"] = json!({
        "evaluations": 1, "islands": 2, "seed": 7, "front": 12, "polish_points": 2,
        "polish_evaluations": 40
    });
    job
}

fn model(job: &Value) -> Arc<dyn Model> {
    let input = JobInput {
        input: job.to_string().into_bytes(),
        starts: None,
    };
    compile(&input).unwrap()
}

/// The job once it is over; its slices are real ones, so it may take minutes on a busy machine.
async fn ended(store: &Store, id: &JobId) -> Job {
    for _ in 0..60_000 {
        let job = store.job(id).await.unwrap();
        if job.state.is_final() {
            return job;
        }
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
    panic!("waited ten minutes");
}

/// The whole job on a store, by so many threads of so many workers.
async fn run(job: &Value, workers: usize, threads: u32) -> (String, Vec<Vec<u8>>) {
    let place = Place::new();
    let store = place.open().await;
    let budget = model(job).budget();
    let new_job = NewJob {
        caller: "local".into(),
        kind: JobKind::Search,
        name: "layouts".into(),
        labels: vec![],
        priority: Priority::Normal,
        input: job.to_string().into_bytes(),
        starts: None,
        idempotency_key: None,
        islands: budget.islands,
        epochs: budget.epochs,
        planned: budget.evaluations + budget.polish_evaluations,
        parent: None,
        keep_days: None,
    };
    let id = store.submit(&new_job).await.unwrap().id;
    let options = WorkerOptions {
        build: Some("test".into()),
        ..WorkerOptions::new(threads)
    };
    let all: Vec<Worker> = (0..workers)
        .map(|_| Worker::start(&store, &options).unwrap())
        .collect();
    let ended = ended(&store, &id).await;
    for worker in all {
        worker.stop().await;
    }
    assert_eq!(ended.state, JobState::Done, "{:?}", ended.reason);
    result(&store, &id).await
}

#[tokio::test(flavor = "multi_thread")]
async fn layouts_share_one_front_and_workers_change_no_bit() {
    let job = job();
    let one = run(&job, 1, 1).await;
    let several = run(&job, 2, 2).await;
    assert!(one == several, "equal bits for any number of workers");
    let front: FrontDocument = serde_json::from_str(&one.0).unwrap();
    let budget = model(&job).budget();
    assert_eq!(budget.islands, 6);
    assert_eq!(front.layouts.len(), 3);
    assert_eq!(front.layouts[2].name, "Idler parallelogram");
    // Each layout spent a third of the search, and its own polishes.
    for layout in &front.layouts {
        assert!(layout.evaluations >= budget.evaluations / 3, "{layout:?}");
    }
    let spent: u64 = front.layouts.iter().map(|l| l.evaluations).sum();
    assert_eq!(spent, front.evaluations);
    for (row, bytes) in front.candidates.iter().zip(&one.1) {
        let candidate: Candidate = serde_json::from_slice(bytes).unwrap();
        let place = candidate.layout.as_ref().unwrap();
        assert_eq!(Some(place.place), row.layout);
        assert_eq!(place.name, front.layouts[place.place as usize].name);
        assert_eq!(place.steering, candidate.vehicle.steering.layout());
        assert_eq!(candidate.vector, row.vector);
    }
    // No point of the archive beats another, whatever layout it is of.
    let rows = &front.archive;
    for (i, a) in rows.iter().enumerate() {
        let beaten = rows.iter().enumerate().any(|(j, b)| {
            let no_worse = a.goals.iter().zip(&b.goals).all(|(x, y)| y <= x);
            i != j && no_worse && a.goals != b.goals
        });
        assert!(!beaten, "{a:?}");
    }
    let seen: BTreeSet<u32> = rows.iter().filter_map(|row| row.layout).collect();
    assert!(!seen.is_empty());
}

/// Each layout's islands migrate on a ring of their own, and a layout's slices are those of a job
/// with that layout on the same islands.
#[test]
fn every_layout_is_searched_as_if_alone() {
    let job = job();
    let model = model(&job);
    assert_eq!(model.layouts(), 3);
    let plan = Plan {
        islands: 6,
        rings: 3,
        epochs: 2,
    };
    for island in 0..6 {
        let reads = plan.search_reads(SliceKey { epoch: 1, island });
        assert!(reads.iter().all(|key| key.island / 2 == island / 2));
    }
    let search = |island: u32| {
        run_search(&*model, SliceKey { epoch: 0, island }, &[], &|| 1, &|| {
            false
        })
        .unwrap()
        .checkpoint
    };
    let islands: Vec<Vec<u8>> = (0..6).map(search).collect();
    let merged = run_merge(&*model, &islands).unwrap();
    let again = run_merge(&*model, &islands).unwrap();
    assert_eq!(merged, again);
    for point in 0..merged.after.polishes {
        let polished = run_polish(&*model, &merged.checkpoint, point, &|| 1, &|| false).unwrap();
        assert!(polished.evaluations > 0);
    }
    // A checkpoint of one layout is none of another's: their variables differ or their archives do.
    let shuffled: Vec<Vec<u8>> = islands.iter().rev().cloned().collect();
    let other = run_merge(&*model, &shuffled);
    assert!(other.is_err() || other.unwrap().checkpoint != merged.checkpoint);
}
