//! What is kept, for how long, and what happens when it is damaged.

use super::*;
use leanwright_store::{Error, JobState, Published};

/// Runs the search of a job of two islands up to this many finished slices.
async fn run_slices<P: Place>(world: &World<P>, slices: usize, epochs: u32) {
    for _ in 0..slices {
        let claim = world.claim("a").await;
        complete(world, &claim, 2, epochs).await;
    }
}

async fn stored_epochs<P: Place>(world: &World<P>, claim: &Claim, epochs: u32) -> Vec<u32> {
    let mut stored = vec![];
    for epoch in 0..epochs {
        if world.store.checkpoint(claim, key(epoch, 0)).await.is_ok() {
            stored.push(epoch);
        }
    }
    stored
}

pub async fn checkpoints_go_when_their_readers_are_done(place: impl Place) {
    let world = World::with(place, |options| options.anchor_epochs = 100).await;
    world.submit(2, 9).await;
    run_slices(&world, 6, 9).await;
    let claim = world.claim("a").await;
    // Epoch 0 is an anchor; epoch 1 was read by both slices of epoch 2.
    assert_eq!(stored_epochs(&world, &claim, 9).await, [0, 2]);
}

pub async fn anchors_stay_until_the_next_is_whole(place: impl Place) {
    let world = World::with(place, |options| options.anchor_epochs = 3).await;
    world.submit(2, 20).await;
    run_slices(&world, 2 * 6, 20).await;
    let claim = world.claim("a").await;
    assert_eq!(stored_epochs(&world, &claim, 20).await, [3, 5]);
    complete(&world, &claim, 2, 20).await;
    run_slices(&world, 1, 20).await;
    let claim = world.claim("a").await;
    assert_eq!(claim.key, key(7, 0));
    assert_eq!(stored_epochs(&world, &claim, 20).await, [6]);
}

pub async fn a_damaged_checkpoint_is_found(place: impl Place) {
    let world = World::new(place).await;
    world.submit(2, 9).await;
    run_slices(&world, 2, 9).await;
    let claim = world.claim("a").await;
    assert!(world.store.checkpoint(&claim, key(0, 0)).await.is_ok());
    let missing = world.store.checkpoint(&claim, key(5, 1)).await;
    assert!(matches!(missing, Err(Error::Damaged { key: at }) if at == key(5, 1)));
    damage(&world, 0, 1).await;
    let damaged = world.store.checkpoint(&claim, key(0, 1)).await;
    assert!(matches!(damaged, Err(Error::Damaged { key: at }) if at == key(0, 1)));
}

async fn damage<P: Place>(world: &World<P>, epoch: u32, island: u32) {
    let changed = world
        .place
        .raw(format!(
            "UPDATE checkpoints SET bytes = CAST('spoilt' AS BLOB) WHERE epoch = {epoch} AND island = {island}"
        ))
        .await
        .unwrap();
    assert_eq!(changed, 1);
}

pub async fn a_job_rewinds_to_its_newest_whole_epoch(place: impl Place) {
    let world = World::with(place, |options| options.anchor_epochs = 3).await;
    let id = world.submit(2, 9).await;
    run_slices(&world, 2 * 5, 9).await;
    damage(&world, 4, 1).await;
    let (one, two) = (world.claim("a").await, world.claim("b").await);
    assert_eq!(one.key, key(5, 0));
    assert_eq!(world.store.rewind(&one).await.unwrap(), Some(3));
    for claim in [one, two] {
        assert!(matches!(
            world.store.beat(&claim).await,
            Err(Error::LeaseLost)
        ));
    }
    let mut keys = vec![];
    while world.store.job(&id).await.unwrap().state == JobState::Running {
        let claim = world.claim("a").await;
        keys.push(claim.key);
        if claim.kind == SliceKind::Merge {
            world
                .store
                .publish(&claim, &Published::default())
                .await
                .unwrap();
        } else {
            complete(&world, &claim, 2, 9).await;
        }
    }
    let mut expected: Vec<_> = (4..9)
        .flat_map(|epoch| [key(epoch, 0), key(epoch, 1)])
        .collect();
    expected.push(key(9, 0));
    assert_eq!(keys, expected);
}

pub async fn a_job_without_a_whole_epoch_starts_again(place: impl Place) {
    let world = World::with(place, |options| options.anchor_epochs = 100).await;
    let id = world.submit(2, 3).await;
    run_slices(&world, 4, 3).await;
    damage(&world, 0, 0).await;
    damage(&world, 1, 1).await;
    let claim = world.claim("a").await;
    assert_eq!(world.store.rewind(&claim).await.unwrap(), None);
    assert_eq!(world.claim("a").await.key, key(0, 0));
    assert_eq!(world.claim("a").await.key, key(0, 1));
    let last = world
        .store
        .events(&id, 0, 100)
        .await
        .unwrap()
        .pop()
        .unwrap();
    assert_eq!(
        (last.kind.as_str(), last.body.as_slice()),
        ("rewound", &b"{\"from_epoch\":0}"[..])
    );
}

pub async fn the_newest_checkpoints_are_one_an_island(place: impl Place) {
    let world = World::new(place).await;
    world.submit(2, 9).await;
    run_slices(&world, 5, 9).await;
    let claim = world.claim("a").await;
    let newest = world.store.newest_checkpoints(&claim).await.unwrap();
    let keys: Vec<_> = newest.iter().map(|(key, _)| *key).collect();
    assert_eq!(keys, [key(2, 0), key(1, 1)]);
    assert_eq!(newest[0].1, format!("{:?}", key(2, 0)).into_bytes());
}

pub async fn after_the_end_the_last_epoch_stays_or_nothing(place: impl Place) {
    let world = World::new(place).await;
    for published in [true, false] {
        let id = world.submit(2, 2).await;
        run_slices(&world, 4, 2).await;
        let merge = world.claim("a").await;
        if published {
            world
                .store
                .publish(&merge, &Published::default())
                .await
                .unwrap();
        } else {
            world.store.cancel(&id).await.unwrap();
        }
        let expected: &[u32] = if published { &[1] } else { &[] };
        assert_eq!(stored_epochs(&world, &merge, 3).await, expected);
    }
}

pub async fn a_published_result_is_read_back(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    assert!(matches!(
        world.store.front(&id).await,
        Err(Error::NotFound { .. })
    ));
    let claim = world.claim("a").await;
    let result = Published {
        front: b"abc".to_vec(),
        candidates: vec![b"zero".to_vec(), b"one".to_vec()],
        event: b"{\"candidates\":2}".to_vec(),
    };
    world.store.publish(&claim, &result).await.unwrap();
    let front = world.store.front(&id).await.unwrap();
    assert_eq!(front.body, b"abc");
    // The digest of "abc" is an example of FIPS 180-4 (from memory).
    assert_eq!(
        front.sha256,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
    assert_eq!(world.store.candidate(&id, 1).await.unwrap(), b"one");
    let all = world.store.candidates(&id).await.unwrap();
    assert_eq!(all[1], b"one");
    assert_eq!(all.len(), 2);
    assert!(matches!(
        world.store.candidate(&id, 2).await,
        Err(Error::NotFound { .. })
    ));
    let job = world.store.job(&id).await.unwrap();
    assert_eq!(job.state, JobState::Done);
    assert_eq!(job.finished_at, Some(front.published_at));
    let last = world
        .store
        .events(&id, 0, 100)
        .await
        .unwrap()
        .pop()
        .unwrap();
    assert_eq!((last.kind.as_str(), last.body), ("done", result.event));
}
