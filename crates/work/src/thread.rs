//! A compute thread: claim, run, store, again.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use store::{Claim, Error, Store, WorkerInfo, fault_point};
use tokio::runtime::Handle;
use tokio::sync::watch;

use crate::cache::Cache;
use crate::claims::Held;
use crate::model::Compile;
use crate::progress::Due;
use crate::run::{Unfinished, run};

/// Pause after a fault of the store.
const AFTER_FAULT: Duration = Duration::from_secs(1);

/// What the threads of a worker share.
pub(crate) struct Desk {
    pub(crate) store: Store,
    pub(crate) runtime: Handle,
    pub(crate) info: WorkerInfo,
    pub(crate) compile: Compile,
    pub(crate) poll: Duration,
    pub(crate) cache: Cache,
    pub(crate) due: Due,
    pub(crate) stopping: watch::Sender<bool>,
    /// Threads that wait for work: others may use their cores meanwhile.
    pub(crate) idle: AtomicUsize,
    /// From this moment slices in flight are handed back.
    pub(crate) deadline: Mutex<Option<Instant>>,
}

impl Desk {
    /// Waits for an operation of the store. Only compute threads do so, never the runtime's own.
    pub(crate) fn wait<T>(&self, operation: impl Future<Output = T>) -> T {
        self.runtime.block_on(operation)
    }

    /// Threads that a slice may compute with at this moment: its own and those that have nothing to do.
    pub(crate) fn hands(&self) -> usize {
        1 + self.idle.load(Ordering::Relaxed)
    }

    fn is_stopping(&self) -> bool {
        *self.stopping.borrow()
    }

    fn is_past_deadline(&self) -> bool {
        let deadline = self.deadline.lock().unwrap_or_else(PoisonError::into_inner);
        deadline.is_some_and(|deadline| Instant::now() >= deadline)
    }

    /// Works until told to stop.
    pub(crate) fn work(&self) {
        lower_priority();
        let mut changes = self.store.changes();
        let mut stopping = self.stopping.subscribe();
        while !self.is_stopping() {
            // Seen before the look at the store, so that a change during the look wakes it again.
            changes.borrow_and_update();
            // The lease runs from no earlier than this moment.
            let asked = tokio::time::Instant::now();
            match self.wait(self.store.claim(&self.info)) {
                Ok(Some(claim)) => self.attend(&claim, asked),
                Ok(None) => {
                    self.idle.fetch_add(1, Ordering::Relaxed);
                    self.wait(idle(self.poll, &mut changes, &mut stopping));
                    self.idle.fetch_sub(1, Ordering::Relaxed);
                }
                Err(fault) => {
                    tracing::warn!(%fault, "no slice could be claimed");
                    self.wait(rest(AFTER_FAULT, &mut stopping));
                }
            }
        }
    }

    /// Runs a claimed slice and settles how it ended.
    fn attend(&self, claim: &Claim, asked: tokio::time::Instant) {
        let held = Held::new(&self.runtime, &self.store, claim, asked);
        let halt = || {
            fault_point("run.batch", Some(claim.key));
            held.is_lost() || self.is_past_deadline()
        };
        fault_point("run.begun", Some(claim.key));
        let outcome =
            catch_unwind(AssertUnwindSafe(|| run(self, claim, &halt))).unwrap_or_else(|panic| {
                Err(Unfinished::Fail(format!(
                    "a slice panicked: {}",
                    words(&*panic)
                )))
            });
        if let Err(unfinished) = outcome {
            self.settle(claim, &held, unfinished);
        }
    }

    fn settle(&self, claim: &Claim, held: &Held, unfinished: Unfinished) {
        if held.is_lost() {
            return tracing::info!(job = %claim.job, ?claim.key, "a claim was lost");
        }
        let settled = match unfinished {
            Unfinished::Lost => Ok(()),
            Unfinished::HandBack => self.wait(self.store.hand_back(claim)),
            Unfinished::Rewind(key) => {
                tracing::warn!(job = %claim.job, ?key, "a checkpoint is damaged; the job is rewound");
                self.wait(self.store.rewind(claim)).map(drop)
            }
            Unfinished::Fail(reason) => {
                tracing::error!(job = %claim.job, ?claim.key, %reason, "a job failed");
                let event = crate::documents::bytes(&serde_json::json!({ "reason": reason }));
                self.wait(self.store.fail(claim, &reason, &event))
            }
            Unfinished::Store(fault) => {
                tracing::warn!(job = %claim.job, %fault, "a slice could not be stored");
                std::thread::sleep(AFTER_FAULT);
                self.wait(self.store.hand_back(claim))
            }
        };
        match settled {
            Ok(()) | Err(Error::LeaseLost) => {}
            Err(fault) => tracing::warn!(job = %claim.job, %fault, "a claim is left to be rescued"),
        }
    }
}

/// Waits until something changed here, or it is time to look for changes made elsewhere.
async fn idle(
    poll: Duration,
    changes: &mut watch::Receiver<u64>,
    stopping: &mut watch::Receiver<bool>,
) {
    tokio::select! {
        _ = changes.changed() => {}
        _ = stopping.changed() => {}
        () = tokio::time::sleep(jittered(poll)) => {}
    }
}

async fn rest(pause: Duration, stopping: &mut watch::Receiver<bool>) {
    tokio::select! {
        _ = stopping.changed() => {}
        () = tokio::time::sleep(jittered(pause)) => {}
    }
}

/// Between three quarters and five quarters, so that many workers do not ask at one moment.
pub(crate) fn jittered(pause: Duration) -> Duration {
    let share = (random_bits() % 1_024) as u32;
    pause * 3 / 4 + pause / 2 * share / 1_024
}

/// Bits for jitter and names, never for results: the standard library's hash keys are random.
pub(crate) fn random_bits() -> u64 {
    use std::hash::{BuildHasher, Hasher, RandomState};
    RandomState::new().build_hasher().finish()
}

fn words(panic: &(dyn Any + Send)) -> &str {
    let text = panic.downcast_ref::<String>().map(String::as_str);
    text.or_else(|| panic.downcast_ref::<&str>().copied())
        .unwrap_or("no words were left")
}

/// Leaves the processor to whoever serves requests. On Linux this holds for the thread alone.
fn lower_priority() {
    #[cfg(target_os = "linux")]
    if let Err(fault) = rustix::process::nice(10) {
        tracing::debug!(%fault, "a compute thread keeps the usual priority");
    }
}
