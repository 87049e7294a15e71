//! Figures of progress while the search runs, at most once a second for a job.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use store::{Claim, Error, SliceKey, Store};

use crate::documents::{ProgressDocument, bytes};
use crate::model::Model;
use crate::slices::islands;
use crate::together::Together;

const LEAST_PAUSE: Duration = Duration::from_secs(1);
/// Progress costs at most one part in this many of the worker's time.
const SHARE: u32 = 20;
/// Jobs whose next turn is remembered.
const KEPT: usize = 64;

/// When each job's figures are due again, by this worker's own clock.
#[derive(Default)]
pub(crate) struct Due {
    next: Mutex<BTreeMap<String, Instant>>,
}

impl Due {
    /// Whether the job's figures are due, and if so puts the next turn off.
    pub(crate) fn take(&self, claim: &Claim) -> bool {
        let mut next = self.next.lock().unwrap_or_else(PoisonError::into_inner);
        let now = Instant::now();
        if next.get(claim.job.as_str()).is_some_and(|due| now < *due) {
            return false;
        }
        if next.len() >= KEPT {
            next.retain(|_, due| now < *due);
        }
        next.insert(claim.job.as_str().to_owned(), now + LEAST_PAUSE);
        true
    }

    /// Puts the next turn off by what the last one cost.
    pub(crate) fn cost(&self, claim: &Claim, spent: Duration) {
        let mut next = self.next.lock().unwrap_or_else(PoisonError::into_inner);
        let pause = LEAST_PAUSE.max(spent * SHARE);
        next.insert(claim.job.as_str().to_owned(), Instant::now() + pause);
    }
}

/// Writes the job's figures: all islands as they stand, with this claim's epoch just computed.
pub(crate) async fn write(
    store: &Store,
    claim: &Claim,
    model: &dyn Model,
    checkpoint: &[u8],
    evaluations: u64,
) -> Result<(), Error> {
    let mut newest = store.newest_checkpoints(claim).await?;
    replace(&mut newest, claim.key, checkpoint);
    let lanes: Vec<u32> = newest.iter().map(|(key, _)| key.island).collect();
    let newest: Vec<Vec<u8>> = newest.into_iter().map(|(_, bytes)| bytes).collect();
    // A checkpoint that can't be read is found by the slice that needs it, not here.
    let Ok(islands) = islands(model, &newest) else {
        return Ok(());
    };
    // One joined checkpoint holds all islands of a job with one layout.
    let snapshots: Vec<(u32, Vec<u8>)> = match lanes.len() == islands.len() {
        true => lanes.into_iter().zip(islands).collect(),
        false => (0..).zip(islands).collect(),
    };
    // Before every layout has a checkpoint there is nothing to lay over the others.
    let Ok(archive) = Together::merge(model, &snapshots) else {
        return Ok(());
    };
    let spent = store.evaluations(claim).await? + evaluations;
    let document = ProgressDocument::new(model, "search", spent, &archive.progress());
    store.progress(claim, &bytes(&document)).await?;
    Ok(())
}

fn replace(islands: &mut Vec<(SliceKey, Vec<u8>)>, key: SliceKey, checkpoint: &[u8]) {
    match islands.binary_search_by_key(&key.island, |(kept, _)| kept.island) {
        Ok(at) => islands[at] = (key, checkpoint.to_vec()),
        Err(at) => islands.insert(at, (key, checkpoint.to_vec())),
    }
}
