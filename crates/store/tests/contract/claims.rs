//! Which slice is claimed, and by whom.

use super::*;
use leanwright_store::{JobState, Published};
use std::collections::BTreeSet;

pub async fn priority_comes_before_age(place: impl Place) {
    let world = World::new(place).await;
    let mut ids = vec![];
    for priority in [Priority::Background, Priority::Normal, Priority::Urgent] {
        ids.push(
            world
                .store
                .submit(&NewJob {
                    priority,
                    ..new_job(1, 1)
                })
                .await
                .unwrap()
                .id,
        );
    }
    world
        .store
        .set_priority(&ids[0], Priority::Urgent)
        .await
        .unwrap();
    for expected in [0, 2, 1] {
        assert_eq!(world.claim("a").await.job, ids[expected]);
    }
}

pub async fn callers_take_turns(place: impl Place) {
    let world = World::new(place).await;
    world.submit(4, 1).await;
    let another = NewJob {
        caller: "another".into(),
        ..new_job(4, 1)
    };
    let another = world.store.submit(&another).await.unwrap().id;
    let mut theirs = vec![];
    for _ in 0..6 {
        theirs.push(world.claim("a").await.job == another);
    }
    assert_eq!(
        theirs.iter().filter(|theirs| **theirs).count(),
        3,
        "{theirs:?}"
    );
}

/// A new job comes with every slice done, and each has a slice of epoch 0 to offer.
pub async fn no_stream_of_new_jobs_holds_an_old_one_up(place: impl Place) {
    let world = World::new(place).await;
    let old = world.submit(2, 3).await;
    let mut claims = 0;
    while world.store.job(&old).await.unwrap().state != JobState::Done {
        world.submit(2, 3).await;
        let claim = world.claim("a").await;
        claims += 1;
        assert!(claims <= 60, "the old job waits behind ever newer ones");
        match claim.kind {
            SliceKind::Merge => {
                let result = Published::default();
                world.store.publish(&claim, &result).await.unwrap();
            }
            _ => complete(&world, &claim, 2, 3).await,
        }
    }
}

pub async fn early_epochs_come_first(place: impl Place) {
    let world = World::new(place).await;
    world.submit(2, 9).await;
    for expected in [key(0, 0), key(0, 1), key(1, 0), key(1, 1), key(2, 0)] {
        let claim = world.claim("a").await;
        assert_eq!(claim.key, expected);
        assert_eq!(claim.kind, SliceKind::Search);
        complete(&world, &claim, 2, 9).await;
    }
}

pub async fn a_paused_job_is_passed_over(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(2, 1).await;
    let running = world.claim("a").await;
    assert!(world.store.set_paused(&id, true).await.unwrap().paused);
    assert!(world.nothing_to_claim().await);
    complete(&world, &running, 2, 1).await;
    assert!(!world.store.set_paused(&id, false).await.unwrap().paused);
    assert_eq!(world.claim("a").await.key, key(0, 1));
}

pub async fn a_job_is_pinned_at_its_first_claim(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(2, 1).await;
    assert_eq!(world.store.job(&id).await.unwrap().build, None);
    world.claim("a").await;
    let job = world.store.job(&id).await.unwrap();
    assert_eq!(
        (job.build.as_deref(), job.state),
        (Some("build-1"), JobState::Running)
    );
    assert!(job.started_at.is_some());
    let newer = WorkerInfo {
        name: "b".into(),
        build: "build-2".into(),
        threads: 1,
    };
    assert_eq!(world.store.claim(&newer).await.unwrap(), None);
    assert_eq!(world.claim("c").await.key, key(0, 1));
}

/// 32 claimers on 1,000 slices.
pub async fn each_slice_is_claimed_once(place: impl Place) {
    let world = World::new(place).await;
    world.submit(1_000, 1).await;
    let mut claimers = vec![];
    for number in 0..32 {
        let store = world.store.clone();
        claimers.push(tokio::spawn(async move {
            let mut keys = vec![];
            while let Some(claim) = store.claim(&worker(&number.to_string())).await.unwrap() {
                keys.push(claim.key);
            }
            keys
        }));
    }
    let mut all = vec![];
    for claimer in claimers {
        all.extend(claimer.await.unwrap());
    }
    assert_eq!(all.len(), 1_000);
    assert_eq!(all.into_iter().collect::<BTreeSet<_>>().len(), 1_000);
}

pub async fn a_slice_handed_back_uses_no_attempt(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    for number in 0..9 {
        let claim = world.claim(&number.to_string()).await;
        world.store.hand_back(&claim).await.unwrap();
    }
    world.claim("last").await;
    assert_eq!(world.store.job(&id).await.unwrap().state, JobState::Running);
}

pub async fn workers_are_listed(place: impl Place) {
    let world = World::new(place).await;
    world.submit(2, 1).await;
    for name in ["a", "b", "a"] {
        world.store.announce(&worker(name)).await.unwrap();
    }
    let claim = world.claim("a").await;
    complete(&world, &claim, 2, 1).await;
    world
        .place
        .raw("UPDATE workers SET seen_at = seen_at - 3600000 WHERE name = 'b'".into())
        .await
        .unwrap();
    let rows = world.store.workers().await.unwrap();
    let seen: Vec<_> = rows
        .iter()
        .map(|row| (row.info.name.as_str(), row.slices, row.alive))
        .collect();
    assert_eq!(seen, [("a", 1, true), ("b", 0, false)]);
    // One that took its leave is not waited for, and has kept what it did.
    world.store.take_leave(&worker("a")).await.unwrap();
    let left = world.store.workers().await.unwrap();
    assert_eq!(left[0].info.name, "a");
    assert_eq!((left[0].alive, left[0].info.threads), (false, 0));
    assert_eq!(left[0].slices, 1);
}

pub async fn a_kind_of_another_build_is_passed_over(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    let newer = format!("UPDATE jobs SET kind = 'newer' WHERE id = '{id}'");
    world.place.raw(newer).await.unwrap();
    assert!(world.nothing_to_claim().await);
    assert_eq!(world.store.job(&id).await.unwrap().kind, "newer");
    let second = world.submit(1, 1).await;
    assert_eq!(world.claim("a").await.job, second);
}

pub async fn every_kind_is_claimed(place: impl Place) {
    let world = World::new(place).await;
    for kind in JobKind::ALL {
        let job = NewJob {
            kind,
            ..new_job(1, 1)
        };
        world.store.submit(&job).await.unwrap();
        let claim = world.claim("a").await;
        assert_eq!((claim.job_kind, claim.kind), (kind, kind.slices()));
    }
}
