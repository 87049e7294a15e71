//! Claiming a slice, keeping the claim, and giving it back.

use crate::db::{Arg, Row, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::fault_point::fault_point;
use crate::ids::JobId;
use crate::kind::JobKind;
use crate::model::{Claim, SliceKey, WorkerInfo};
use crate::store::Store;
use crate::words::SliceKind;

impl Store {
    /// Claims the next slice for this worker: priority class first, then the caller with the fewest
    /// running slices, then the slice whose row is oldest. Rows are made when the first of their inputs
    /// is there, so jobs take turns slice by slice, and no stream of new jobs can hold an old one up.
    /// Paused jobs and jobs pinned to another build are passed over. `None` when nothing is ready.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn claim(&self, worker: &WorkerInfo) -> Result<Option<Claim>, Error> {
        loop {
            match retried!(self.claim_once(worker))? {
                Tried::Nothing => return Ok(None),
                Tried::Claimed(claim) => return Ok(Some(claim)),
                // Another build pinned the job between the choice and the pin.
                Tried::Pinned => {}
            }
        }
    }

    async fn claim_once(&self, worker: &WorkerInfo) -> Result<Tried, Error> {
        let mut tx = self.begin().await?;
        fault_point("claim.begun", None);
        let lease = self.lease().as_millis() as i64;
        let rows = tx
            .rows(
                "UPDATE slices SET state = 'running', lease_epoch = lease_epoch + 1, \
                                   lease_until = now_ms() + $1, worker = $2 \
                 WHERE seq = (SELECT s.seq FROM slices s JOIN jobs j ON j.seq = s.job \
                     LEFT JOIN (SELECT caller, count(*) AS running FROM slices \
                                WHERE state = 'running' GROUP BY caller) r ON r.caller = s.caller \
                     WHERE s.state = 'ready' AND j.paused = 0 AND j.state IN ('queued', 'running') \
                       AND (j.build IS NULL OR j.build = $3) AND j.kind IN ('search', 'as_built') \
                     ORDER BY j.priority, coalesce(r.running, 0), s.seq \
                     LIMIT 1 take_slice(s, j)) \
                 RETURNING seq, job, kind, epoch, island, lease_epoch",
                &[
                    Arg::Int(lease),
                    Arg::Text(&worker.name),
                    Arg::Text(&worker.build),
                ],
            )
            .await?;
        let Some(row) = rows.first() else {
            return Ok(Tried::Nothing);
        };
        let Some(pinned) = pin(&mut tx, row.int(1)?, &worker.build).await? else {
            return Ok(Tried::Pinned);
        };
        let claim = claimed(row, pinned, worker)?;
        fault_point("claim.taken", Some(claim.key));
        self.commit(tx).await?;
        fault_point("claim.committed", Some(claim.key));
        Ok(Tried::Claimed(claim))
    }

    /// Keeps the claim for another lease.
    ///
    /// # Errors
    /// [`Error::LeaseLost`] when the slice is no longer this claim's: rescued, or its job cancelled
    /// or deleted. Stop and write nothing.
    pub async fn beat(&self, claim: &Claim) -> Result<(), Error> {
        retried!(self.beat_once(claim))
    }

    async fn beat_once(&self, claim: &Claim) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let kept = tx
            .run(
                "UPDATE slices SET lease_until = now_ms() + $3 \
                 WHERE seq = $1 AND lease_epoch = $2 AND state = 'running'",
                &[
                    Arg::Int(claim.slice),
                    Arg::Int(claim.token),
                    Arg::Int(self.lease().as_millis() as i64),
                ],
            )
            .await?;
        if kept == 0 {
            return Err(Error::LeaseLost);
        }
        fault_point("beat.kept", Some(claim.key));
        // Not told to listeners: nothing changed that anybody waits for.
        tx.commit().await
    }

    /// Gives the slice back unfinished, to be claimed again at once; no attempt is used up.
    ///
    /// # Errors
    /// [`Error::LeaseLost`].
    pub async fn hand_back(&self, claim: &Claim) -> Result<(), Error> {
        retried!(self.hand_back_once(claim))
    }

    async fn hand_back_once(&self, claim: &Claim) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let given = tx
            .run(
                "UPDATE slices SET state = 'ready', lease_epoch = lease_epoch + 1, lease_until = NULL \
                 WHERE seq = $1 AND lease_epoch = $2 AND state = 'running'",
                &[Arg::Int(claim.slice), Arg::Int(claim.token)],
            )
            .await?;
        if given == 0 {
            return Err(Error::LeaseLost);
        }
        self.commit(tx).await
    }
}

/// The outcome of one try to claim.
enum Tried {
    Nothing,
    Pinned,
    Claimed(Claim),
}

/// Pins the job to this build at its first claim and answers its name; `None` when another build was
/// faster or the job has ended. Written at the first claim only, so that claims do not queue for the
/// job's row.
async fn pin(tx: &mut Tx, job: i64, build: &str) -> Result<Option<Pinned>, Error> {
    let pinned = "SELECT id, epochs, asked_epochs, kind FROM jobs \
                  WHERE seq = $1 AND state = 'running' AND build = $2";
    let args = [Arg::Int(job), Arg::Text(build)];
    let mut rows = tx.rows(pinned, &args).await?;
    if rows.is_empty() {
        let first = "UPDATE jobs SET build = $2, state = 'running', started_at = now_ms() \
                     WHERE seq = $1 AND state = 'queued' AND (build IS NULL OR build = $2)";
        if tx.run(first, &args).await? == 1 {
            events::append(tx, job, "started", b"{}").await?;
        }
        rows = tx.rows(pinned, &args).await?;
    }
    let Some(row) = rows.first() else {
        return Ok(None);
    };
    Ok(Some(Pinned {
        id: JobId::from_row(row.text(0)?),
        epochs: row.int(1)? as u32,
        stopped: row.maybe_int(2)?.is_some(),
        kind: job_kind(&row.text(3)?)?,
    }))
}

/// What a claim needs to know of its job.
struct Pinned {
    id: JobId,
    epochs: u32,
    stopped: bool,
    kind: JobKind,
}

fn claimed(row: &Row, pinned: Pinned, worker: &WorkerInfo) -> Result<Claim, Error> {
    Ok(Claim {
        job: pinned.id,
        job_kind: pinned.kind,
        epochs: pinned.epochs,
        stopped: pinned.stopped,
        kind: kind(&row.text(2)?)?,
        key: key(row, 3, 4)?,
        worker: worker.name.clone(),
        build: worker.build.clone(),
        token: row.int(5)?,
        slice: row.int(0)?,
        job_seq: row.int(1)?,
    })
}

pub(crate) fn key(row: &Row, epoch: usize, island: usize) -> Result<SliceKey, Error> {
    Ok(SliceKey {
        epoch: row.int(epoch)? as u32,
        island: row.int(island)? as u32,
    })
}

fn kind(word: &str) -> Result<SliceKind, Error> {
    let unknown = || sqlx::Error::Protocol(format!("unknown kind of slice `{word}`"));
    Ok(SliceKind::parse(word).ok_or_else(unknown)?)
}

/// The kind of a job's row that this build may work on.
pub(crate) fn job_kind(word: &str) -> Result<JobKind, Error> {
    let unknown = || sqlx::Error::Protocol(format!("unknown kind of job `{word}`"));
    Ok(JobKind::parse(word).ok_or_else(unknown)?)
}
