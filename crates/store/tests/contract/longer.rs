//! Searches that end before their budget, and jobs that go on from what another left.

use super::*;
use leanwright_store::{Border, Error, JobState, Published};

/// Completes a search slice whose island stands still from epoch `flat` on.
async fn at_border<P: Place>(world: &World<P>, claim: &Claim, islands: u32, flat: u32) {
    let successors = ring(claim, islands, 20);
    let checkpoint = format!("{:?}", claim.key).into_bytes();
    let done = Completion {
        checkpoint: &checkpoint,
        readers: 3,
        read: &ring_reads(claim, islands),
        successors: &successors,
        evaluations: 10,
        event: None,
        border: Some(Border {
            figure: Some(f64::from(claim.key.epoch.min(flat))),
            window: 2,
            gain: 0.5,
            has_settled: |before, now, gain| {
                assert_eq!((before.len(), gain), (now.len(), 0.5));
                before == now
            },
        }),
    };
    world.store.complete(claim, &done).await.unwrap();
}

pub async fn a_search_without_gain_ends_at_its_border(place: impl Place) {
    let world = World::with(place, |options| options.anchor_epochs = 100).await;
    let id = world.submit(3, 20).await;
    // Figures 0, 1, 2, 3, 3, 3: the first two that are two epochs apart and equal end the search.
    for _ in 0..3 * 5 {
        let claim = world.claim("a").await;
        assert_eq!((claim.epochs, claim.stopped), (20, false));
        at_border(&world, &claim, 3, 3).await;
    }
    let mut last = vec![];
    for island in 0..2 {
        let claim = world.claim("a").await;
        assert_eq!(claim.key, key(5, island));
        at_border(&world, &claim, 3, 3).await;
        last.push(claim);
    }
    let claim = world.claim("a").await;
    assert_eq!(claim.key, key(5, 2));
    let ahead = world.claim("b").await;
    assert_eq!(ahead.key, key(6, 1));
    at_border(&world, &claim, 3, 3).await;

    assert!(matches!(
        world.store.beat(&ahead).await,
        Err(Error::LeaseLost)
    ));
    let merge = world.claim("a").await;
    assert_eq!((merge.key, merge.kind), (key(6, 0), SliceKind::Merge));
    assert_eq!((merge.epochs, merge.stopped), (6, true));
    for island in 0..3 {
        assert!(world.store.checkpoint(&merge, key(5, island)).await.is_ok());
    }
    assert!(world.nothing_to_claim().await);
    let job = world.store.job(&id).await.unwrap();
    assert_eq!((job.epochs, job.asked_epochs), (6, Some(20)));
    let events = world.store.events(&id, 0, 100).await.unwrap();
    let stopped = events.iter().find(|event| event.kind == "stopped").unwrap();
    assert_eq!(stopped.body, b"{\"epochs\":6,\"of\":20}");
    let result = Published::default();
    world.store.publish(&merge, &result).await.unwrap();
    for island in 0..3 {
        assert!(world.store.checkpoint(&merge, key(5, island)).await.is_ok());
    }
}

pub async fn a_search_that_gains_goes_on(place: impl Place) {
    let world = World::with(place, |options| options.anchor_epochs = 100).await;
    world.submit(2, 20).await;
    for _ in 0..2 * 8 {
        let claim = world.claim("a").await;
        at_border(&world, &claim, 2, 100).await;
    }
    let claim = world.claim("a").await;
    assert_eq!(claim.key, key(8, 0));
    // A checkpoint goes once it is read and its border decided.
    for (epoch, kept) in [(0, true), (1, false), (6, false), (7, true)] {
        let found = world.store.checkpoint(&claim, key(epoch, 0)).await;
        assert_eq!(found.is_ok(), kept, "epoch {epoch}");
    }
}

pub async fn a_rewind_behind_a_stop_undoes_it(place: impl Place) {
    let world = World::with(place, |options| options.anchor_epochs = 3).await;
    let id = world.submit(2, 20).await;
    for _ in 0..2 * 5 {
        let claim = world.claim("a").await;
        at_border(&world, &claim, 2, 2).await;
    }
    let merge = world.claim("a").await;
    assert_eq!(merge.key, key(5, 0));
    let spoilt = "UPDATE checkpoints SET sha256 = 'x' WHERE epoch = 4 AND island = 1";
    world.place.raw(spoilt.into()).await.unwrap();
    assert_eq!(world.store.rewind(&merge).await.unwrap(), Some(3));
    let job = world.store.job(&id).await.unwrap();
    assert_eq!((job.epochs, job.asked_epochs), (20, None));
    for _ in 0..2 {
        let claim = world.claim("a").await;
        assert_eq!(claim.key.epoch, 4);
        at_border(&world, &claim, 2, 2).await;
    }
    let merge = world.claim("a").await;
    assert_eq!((merge.key, merge.stopped), (key(5, 0), true));
}

