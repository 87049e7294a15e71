//! Leases, tokens and rescue.

use super::*;
use leanwright_store::{Error, JobState, Published};

const HOUR: Duration = Duration::from_secs(3_600);

fn lost<T: std::fmt::Debug>(outcome: Result<T, Error>) {
    assert!(matches!(outcome, Err(Error::LeaseLost)), "{outcome:?}");
}

async fn all_writes_are_refused<P: Place>(world: &World<P>, claim: &Claim) {
    lost(world.store.beat(claim).await);
    lost(world.store.progress(claim, b"{}").await);
    lost(world.store.complete(claim, &Completion::default()).await);
    lost(world.store.fail(claim, "no", b"{}").await);
    lost(world.store.hand_back(claim).await);
    lost(world.store.rewind(claim).await);
    lost(world.store.publish(claim, &Published::default()).await);
}

pub async fn a_stale_token_writes_nothing(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 2).await;
    let stale = world.claim("a").await;
    world.jump(HOUR).await;
    assert_eq!(world.store.rescue().await.unwrap().slices, 1);
    let before = world.store.job(&id).await.unwrap();
    all_writes_are_refused(&world, &stale).await;
    let fresh = world.claim("b").await;
    assert_eq!(fresh.key, stale.key);
    assert!(fresh.token > stale.token);
    all_writes_are_refused(&world, &stale).await;
    assert_eq!(world.store.job(&id).await.unwrap(), before);
    complete(&world, &fresh, 1, 2).await;
    all_writes_are_refused(&world, &fresh).await;
}

pub async fn a_cancelled_job_takes_no_writes(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    let claim = world.claim("a").await;
    world.store.cancel(&id).await.unwrap();
    all_writes_are_refused(&world, &claim).await;
    assert_eq!(
        world.store.job(&id).await.unwrap().state,
        JobState::Cancelled
    );
    world.jump(HOUR).await;
    assert_eq!(world.store.rescue().await.unwrap().slices, 0);
}

pub async fn a_deleted_job_takes_no_writes(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    let claim = world.claim("a").await;
    world.store.delete(&id).await.unwrap();
    all_writes_are_refused(&world, &claim).await;
}

pub async fn a_lease_in_time_is_kept(place: impl Place) {
    let world = World::new(place).await;
    world.submit(1, 2).await;
    let claim = world.claim("a").await;
    let most_of_it = world.store.lease() * 9 / 10;
    for _ in 0..10 {
        world.jump(most_of_it).await;
        assert_eq!(world.store.rescue().await.unwrap().slices, 0);
        world.store.beat(&claim).await.unwrap();
    }
    complete(&world, &claim, 1, 2).await;
}

pub async fn a_lost_slice_is_claimed_again(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 2).await;
    world.claim("a").await;
    assert!(world.nothing_to_claim().await);
    world.jump(HOUR).await;
    assert_eq!(world.store.rescue().await.unwrap().slices, 1);
    assert_eq!(world.store.rescue().await.unwrap().slices, 0);
    let claim = world.claim("b").await;
    complete(&world, &claim, 1, 2).await;
    let events = world.store.events(&id, 2, 10).await.unwrap();
    assert_eq!(events[0].kind, "rescued");
    assert_eq!(events[0].body, b"{\"epoch\":0,\"island\":0}");
}

pub async fn five_workers_lost_end_the_job(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(2, 1).await;
    for number in 0..5 {
        world.claim(&number.to_string()).await;
        world.jump(HOUR).await;
        let rescued = world.store.rescue().await.unwrap();
        assert_eq!(
            rescued.failed_jobs,
            u32::from(number == 4),
            "after worker {number}"
        );
    }
    let job = world.store.job(&id).await.unwrap();
    assert_eq!(job.state, JobState::Failed);
    assert_eq!(
        job.reason.as_deref(),
        Some("the slice of epoch 0, island 0 was lost by 5 workers in turn")
    );
    assert!(world.nothing_to_claim().await);
}

pub async fn one_sick_worker_does_not_end_the_job(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    for _ in 0..9 {
        world.claim("sick").await;
        world.jump(HOUR).await;
        world.store.rescue().await.unwrap();
    }
    assert_eq!(world.store.job(&id).await.unwrap().state, JobState::Running);
    world.claim("well").await;
}
