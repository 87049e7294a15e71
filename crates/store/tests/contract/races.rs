//! Two at once. Each race is run many times from a barrier.

use super::*;
use leanwright_store::{Error, JobFilter, JobState, Published};
use std::sync::Arc;
use tokio::sync::Barrier;

const ROUNDS: usize = 40;

/// Runs both from one barrier and answers both outcomes.
async fn at_once<A: Send + 'static, B: Send + 'static>(
    a: impl Future<Output = A> + Send + 'static,
    b: impl Future<Output = B> + Send + 'static,
) -> (A, B) {
    let barrier = Arc::new(Barrier::new(2));
    let other = barrier.clone();
    let a = tokio::spawn(async move {
        barrier.wait().await;
        a.await
    });
    let b = tokio::spawn(async move {
        other.wait().await;
        b.await
    });
    (a.await.unwrap(), b.await.unwrap())
}

pub async fn both_inputs_at_once_wake_the_successor_once(place: impl Place) {
    let world = World::new(place).await;
    for _ in 0..ROUNDS {
        let id = world.submit(2, 2).await;
        let (a, b) = (world.claim("a").await, world.claim("b").await);
        let finish = |claim: Claim| {
            let store = world.store.clone();
            async move {
                let successors = ring(&claim, 2, 2);
                let done = Completion {
                    checkpoint: b"c",
                    readers: 2,
                    successors: &successors,
                    ..Completion::default()
                };
                store.complete(&claim, &done).await
            }
        };
        let (first, second) = at_once(finish(a), finish(b)).await;
        first.unwrap();
        second.unwrap();
        let mut keys = vec![world.claim("a").await.key, world.claim("b").await.key];
        keys.sort();
        assert_eq!(keys, [key(1, 0), key(1, 1)]);
        assert!(world.nothing_to_claim().await);
        world.store.cancel(&id).await.unwrap();
    }
}

pub async fn cancel_against_publish_has_one_winner(place: impl Place) {
    let world = World::new(place).await;
    for _ in 0..ROUNDS {
        let id = world.submit(1, 1).await;
        let claim = world.claim("a").await;
        let (one, two) = (world.store.clone(), world.store.clone());
        let job = id.clone();
        let result = Published {
            front: b"front".to_vec(),
            ..Published::default()
        };
        let (published, cancelled) = at_once(
            async move { one.publish(&claim, &result).await },
            async move { two.cancel(&job).await },
        )
        .await;
        let state = world.store.job(&id).await.unwrap().state;
        match (published, cancelled) {
            (Ok(()), Err(Error::Finished { state: "done", .. })) => {
                assert_eq!(state, JobState::Done);
                assert_eq!(world.store.front(&id).await.unwrap().body, b"front");
            }
            (Err(Error::LeaseLost), Ok(_)) => {
                assert_eq!(state, JobState::Cancelled);
                assert!(world.store.front(&id).await.is_err());
            }
            other => panic!("{other:?}"),
        }
    }
}

pub async fn rescue_against_beat_has_one_winner(place: impl Place) {
    let world = World::new(place).await;
    for round in 0..ROUNDS {
        let id = world.submit(1, 1).await;
        let claim = world.claim(&round.to_string()).await;
        world
            .jump(world.store.lease() + Duration::from_secs(1))
            .await;
        let (one, two, mine) = (world.store.clone(), world.store.clone(), claim.clone());
        let (rescued, beaten) = at_once(async move { one.rescue().await }, async move {
            two.beat(&mine).await
        })
        .await;
        match (rescued.unwrap().slices, beaten) {
            (0, Ok(())) => world.store.hand_back(&claim).await.unwrap(),
            (1, Err(Error::LeaseLost)) => {}
            other => panic!("{other:?}"),
        }
        world.store.cancel(&id).await.unwrap();
    }
}

pub async fn rescue_against_publish_has_one_winner(place: impl Place) {
    let world = World::new(place).await;
    for round in 0..ROUNDS {
        let id = world.submit(1, 1).await;
        let claim = world.claim(&round.to_string()).await;
        world
            .jump(world.store.lease() + Duration::from_secs(1))
            .await;
        let (one, two) = (world.store.clone(), world.store.clone());
        let (rescued, published) = at_once(async move { one.rescue().await }, async move {
            two.publish(&claim, &Published::default()).await
        })
        .await;
        let state = world.store.job(&id).await.unwrap().state;
        match (rescued.unwrap().slices, published, state) {
            (0, Ok(()), JobState::Done) => {}
            (1, Err(Error::LeaseLost), JobState::Running) => {
                world.store.cancel(&id).await.unwrap();
            }
            other => panic!("{other:?}"),
        }
    }
}

pub async fn one_key_submitted_at_once_makes_one_job(place: impl Place) {
    let world = World::new(place).await;
    for round in 0..ROUNDS {
        let new = NewJob {
            idempotency_key: Some(round.to_string()),
            ..new_job(1, 1)
        };
        let (one, two, same) = (world.store.clone(), world.store.clone(), new.clone());
        let (first, second) = at_once(async move { one.submit(&new).await }, async move {
            two.submit(&same).await
        })
        .await;
        let (first, second) = (first.unwrap(), second.unwrap());
        assert_eq!(first.id, second.id);
        assert!(first.created != second.created);
    }
    let filter = JobFilter {
        limit: 200,
        ..JobFilter::default()
    };
    assert_eq!(world.store.jobs(&filter).await.unwrap().jobs.len(), ROUNDS);
}