async fn finished<P: Place>(world: &World<P>) -> JobId {
    let id = world.submit(2, 2).await;
    for _ in 0..4 {
        let claim = world.claim("a").await;
        let successors = ring(&claim, 2, 2);
        let checkpoint = format!("{:?}", claim.key).into_bytes();
        let done = Completion {
            checkpoint: &checkpoint,
            readers: 2,
            read: &ring_reads(&claim, 2),
            successors: &successors,
            ..Completion::default()
        };
        world.store.complete(&claim, &done).await.unwrap();
    }
    let merge = world.claim("a").await;
    world
        .store
        .publish(&merge, &Published::default())
        .await
        .unwrap();
    id
}

pub async fn a_longer_run_goes_on_from_the_last_epoch(place: impl Place) {
    let world = World::new(place).await;
    let id = finished(&world).await;
    let longer = NewJob {
        parent: Some(id.clone()),
        ..new_job(2, 4)
    };
    let made = world.store.extend(&id, "build-1", &longer).await.unwrap();
    let job = world.store.job(&made.id).await.unwrap();
    assert_eq!((job.parent, job.first_epoch), (Some(id.clone()), 2));
    assert_eq!(job.build.as_deref(), Some("build-1"));
    for island in 0..2 {
        let claim = world.claim("a").await;
        assert_eq!((&claim.job, claim.key), (&made.id, key(2, island)));
        let read = world
            .store
            .checkpoint(&claim, key(1, island))
            .await
            .unwrap();
        assert_eq!(read, format!("{:?}", key(1, island)).into_bytes());
        complete(&world, &claim, 2, 4).await;
    }
    assert_eq!(world.claim("a").await.key, key(3, 0));
}

pub async fn what_cannot_be_extended_says_why(place: impl Place) {
    let world = World::new(place).await;
    let id = finished(&world).await;
    let open = world.submit(2, 2).await;
    let cases = [
        (&open, "build-1", new_job(2, 4), "only a job that is done"),
        (
            &id,
            "build-2",
            new_job(2, 4),
            "build build-1, and this is build-2",
        ),
        (&id, "build-1", new_job(3, 4), "2 islands"),
        (&id, "build-1", new_job(2, 2), "2 epochs"),
    ];
    for (of, build, job, expected) in cases {
        let refused = world.store.extend(of, build, &job).await;
        let refused = refused.unwrap_err().to_string();
        assert!(refused.contains(expected), "{refused}");
    }
    let spoilt = "UPDATE checkpoints SET bytes = CAST('spoilt' AS BLOB) WHERE island = 1";
    world.place.raw(spoilt.into()).await.unwrap();
    let refused = world.store.extend(&id, "build-1", &new_job(2, 4)).await;
    assert!(refused.unwrap_err().to_string().contains("damaged"));
    world
        .place
        .raw("DELETE FROM checkpoints".into())
        .await
        .unwrap();
    let refused = world.store.extend(&id, "build-1", &new_job(2, 4)).await;
    assert!(refused.unwrap_err().to_string().contains("no longer kept"));
    let all = world.store.jobs(&Default::default()).await.unwrap().jobs;
    assert_eq!(all.len(), 2, "nothing was made");
}

pub async fn a_job_restarts_on_another_build(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(2, 9).await;
    for _ in 0..3 {
        let claim = world.claim("a").await;
        complete(&world, &claim, 2, 9).await;
    }
    let held = world.claim("a").await;
    let job = world.store.restart(&id).await.unwrap();
    assert_eq!((job.state, job.build), (JobState::Queued, None));
    assert!(matches!(
        world.store.beat(&held).await,
        Err(Error::LeaseLost)
    ));
    let mut newer = worker("b");
    newer.build = "build-2".into();
    for island in 0..2 {
        let claim = world.store.claim(&newer).await.unwrap().unwrap();
        assert_eq!(claim.key, key(0, island));
        complete(&world, &claim, 2, 9).await;
    }
    let job = world.store.job(&id).await.unwrap();
    assert_eq!(job.build.as_deref(), Some("build-2"));
    let events = world.store.events(&id, 0, 100).await.unwrap();
    let restarted = events.iter().find(|event| event.kind == "restarted");
    assert_eq!(restarted.unwrap().body, b"{\"build_before\":\"build-1\"}");
    world.store.cancel(&id).await.unwrap();
    let over = world.store.restart(&id).await;
    assert!(matches!(
        over,
        Err(Error::Finished {
            request: "restart",
            ..
        })
    ));
}
