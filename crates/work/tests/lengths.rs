//! Slices of several epochs, and batches over several threads: the same bits as without.

#![allow(clippy::unwrap_used, missing_docs)]

#[allow(dead_code)]
mod common;

use common::*;
use leanwright_work::slices::run_search;
use leanwright_work::{FrontDocument, Worker};
use store::{JobState, NewJob, SliceKey};

/// The same job but for what says how it is cut into slices.
fn alike(result: &(String, Vec<Vec<u8>>)) -> (FrontDocument, Vec<Vec<u8>>) {
    let mut front: FrontDocument = serde_json::from_str(&result.0).unwrap();
    front.budget.epochs_together = 1;
    (front, result.1.clone())
}

#[tokio::test(flavor = "multi_thread")]
async fn several_epochs_in_one_slice_change_no_bit() {
    for islands in [1, 3] {
        let apart = Toy {
            islands,
            epochs: 6,
            ..Toy::default()
        };
        let expected = alike(&undisturbed(&apart).await);
        for together in [2, 3, 6] {
            let toy = Toy {
                together,
                ..apart.clone()
            };
            let found = undisturbed(&toy).await;
            assert_eq!(alike(&found), expected, "{islands} islands, {together}");
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn such_a_job_takes_one_slice_a_round_and_is_extended() {
    let short = Toy {
        epochs: 4,
        together: 2,
        ..Toy::default()
    };
    let long = Toy {
        epochs: 10,
        ..short.clone()
    };
    let expected = undisturbed(&long).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&short.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(2)).unwrap();
    let job = finished(&store, &id).await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert!(job.progress.is_some());
    let workers = store.workers().await.unwrap();
    assert_eq!(
        workers[0].slices,
        2 + 1 + 2 + 1,
        "rounds, merge, polish, publish"
    );
    let longer = NewJob {
        parent: Some(id.clone()),
        ..long.new_job()
    };
    let extended = store.extend(&id, "test", &longer).await.unwrap().id;
    let job = finished(&store, &extended).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert_eq!(result(&store, &extended).await, expected);
}

#[test]
fn any_number_of_hands_gives_the_same_checkpoint() {
    let toy = Toy {
        costly: true,
        epoch_evaluations: 300,
        ..Toy::default()
    };
    let model = model(&toy);
    let key = SliceKey {
        epoch: 0,
        island: 1,
    };
    let with = |hands: usize| run_search(&*model, key, &[], &move || hands, &|| false).unwrap();
    let alone = with(1);
    for hands in [2, 3, 7, 1_000] {
        assert_eq!(with(hands), alone, "{hands} hands");
    }
    // Hands that come and go between batches change nothing either.
    let count = std::sync::atomic::AtomicUsize::new(0);
    let changing = || 1 + count.fetch_add(1, std::sync::atomic::Ordering::Relaxed) % 4;
    assert_eq!(
        run_search(&*model, key, &[], &changing, &|| false).unwrap(),
        alone
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn idle_threads_help_and_a_panic_on_one_is_told() {
    let toy = Toy {
        islands: 1,
        costly: true,
        pause_us: 300,
        ..Toy::default()
    };
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let worker = Worker::start(&store, &worker_options(4)).unwrap();
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    finished(&store, &id).await;
    assert_eq!(result(&store, &id).await, expected);
    let poison = Toy {
        panics_from: Some(1.0),
        ..toy
    };
    let id = store.submit(&poison.new_job()).await.unwrap().id;
    let job = finished(&store, &id).await;
    worker.stop().await;
    assert_eq!(job.state, JobState::Failed);
    assert!(job.reason.unwrap().contains("this point is poison"));
}
