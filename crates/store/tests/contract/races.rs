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

/// Workers complete and tell successors while the jobs are cancelled, failed, rewound and rescued under
/// them: none of what they add may outlive its job's end.
pub async fn ended_jobs_leave_nothing_open(place: impl Place) {
    let world = World::with(place, |options| options.attempts = 1_000).await;
    for _ in 0..6 {
        let id = world.submit(6, 40).await;
        let workers: Vec<_> = (0..6)
            .map(|number| {
                let (store, id) = (world.store.clone(), id.clone());
                tokio::spawn(async move { work_until_ended(&store, &id, number).await })
            })
            .collect();
        while world.store.job(&id).await.unwrap().last_event < 12 {
            world
                .jump(world.store.lease() + Duration::from_secs(1))
                .await;
            world.store.rescue().await.unwrap();
        }
        // A worker may have ended it as failed already.
        drop(world.store.cancel(&id).await);
        for worker in workers {
            worker.await.unwrap();
        }
    }
    for left in [
        "UPDATE slices SET arrived = arrived WHERE state IN ('waiting', 'ready', 'running')",
        "UPDATE checkpoints SET reads = reads WHERE epoch >= 0",
    ] {
        assert_eq!(world.place.raw(left.into()).await.unwrap(), 0, "{left}");
    }
}

async fn work_until_ended(store: &Store, id: &JobId, number: u32) {
    let name = number.to_string();
    for turn in 0.. {
        if store.job(id).await.unwrap().state.is_final() {
            return;
        }
        let Some(claim) = store.claim(&worker(&name)).await.unwrap() else {
            continue;
        };
        let successors = ring(&claim, 6, 40);
        let done = Completion {
            checkpoint: b"c",
            readers: successors.len() as u32,
            read: &ring_reads(&claim, 6),
            successors: &successors,
            event: (turn % 3 == 0).then_some(("epoch", b"{}".as_slice())),
            ..Completion::default()
        };
        let outcome = match (number, turn % 16) {
            (0, 15) => store.rewind(&claim).await.map(drop),
            (1, 15) if turn > 60 => store.fail(&claim, "asked to", b"{}").await,
            _ => store.complete(&claim, &done).await,
        };
        assert!(
            matches!(outcome, Ok(()) | Err(Error::LeaseLost)),
            "{outcome:?}"
        );
    }
}
