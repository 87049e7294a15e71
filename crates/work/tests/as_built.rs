//! Fits of machines as built, through store and worker.

#![allow(clippy::unwrap_used, dead_code, missing_docs)]

mod common;

use common::{Place, finished, result, worker_options};
use design::{fit_as_built, parse_as_built};
use leanwright_work::{Worker, WorkerOptions};
use store::{JobKind, JobState, NewJob};

const FILE: &str = include_str!("../../../demo-jobs/as-built/orchard-hauler.json");

fn fit_of(text: &str) -> NewJob {
    NewJob {
        kind: JobKind::AsBuilt,
        input: text.as_bytes().to_vec(),
        islands: 1,
        epochs: 1,
        planned: 1,
        ..common::Toy::default().new_job()
    }
}

/// The published bytes are those of the library, whoever computes them.
#[tokio::test(flavor = "multi_thread")]
async fn a_fit_is_published_as_the_library_finds_it() {
    let expected = fit_as_built(&parse_as_built(FILE).unwrap()).unwrap();
    let expected = serde_json::to_string(&expected).unwrap();
    for threads in [1, 3] {
        let place = Place::new();
        let store = place.open().await;
        let id = store.submit(&fit_of(FILE)).await.unwrap().id;
        let worker = Worker::start(&store, &WorkerOptions::new(threads)).unwrap();
        let job = finished(&store, &id).await;
        worker.stop().await;
        assert_eq!((job.state, job.kind.as_str()), (JobState::Done, "as_built"));
        let (front, candidates) = result(&store, &id).await;
        assert_eq!(
            serde_json::from_str::<serde_json::Value>(&front).unwrap(),
            serde_json::from_str::<serde_json::Value>(&expected).unwrap()
        );
        assert!(candidates.is_empty());
        let progress: serde_json::Value = serde_json::from_slice(&job.progress.unwrap()).unwrap();
        assert_eq!(
            (&progress["evaluations"], &progress["planned"]),
            (&1.into(), &1.into())
        );
    }
}

/// A file that this build refuses ends the job with the faults in words; a search beside it goes on.
#[tokio::test(flavor = "multi_thread")]
async fn a_refused_file_fails_its_job() {
    let place = Place::new();
    let store = place.open().await;
    let bad = FILE.replace("\"rod_length\"", "\"rod_lenght\"");
    let id = store.submit(&fit_of(&bad)).await.unwrap().id;
    let search = store
        .submit(&common::Toy::default().new_job())
        .await
        .unwrap()
        .id;
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    let job = finished(&store, &id).await;
    let beside = finished(&store, &search).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Failed);
    assert!(
        job.reason
            .unwrap()
            .contains("no point of a vehicle has this path")
    );
    assert_eq!(beside.state, JobState::Done);
}
