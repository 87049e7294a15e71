//! Several processes on one store, each with an opening of its own.

use std::time::Duration;

use super::{number, schema, server};
use crate::contract::{Place, World, new_job, worker};
use leanwright_store::{Options, Store};

/// Unlike SQLite's, this store has several servers: one that starts must not take the others' slices.
#[tokio::test]
async fn a_second_server_leaves_running_slices_alone() {
    let world = World::new(schema().await).await;
    world.submit(1, 2).await;
    let claim = world.claim("a").await;
    let second = Store::open(&world.place.options()).await.unwrap();
    second.beat(&claim).await.unwrap();
    assert!(world.nothing_to_claim().await);
}

#[tokio::test]
async fn a_submission_is_heard_by_others() {
    let world = World::new(schema().await).await;
    let other = Store::open(&world.place.options()).await.unwrap();
    let mut changes = other.changes();
    // The other's listening begins some time after its opening, so one submission may be missed.
    let heard = tokio::time::timeout(Duration::from_secs(60), async {
        loop {
            world.submit(1, 1).await;
            let wait = tokio::time::timeout(Duration::from_millis(200), changes.changed());
            if wait.await.is_ok() {
                break;
            }
        }
    });
    heard.await.expect("a submission is heard");
    assert!(other.claim(&worker("a")).await.unwrap().is_some());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_worker_process_uses_three_connections() {
    let place = schema().await;
    let options = Options {
        connections: 3,
        ..place.options()
    };
    let store = Store::open(&options).await.unwrap();
    store.submit(&new_job(60, 1)).await.unwrap();
    let claimers: Vec<_> = (0..12)
        .map(|number| {
            let store = store.clone();
            tokio::spawn(async move {
                while let Some(claim) = store.claim(&worker(&number.to_string())).await.unwrap() {
                    store.beat(&claim).await.unwrap();
                }
            })
        })
        .collect();
    let mut most = 0;
    while !claimers.iter().all(|claimer| claimer.is_finished()) {
        // The one that looks has another name.
        let count = format!(
            "SELECT count(*) FROM pg_stat_activity WHERE application_name = '{}'",
            place.name
        );
        most = most.max(number(&server(), count).await);
    }
    for claimer in claimers {
        claimer.await.unwrap();
    }
    assert!((2..=3).contains(&most), "{most} connections");
}
