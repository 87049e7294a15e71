//! What a claim, a beat and the end of a slice cost on a real PostgreSQL, one after the other.

use std::time::Instant;

use store::WorkerInfo;
use store::{
    Claim, Completion, JobKind, NewJob, Options, Priority, SliceKey, SliceKind, Store, Successor,
};

/// Bytes of a checkpoint, as the demo job on rod ends leaves them.
const CHECKPOINT: usize = 30_000;
/// Operations timed at once.
const ROUNDS: u32 = 400;
/// Slices that run meanwhile in the second look.
const RUNNING: u32 = 2_000;

/// Prints the costs of this machine and server.
pub fn measure() {
    let url = std::env::var("LEANWRIGHT_TEST_POSTGRES").expect("run this by tests/postgres/with");
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    runtime.block_on(async {
        let store = Store::open(&Options::new(url))
            .await
            .expect("the store opens");
        store.submit(&job()).await.expect("a job");
        let bytes = vec![7; CHECKPOINT];
        for held in [0, RUNNING] {
            for _ in 0..held {
                claim(&store).await;
            }
            let mut claims = 0.0;
            let mut beats = 0.0;
            let mut ends = 0.0;
            for _ in 0..ROUNDS {
                let begun = Instant::now();
                let claim = claim(&store).await;
                claims += begun.elapsed().as_secs_f64();
                let begun = Instant::now();
                store.beat(&claim).await.expect("a beat");
                beats += begun.elapsed().as_secs_f64();
                let begun = Instant::now();
                end(&store, &claim, &bytes).await;
                ends += begun.elapsed().as_secs_f64();
            }
            let each = |sum: f64| 1e3 * sum / f64::from(ROUNDS);
            println!(
                "{held} running: claim {:.2} ms, beat {:.2} ms, end {:.2} ms",
                each(claims),
                each(beats),
                each(ends)
            );
        }
    });
}

fn job() -> NewJob {
    NewJob {
        caller: "local".into(),
        kind: JobKind::Search,
        name: "costs".into(),
        labels: vec![],
        priority: Priority::default(),
        input: b"{}".to_vec(),
        starts: None,
        idempotency_key: None,
        islands: RUNNING + 2 * ROUNDS + 100,
        epochs: 10,
        planned: 0,
        parent: None,
        keep_days: None,
    }
}

async fn claim(store: &Store) -> Claim {
    let worker = WorkerInfo {
        name: "one".into(),
        build: "costs".into(),
        threads: 1,
    };
    let claim = store.claim(&worker).await.expect("the store answers");
    claim.expect("a slice is ready")
}

/// Ends a search slice of the ring: a checkpoint, two successors.
async fn end(store: &Store, claim: &Claim, bytes: &[u8]) {
    let next = |island| Successor {
        key: SliceKey {
            epoch: claim.key.epoch + 1,
            island,
        },
        kind: SliceKind::Search,
        inputs: 2,
    };
    let done = Completion {
        checkpoint: bytes,
        readers: 2,
        successors: &[next(claim.key.island), next(claim.key.island + 1)],
        evaluations: 5_000,
        ..Completion::default()
    };
    store.complete(claim, &done).await.expect("the slice ends");
}
