//! The room that a job takes in the store: a tenth of the slices of 10^8 evaluations on 8 islands,
//! 5,000 to a slice, with checkpoints and progress events of the usual size, on SQLite.
//!
//! ```text
//! cargo run --release -p leanwright-tests --bin room
//! ```

use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, Connection};
use store::{
    Claim, Completion, JobKind, NewJob, Options, Priority, SliceKey, SliceKind, Store, Successor,
    WorkerInfo,
};

const ISLANDS: u32 = 8;
const EPOCHS: u32 = 250;
/// Bytes of a checkpoint and of a progress event, as the demo job on rod ends leaves them.
const CHECKPOINT: usize = 30_000;
const EVENT: usize = 600;

fn main() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("room.sqlite");
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    runtime.block_on(async {
        let options = Options::new(path.display().to_string());
        let empty = fill(&options, &path, 0, false).await;
        let slices = fill(&options, &path, EPOCHS, false).await;
        let events = fill(&options, &path, EPOCHS, true).await;
        let count = f64::from(ISLANDS * EPOCHS);
        println!("{empty} bytes in an empty store");
        println!(
            "{:.0} bytes a slice beside checkpoints ({count} slices), {:.0} bytes an event of {EVENT}",
            (slices - empty) as f64 / count,
            (events - slices) as f64 / f64::from(EPOCHS)
        );
    });
}

/// Bytes in use, but for checkpoints, in a new store after so many epochs of a job.
async fn fill(options: &Options, path: &std::path::Path, epochs: u32, events: bool) -> i64 {
    // The first time there is none.
    drop(std::fs::remove_file(path));
    let store = Store::open(options).await.expect("a store");
    if epochs > 0 {
        store.submit(&job(epochs)).await.expect("a job");
        for _ in 0..ISLANDS * epochs {
            slice(&store, epochs, events).await;
        }
    }
    store.close().await;
    drop(store);
    in_use(path).await
}

fn job(epochs: u32) -> NewJob {
    NewJob {
        caller: "local".into(),
        kind: JobKind::Search,
        name: "room".into(),
        labels: vec![],
        priority: Priority::default(),
        input: b"{}".to_vec(),
        starts: None,
        idempotency_key: None,
        islands: ISLANDS,
        // One more, so that the search does not end here.
        epochs: epochs + 1,
        planned: 0,
        parent: None,
        keep_days: None,
    }
}

async fn slice(store: &Store, epochs: u32, events: bool) {
    let worker = WorkerInfo {
        name: "one".into(),
        build: "room".into(),
        threads: 1,
    };
    let claim = store.claim(&worker).await.expect("the store answers");
    let claim = claim.expect("a slice is ready");
    let body = vec![b'x'; EVENT];
    let told = events && claim.key.island == 0;
    let done = Completion {
        checkpoint: &vec![7; CHECKPOINT],
        readers: 2,
        read: &reads(&claim),
        successors: &wakes(&claim, epochs),
        evaluations: 5_000,
        event: told.then_some(("progress", body.as_slice())),
        border: None,
    };
    store.complete(&claim, &done).await.expect("kept");
}

fn reads(claim: &Claim) -> Vec<SliceKey> {
    let Some(epoch) = claim.key.epoch.checked_sub(1) else {
        return vec![];
    };
    [claim.key.island, (claim.key.island + ISLANDS - 1) % ISLANDS]
        .map(|island| SliceKey { epoch, island })
        .to_vec()
}

fn wakes(claim: &Claim, epochs: u32) -> Vec<Successor> {
    let epoch = claim.key.epoch + 1;
    if epoch == epochs {
        return vec![];
    }
    let next = |island| Successor {
        key: SliceKey { epoch, island },
        kind: SliceKind::Search,
        inputs: 2,
    };
    [claim.key.island, (claim.key.island + 1) % ISLANDS]
        .map(next)
        .to_vec()
}

/// Pages in use less the checkpoints that stand; those that deleted ones left are used again and do
/// not count.
async fn in_use(path: &std::path::Path) -> i64 {
    let mut plain = SqliteConnectOptions::new()
        .filename(path)
        .connect()
        .await
        .expect("the file opens");
    let mut number = async |pragma: &'static str| -> i64 {
        let row = sqlx::query_scalar(pragma).fetch_one(&mut plain);
        row.await.expect("a number")
    };
    let pages = number("PRAGMA page_count").await - number("PRAGMA freelist_count").await;
    let bytes = pages * number("PRAGMA page_size").await;
    let standing = number("SELECT coalesce(sum(length(bytes)), 0) FROM checkpoints").await;
    plain.close().await.expect("closed");
    bytes - standing
}
