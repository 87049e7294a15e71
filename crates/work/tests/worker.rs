//! The worker on small problems: equal bits whatever happens, and every way a job can end.

#![allow(clippy::unwrap_used, missing_docs)]

mod common;

use std::time::Duration;

use common::*;
use leanwright_work::{FrontDocument, ProgressDocument, Worker};
use store::{JobState, SliceKey, WorkerInfo};

/// A job long enough to be disturbed: some 40 slices of about 30 ms.
fn long() -> Toy {
    Toy {
        epochs: 12,
        pause_us: 50,
        ..Toy::default()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_job_runs_to_its_front() {
    let place = Place::new();
    let store = place.open().await;
    // The search measures its hypervolume from 1,000 evaluations of an island on.
    let toy = Toy {
        epoch_evaluations: 300,
        ..Toy::default()
    };
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    let job = finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    let (front, candidates) = result(&store, &id).await;
    let front: FrontDocument = serde_json::from_str(&front).unwrap();
    assert_eq!(front.candidates.len(), 20);
    assert_eq!(candidates.len(), 20);
    assert!(front.candidates.iter().all(|row| row.feasible));
    assert!(front.evaluations > toy.budget().evaluations);
    assert!(front.evaluations <= toy.budget().evaluations + toy.budget().polish_evaluations);
    assert_eq!(front.blocks, None);
    // The ends of the true front are (0, 50) and (136, 4).
    let ends = [&front.archive[0], &front.archive[front.archive.len() - 1]].map(|row| row.goals[0]);
    assert!(ends[0] < 2.0 && ends[1] > 120.0, "{ends:?}");
    let progress: ProgressDocument = serde_json::from_slice(&job.progress.unwrap()).unwrap();
    assert_eq!(progress.evaluations, front.evaluations);
    assert_eq!(progress.hypervolume, front.hypervolume);
    assert!(progress.hypervolume.is_some());
    let kinds: Vec<String> = store
        .events(&id, 0, 1_000)
        .await
        .unwrap()
        .into_iter()
        .map(|event| event.kind)
        .collect();
    let told = kinds
        .iter()
        .filter(|kind| *kind != "progress")
        .collect::<Vec<_>>();
    assert_eq!(
        told,
        [
            "submitted",
            "started",
            "merged",
            "polished",
            "polished",
            "done"
        ]
    );
    assert!(kinds.iter().any(|kind| kind == "progress"));
    let workers = store.workers().await.unwrap();
    assert_eq!((workers.len(), workers[0].slices), (1, 3 * 4 + 1 + 2 + 1));
}

#[tokio::test(flavor = "multi_thread")]
async fn threads_and_workers_change_no_bit() {
    let toy = Toy {
        islands: 4,
        ..Toy::default()
    };
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let workers = [3, 2].map(|threads| Worker::start(&store, &worker_options(threads)).unwrap());
    finished(&store, &id).await;
    for worker in workers {
        worker.stop().await;
    }
    assert_eq!(result(&store, &id).await, expected);
}

#[tokio::test(flavor = "multi_thread")]
async fn one_island_without_polish_runs_too() {
    let toy = Toy {
        islands: 1,
        polish_points: 0,
        ..Toy::default()
    };
    let (front, _) = undisturbed(&toy).await;
    let front: FrontDocument = serde_json::from_str(&front).unwrap();
    assert_eq!(front.evaluations, toy.budget().evaluations);
    assert_eq!(front.candidates.len(), 20);
}

#[tokio::test(flavor = "multi_thread")]
async fn lost_workers_change_no_bit() {
    let toy = long();
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    // Others claim slices now and then and are never heard of again.
    for number in 0..4 {
        tokio::time::sleep(Duration::from_millis(30)).await;
        let name = format!("lost-{number}");
        store
            .claim(&WorkerInfo {
                name,
                build: "test".into(),
                threads: 1,
            })
            .await
            .unwrap();
    }
    let job = finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert_eq!(result(&store, &id).await, expected);
    let rescued = store.events(&id, 0, 1_000).await.unwrap();
    assert!(rescued.iter().any(|event| event.kind == "rescued"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_stopped_worker_hands_back_and_uses_no_attempt() {
    let toy = long();
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    for _ in 0..7 {
        let mut options = worker_options(2);
        options.grace = Duration::ZERO;
        let worker = Worker::start(&store, &options).unwrap();
        tokio::time::sleep(Duration::from_millis(20)).await;
        worker.stop().await;
    }
    assert_eq!(store.job(&id).await.unwrap().state, JobState::Running);
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(result(&store, &id).await, expected);
    let events = store.events(&id, 0, 1_000).await.unwrap();
    assert!(events.iter().all(|event| event.kind != "rescued"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_damaged_checkpoint_is_computed_again() {
    let toy = long();
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    tokio::time::sleep(Duration::from_millis(200)).await;
    worker.stop().await;
    store.set_paused(&id, true).await.unwrap();
    damage_newest(&place).await;
    store.set_paused(&id, false).await.unwrap();
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    let job = finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert_eq!(result(&store, &id).await, expected);
    let events = store.events(&id, 0, 1_000).await.unwrap();
    assert!(events.iter().any(|event| event.kind == "rewound"));
}

async fn damage_newest(place: &Place) {
    use sqlx::ConnectOptions;
    let path = place.folder.path().join("jobs.db");
    let mut plain = sqlx::sqlite::SqliteConnectOptions::new()
        .filename(path)
        .connect()
        .await
        .unwrap();
    let sql = "UPDATE checkpoints SET bytes = CAST('spoilt' AS BLOB) \
               WHERE epoch = (SELECT max(epoch) FROM checkpoints)";
    let changed = sqlx::query(sql).execute(&mut plain).await.unwrap();
    assert!(changed.rows_affected() > 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn when_nothing_is_feasible_the_nearest_miss_is_shown() {
    let (front, candidates) = undisturbed(&Toy {
        harder_by: 400.0,
        ..Toy::default()
    })
    .await;
    let front: FrontDocument = serde_json::from_str(&front).unwrap();
    assert_eq!(
        (
            front.candidates.len(),
            candidates.len(),
            front.archive.len()
        ),
        (1, 1, 0)
    );
    assert!(!front.candidates[0].feasible);
    let blocks = front.blocks.unwrap();
    assert_eq!(blocks.requirements[0].requirement, "inside the circle");
    assert_eq!(blocks.requirements[0].failed, front.evaluations);
    assert_eq!((front.feasible, front.hypervolume), (0, None));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_panic_ends_the_job_with_its_words() {
    let place = Place::new();
    let store = place.open().await;
    let toy = Toy {
        panics_from: Some(4.0),
        ..Toy::default()
    };
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let well = store.submit(&Toy::default().new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    let job = finished(&store, &id).await;
    assert_eq!(job.state, JobState::Failed);
    assert_eq!(
        job.reason.as_deref(),
        Some("a slice panicked: this point is poison")
    );
    // The thread goes on with other jobs.
    assert_eq!(finished(&store, &well).await.state, JobState::Done);
    worker.stop().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn an_input_that_does_not_compile_ends_the_job() {
    let place = Place::new();
    let store = place.open().await;
    let mut new = Toy::default().new_job();
    new.input = b"{}".to_vec();
    let id = store.submit(&new).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    let job = finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Failed);
    assert!(job.reason.unwrap().contains("missing field `islands`"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_cancelled_slice_stops_within_its_beats() {
    let place = Place::new();
    let store = place.open().await;
    // One slice of about 100 s.
    let toy = Toy {
        epoch_evaluations: 100_000,
        pause_us: 1_000,
        ..Toy::default()
    };
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    until(&store, &id, |job| job.state == JobState::Running).await;
    store.cancel(&id).await.unwrap();
    let next = store.submit(&Toy::default().new_job()).await.unwrap().id;
    assert_eq!(finished(&store, &next).await.state, JobState::Done);
    worker.stop().await;
    assert_eq!(store.job(&id).await.unwrap().state, JobState::Cancelled);
}

/// Ten leases at full load, and nobody takes a busy worker for dead.
#[tokio::test(flavor = "multi_thread")]
async fn busy_workers_are_not_rescued() {
    let place = Place::new();
    let options = store::Options {
        lease: Duration::from_millis(400),
        ..place.options()
    };
    let store = store::Store::open(&options).await.unwrap();
    let toy = Toy {
        islands: 2,
        epochs: 2,
        epoch_evaluations: 2_000,
        pause_us: 450,
        ..Toy::default()
    };
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    finished(&store, &id).await;
    worker.stop().await;
    let job = store.job(&id).await.unwrap();
    let took = job.finished_at.unwrap() - job.started_at.unwrap();
    assert!(took > 2_000, "{took} ms: too short to tell anything");
    let events = store.events(&id, 0, 1_000).await.unwrap();
    assert!(events.iter().all(|event| event.kind != "rescued"));
}

#[tokio::test(flavor = "multi_thread")]
async fn another_builds_job_is_left_alone() {
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&Toy::default().new_job()).await.unwrap().id;
    let other = WorkerInfo {
        name: "other".into(),
        build: "other".into(),
        threads: 1,
    };
    let claim = store.claim(&other).await.unwrap().unwrap();
    assert_eq!(
        claim.key,
        SliceKey {
            epoch: 0,
            island: 0
        }
    );
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    let mine = store.submit(&Toy::default().new_job()).await.unwrap().id;
    finished(&store, &mine).await;
    worker.stop().await;
    assert_eq!(
        store.job(&id).await.unwrap().build.as_deref(),
        Some("other")
    );
    assert_eq!(store.events(&id, 2, 10).await.unwrap(), []);
}
