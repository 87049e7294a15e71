//! Ending a slice: its checkpoint, its successors and its own row in one transaction.

use crate::border;
use crate::checkpoints;
use crate::db::{Arg, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::fault_point::fault_point;
use crate::model::{Claim, Completion, Successor};
use crate::store::Store;

impl Store {
    /// Stores what the slice left and tells its successors, all or nothing. A successor's row is made
    /// by the first of its inputs and becomes ready with the last.
    ///
    /// # Errors
    /// [`Error::LeaseLost`]: nothing was written.
    pub async fn complete(&self, claim: &Claim, done: &Completion<'_>) -> Result<(), Error> {
        retried!(self.complete_once(claim, done))
    }

    async fn complete_once(&self, claim: &Claim, done: &Completion<'_>) -> Result<(), Error> {
        fault_point("complete.called", Some(claim.key));
        let mut tx = self.begin().await?;
        fault_point("complete.begun", Some(claim.key));
        let outcome = complete_claimed(&mut tx, claim, done, self.options().anchor_epochs).await;
        self.settle(tx, outcome).await?;
        fault_point("complete.committed", Some(claim.key));
        Ok(())
    }

    /// Ends the job as failed, with a reason for its caller. For faults that would come again on any
    /// worker; a slice that merely could not be finished is handed back instead.
    ///
    /// # Errors
    /// [`Error::LeaseLost`]: nothing was written.
    pub async fn fail(&self, claim: &Claim, reason: &str, event: &[u8]) -> Result<(), Error> {
        retried!(self.fail_once(claim, reason, event))
    }

    async fn fail_once(&self, claim: &Claim, reason: &str, event: &[u8]) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let outcome = fail_claimed(&mut tx, claim, reason, event).await;
        self.settle(tx, outcome).await
    }
}

async fn complete_claimed(
    tx: &mut Tx,
    claim: &Claim,
    done: &Completion<'_>,
    anchor: u32,
) -> Result<(), Error> {
    match done.border {
        None => share_job(tx, claim.job_seq).await?,
        Some(_) => lock_job(tx, claim.job_seq).await?,
    }
    if let Some((kind, body)) = done.event {
        events::append(tx, claim.job_seq, kind, body).await?;
    }
    finish_slice(tx, claim, done.evaluations).await?;
    fault_point("complete.ended", Some(claim.key));
    checkpoints::keep(tx, claim, done.checkpoint, done.readers).await?;
    fault_point("complete.kept", Some(claim.key));
    checkpoints::count_off(tx, claim, done.read, anchor).await?;
    let ended = match &done.border {
        Some(border) => border::settle(tx, claim, border, anchor).await?,
        None => false,
    };
    if !ended {
        tell_all(tx, claim, done.successors).await?;
    }
    fault_point("complete.told", Some(claim.key));
    Ok(())
}

async fn fail_claimed(tx: &mut Tx, claim: &Claim, reason: &str, event: &[u8]) -> Result<(), Error> {
    lock_job(tx, claim.job_seq).await?;
    finish_slice(tx, claim, 0).await?;
    // Words of a panic may hold anything, and a job must not stay open for that.
    let reason = reason.replace('\0', "\u{fffd}");
    match fail_job(tx, claim.job_seq, &reason, event).await? {
        true => Ok(()),
        false => Err(Error::LeaseLost),
    }
}

/// Marks the slice done under its token. Every write that ends a slice begins with this.
pub(crate) async fn finish_slice(
    tx: &mut Tx,
    claim: &Claim,
    evaluations: u64,
) -> Result<(), Error> {
    let changed = tx
        .run(
            "UPDATE slices SET state = 'done', lease_until = NULL, finished_at = now_ms(), \
                               evaluations = $3 \
             WHERE seq = $1 AND lease_epoch = $2 AND state = 'running'",
            &[
                Arg::Int(claim.slice),
                Arg::Int(claim.token),
                Arg::Int(evaluations as i64),
            ],
        )
        .await?;
    if changed == 0 {
        return Err(Error::LeaseLost);
    }
    tx.run(
        "UPDATE workers SET slices = slices + 1 WHERE name = $1",
        &[Arg::Text(&claim.worker)],
    )
    .await?;
    Ok(())
}

async fn tell_all(tx: &mut Tx, claim: &Claim, successors: &[Successor]) -> Result<(), Error> {
    // In key order: two transactions that tell the same successors then lock in the same order.
    let mut successors = successors.to_vec();
    successors.sort_by_key(|successor| successor.key);
    for successor in &successors {
        tell(tx, claim, successor).await?;
    }
    Ok(())
}

async fn tell(tx: &mut Tx, claim: &Claim, successor: &Successor) -> Result<(), Error> {
    tx.run(
        "INSERT INTO slices (job, caller, kind, island, epoch, inputs, arrived, state) \
         SELECT $1, caller, $2, $3, $4, $5, 1, CASE WHEN $5 = 1 THEN 'ready' ELSE 'waiting' END \
         FROM jobs WHERE seq = $1 \
         ON CONFLICT (job, island, epoch) DO UPDATE SET arrived = slices.arrived + 1, \
             state = CASE WHEN slices.arrived + 1 = slices.inputs THEN 'ready' ELSE slices.state END",
        &[
            Arg::Int(claim.job_seq),
            Arg::Text(successor.kind.as_str()),
            Arg::Int(i64::from(successor.key.island)),
            Arg::Int(i64::from(successor.key.epoch)),
            Arg::Int(i64::from(successor.inputs)),
        ],
    )
    .await?;
    Ok(())
}

/// Holds the job's row beside others that complete slices of it, until the end of the transaction.
async fn share_job(tx: &mut Tx, job: i64) -> Result<(), Error> {
    tx.rows(
        "SELECT seq FROM jobs WHERE seq = $1 lock_shared()",
        &[Arg::Int(job)],
    )
    .await?;
    Ok(())
}

/// Holds the job's row alone until the end of the transaction: the first thing that a transaction
/// does that takes slices or checkpoints away.
pub(crate) async fn lock_job(tx: &mut Tx, job: i64) -> Result<(), Error> {
    tx.rows(
        "SELECT seq FROM jobs WHERE seq = $1 lock_alone()",
        &[Arg::Int(job)],
    )
    .await?;
    Ok(())
}

/// Ends an open job as failed and drops what is left of its slices; `false` when it had ended before.
pub(crate) async fn fail_job(
    tx: &mut Tx,
    job: i64,
    reason: &str,
    event: &[u8],
) -> Result<bool, Error> {
    lock_job(tx, job).await?;
    let changed = tx
        .run(
            "UPDATE jobs SET state = 'failed', reason = $2, finished_at = now_ms() \
             WHERE seq = $1 AND state IN ('queued', 'running')",
            &[Arg::Int(job), Arg::Text(reason)],
        )
        .await?;
    if changed == 0 {
        return Ok(false);
    }
    drop_unfinished(tx, job).await?;
    events::append(tx, job, "failed", event).await?;
    Ok(true)
}

/// Takes every open slice of the job from its worker, the raised token makes their writes void, and
/// drops its checkpoints.
pub(crate) async fn drop_unfinished(tx: &mut Tx, job: i64) -> Result<(), Error> {
    checkpoints::drop_all(tx, job).await?;
    tx.run(
        "UPDATE slices SET state = 'discarded', lease_epoch = lease_epoch + 1, lease_until = NULL \
         WHERE job = $1 AND state IN ('waiting', 'ready', 'running')",
        &[Arg::Int(job)],
    )
    .await?;
    Ok(())
}
