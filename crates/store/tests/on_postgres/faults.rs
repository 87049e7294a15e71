//! The server or the connections go away in the middle of the work.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::time::Duration;

use super::{alone, control, number, raw, schema, server};
use crate::contract::{Place, complete, ring, ring_reads, worker};
use leanwright_store::{
    Claim, Completion, Error, JobId, JobState, Options, Published, SliceKind, Store,
};

const ISLANDS: u32 = 4;
const EPOCHS: u32 = 25;
const WORKERS: u32 = 4;

/// Workers on a job that runs through its search and is published by its merge.
struct Work {
    store: Store,
    id: JobId,
    done: Arc<AtomicBool>,
    faults: Arc<AtomicU32>,
    workers: Vec<tokio::task::JoinHandle<()>>,
}

impl Work {
    async fn begin(options: Options) -> Work {
        let options = Options {
            lease: Duration::from_secs(1),
            // A commit whose answer is lost leaves a claim that nobody knows of, to be rescued.
            attempts: 1_000,
            ..options
        };
        let store = Store::open(&options).await.unwrap();
        let job = crate::contract::new_job(ISLANDS, EPOCHS);
        let id = store.submit(&job).await.unwrap().id;
        let mut work = Work {
            store,
            id,
            done: Arc::default(),
            faults: Arc::default(),
            workers: vec![],
        };
        for number in 0..WORKERS {
            let (done, faults) = (work.done.clone(), work.faults.clone());
            let store = Store::open(&options).await.unwrap();
            work.workers.push(tokio::spawn(async move {
                while !done.load(Ordering::Relaxed) {
                    match step(&store, number).await {
                        Ok(()) | Err(Error::LeaseLost) => {}
                        Err(Error::Database(_)) => {
                            faults.fetch_add(1, Ordering::Relaxed);
                        }
                        Err(other) => panic!("{other}"),
                    }
                }
            }));
        }
        work
    }

    async fn epochs_done(&self) -> i64 {
        let events = self.store.events(&self.id, 0, 1_000).await;
        events.map_or(0, |events| {
            events.iter().filter(|event| event.kind == "epoch").count() as i64
        })
    }

    /// Waits for the end and checks that each slice was completed once.
    async fn end(self, url: &str) {
        let ended = tokio::time::timeout(Duration::from_secs(120), async {
            loop {
                match self.store.job(&self.id).await {
                    Ok(job) if job.state.is_final() => return job,
                    _ => tokio::time::sleep(Duration::from_millis(50)).await,
                }
            }
        });
        let job = ended.await.expect("the job ends");
        self.done.store(true, Ordering::Relaxed);
        for worker in self.workers {
            worker.await.unwrap();
        }
        assert_eq!((job.state, job.reason), (JobState::Done, None));
        assert_eq!(self.store.front(&self.id).await.unwrap().body, b"front");
        let slices = "SELECT count(*) FROM slices WHERE state = 'done'";
        let expected = i64::from(ISLANDS * EPOCHS) + 1;
        assert_eq!(number(url, slices.into()).await, expected);
        let others = "SELECT count(*) FROM slices WHERE state <> 'done'";
        assert_eq!(number(url, others.into()).await, 0);
        // One event with each slice: none was lost, none was written twice.
        let events = "SELECT count(*) FROM events WHERE kind = 'epoch'";
        assert_eq!(number(url, events.into()).await, expected - 1);
        println!("{} faults told", self.faults.load(Ordering::Relaxed));
    }
}

/// One look for work, and the slice that it finds.
async fn step(store: &Store, number: u32) -> Result<(), Error> {
    store.rescue().await?;
    let Some(claim) = store.claim(&worker(&format!("w{number}"))).await? else {
        tokio::time::sleep(Duration::from_millis(10)).await;
        return Ok(());
    };
    if claim.kind == SliceKind::Merge {
        let result = Published {
            front: b"front".to_vec(),
            ..Published::default()
        };
        return store.publish(&claim, &result).await;
    }
    finish(store, &claim).await
}

async fn finish(store: &Store, claim: &Claim) -> Result<(), Error> {
    let read = ring_reads(claim, ISLANDS);
    for key in &read {
        store.checkpoint(claim, *key).await?;
    }
    store.beat(claim).await?;
    let successors = ring(claim, ISLANDS, EPOCHS);
    let done = Completion {
        checkpoint: b"bytes",
        readers: successors.len() as u32,
        read: &read,
        successors: &successors,
        evaluations: 1,
        event: Some(("epoch", b"{}")),
        border: None,
    };
    store.complete(claim, &done).await
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn the_work_survives_all_connections_terminated() {
    let place = schema().await;
    let work = Work::begin(place.options()).await;
    let mut rounds = 0;
    while !work
        .store
        .job(&work.id)
        .await
        .is_ok_and(|job| job.state.is_final())
        && rounds < 15
    {
        let kill = format!(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = '{}'",
            place.name
        );
        raw(&server(), kill).await.unwrap();
        rounds += 1;
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    assert!(
        rounds > 1,
        "the job was done before the connections were cut"
    );
    work.end(&place.url).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn the_work_survives_restarts_of_the_server() {
    let alone = alone().await;
    let work = Work::begin(alone.schema.options()).await;
    for (mode, after) in [("immediate", 5), ("immediate", 30), ("fast", 60)] {
        while work.epochs_done().await < after {
            tokio::time::sleep(Duration::from_millis(5)).await;
        }
        control(&["stop", mode]);
        control(&["start"]);
    }
    work.end(&alone.schema.url).await;
}

/// A listener that lost its connection hears again.
#[tokio::test]
async fn submissions_are_heard_after_a_cut() {
    let world = crate::contract::World::new(schema().await).await;
    let other = Store::open(&world.place.options()).await.unwrap();
    for _ in 0..2 {
        let mut changes = other.changes();
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
        let kill = format!(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = '{}'",
            world.place.name
        );
        raw(&server(), kill).await.unwrap();
    }
    let claim = world.claim("a").await;
    complete(&world, &claim, 1, 1).await;
}
