//! Searches that end early, go on later, or look for what the caller aspires to: equal bits each time.

#![allow(clippy::unwrap_used, missing_docs)]

#[allow(dead_code)]
mod common;

use common::*;
use design::EarlyStop;
use leanwright_work::{EndedBy, FrontDocument, Worker};
use store::{JobState, NewJob};

fn early() -> Toy {
    let early_stop = EarlyStop {
        epochs: 3,
        gain: 0.02,
    };
    Toy {
        islands: 4,
        epochs: 60,
        epoch_evaluations: 300,
        early_stop: Some(early_stop),
        ..Toy::default()
    }
}

async fn on_threads(toy: &Toy, threads: u32) -> (String, Vec<Vec<u8>>) {
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(threads)).unwrap();
    let job = finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    result(&store, &id).await
}

#[tokio::test(flavor = "multi_thread")]
async fn an_early_stop_is_the_same_for_any_number_of_threads() {
    let toy = early();
    let alone = on_threads(&toy, 1).await;
    let front: FrontDocument = serde_json::from_str(&alone.0).unwrap();
    assert_eq!(front.end.by, EndedBy::EarlyStop);
    assert_eq!(front.end.planned_epochs, 60);
    let epochs = front.end.epochs;
    assert!((4..60).contains(&epochs), "{epochs}");
    let searched = u64::from(epochs) * 4 * 300;
    assert!(front.evaluations > searched && front.evaluations <= searched + 120);
    for threads in [2, 5] {
        assert_eq!(on_threads(&toy, threads).await, alone, "{threads} threads");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_stopped_search_is_that_of_a_budget_that_ends_there() {
    let toy = early();
    let stopped: FrontDocument = serde_json::from_str(&on_threads(&toy, 2).await.0).unwrap();
    let short = Toy {
        epochs: stopped.end.epochs,
        early_stop: None,
        ..toy
    };
    let short: FrontDocument = serde_json::from_str(&on_threads(&short, 2).await.0).unwrap();
    assert_eq!(short.end.by, EndedBy::Budget);
    assert_eq!(short.archive, stopped.archive);
    assert_eq!(short.candidates, stopped.candidates);
}

#[tokio::test(flavor = "multi_thread")]
async fn an_extended_job_equals_one_longer_run() {
    let short = Toy::default();
    let long = Toy {
        epochs: 9,
        ..Toy::default()
    };
    let expected = undisturbed(&long).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&short.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    finished(&store, &id).await;
    let before = result(&store, &id).await;
    let longer = NewJob {
        parent: Some(id.clone()),
        ..long.new_job()
    };
    let extended = store.extend(&id, "test", &longer).await.unwrap().id;
    let job = finished(&store, &extended).await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert_eq!(result(&store, &extended).await, expected);
    assert_eq!(result(&store, &id).await, before, "the first job stays");
    // Five epochs of three islands, the merge, two polishes and the publication.
    let slices: u64 = store
        .workers()
        .await
        .unwrap()
        .iter()
        .map(|w| w.slices)
        .sum();
    assert_eq!(slices, (3 * 4 + 4) + (3 * 5 + 4));
    worker.stop().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn an_extended_job_with_a_damaged_checkpoint_computes_it_again() {
    let long = Toy {
        epochs: 9,
        ..Toy::default()
    };
    let expected = undisturbed(&long).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&Toy::default().new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    finished(&store, &id).await;
    worker.stop().await;
    let extended = store.extend(&id, "test", &long.new_job()).await.unwrap().id;
    spoil(&place).await;
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    let job = finished(&store, &extended).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert_eq!(result(&store, &extended).await, expected);
}

async fn spoil(place: &Place) {
    use sqlx::{ConnectOptions, Connection};
    let file = place.folder.path().join("jobs.db");
    let options = sqlx::sqlite::SqliteConnectOptions::new().filename(file);
    let mut plain = options.connect().await.unwrap();
    let spoilt = "UPDATE checkpoints SET sha256 = 'x' WHERE island = 1";
    sqlx::raw_sql(spoilt).execute(&mut plain).await.unwrap();
    plain.close().await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn the_nearest_to_the_aspirations_stand_on_the_front() {
    let wanted = [40.0, 20.0];
    let toy = Toy {
        aspirations: Some(wanted),
        ..Toy::default()
    };
    let front: FrontDocument = serde_json::from_str(&undisturbed(&toy).await.0).unwrap();
    let plain: FrontDocument = serde_json::from_str(&undisturbed(&Toy::default()).await.0).unwrap();
    assert_eq!(
        front.archive, plain.archive,
        "the search itself is not changed"
    );
    let mut ranked: Vec<_> = front
        .candidates
        .iter()
        .filter(|row| row.nearest.is_some())
        .collect();
    ranked.sort_by_key(|row| row.nearest);
    let places: Vec<_> = ranked.iter().map(|row| row.nearest.unwrap()).collect();
    assert_eq!(places, [1, 2, 3, 4, 5]);
    // Each goal's shortfall in units of its range on the archive, the larger of both.
    let range = |goal: usize| {
        let values = front.archive.iter().map(|row| row.goals[goal]);
        values.clone().fold(f64::MIN, f64::max) - values.fold(f64::MAX, f64::min)
    };
    let short = |goals: &[f64]| {
        let one = |goal: usize| (goals[goal] - wanted[goal]) / range(goal);
        one(0).max(one(1))
    };
    let best = front
        .archive
        .iter()
        .map(|row| short(&row.goals))
        .fold(f64::MAX, f64::min);
    let first: Vec<f64> = ranked[0].goals.iter().map(|goal| goal.unwrap()).collect();
    assert!((short(&first) - best).abs() < 1e-12);
    assert!(plain.candidates.iter().all(|row| row.nearest.is_none()));
}
