//! Keeping claims alive while their slices are computed.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use store::{Claim, Error, Store};
use tokio::runtime::Handle;
use tokio::task::JoinHandle;
use tokio::time::{Instant, sleep};

/// Beats in one lease.
const BEATS: u32 = 6;

/// A claim that is beaten for until this is dropped.
pub(crate) struct Held {
    lost: Arc<AtomicBool>,
    beats: JoinHandle<()>,
}

impl Held {
    /// Begins to beat for the claim, which was made at `claimed`.
    pub(crate) fn new(runtime: &Handle, store: &Store, claim: &Claim, claimed: Instant) -> Held {
        let lost = Arc::new(AtomicBool::new(false));
        let beats = runtime.spawn(beat(store.clone(), claim.clone(), claimed, lost.clone()));
        Held { lost, beats }
    }

    /// Whether the claim is known to be void: stop, write nothing.
    pub(crate) fn is_lost(&self) -> bool {
        self.lost.load(Ordering::Relaxed)
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        self.beats.abort();
    }
}

/// Beats until the claim is lost. When the store can't be reached for a whole lease, the worker holds
/// its claim for lost by its own monotonic clock: by then another may have taken the slice.
async fn beat(store: Store, claim: Claim, claimed: Instant, lost: Arc<AtomicBool>) {
    let lease = store.lease();
    let every = (lease / BEATS).max(Duration::from_millis(1));
    let mut kept = claimed;
    loop {
        sleep(every).await;
        // Taken before the beat: the lease runs from the database's clock at some later moment.
        let sent = Instant::now();
        let remaining = lease.saturating_sub(sent - kept);
        match tokio::time::timeout(remaining, store.beat(&claim)).await {
            Ok(Ok(())) => kept = sent,
            Ok(Err(Error::LeaseLost)) => break,
            Ok(Err(fault)) => tracing::warn!(job = %claim.job, %fault, "a beat failed"),
            Err(_) => tracing::warn!(job = %claim.job, "a beat was not answered within the lease"),
        }
        if Instant::now() - kept >= lease {
            break;
        }
    }
    lost.store(true, Ordering::Relaxed);
}
