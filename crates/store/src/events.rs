//! What happened to a job, numbered from 1 without gaps.

use crate::db::{Arg, Row, Tx, retried};
use crate::error::Error;
use crate::ids::JobId;
use crate::model::{Claim, Event};
use crate::store::Store;

/// Progress is written at most this often for one job, in milliseconds.
const PROGRESS_EVERY_MS: i64 = 1_000;

impl Store {
    /// The job's events with numbers above `after`, oldest first, at most `limit` (1 to 1,000).
    ///
    /// # Errors
    /// [`Error::NotFound`] for a job that does not exist.
    pub async fn events(&self, job: &JobId, after: u64, limit: u32) -> Result<Vec<Event>, Error> {
        let seq = self.job_seq(job).await?;
        let rows = self
            .read(
                "SELECT number, kind, at, body FROM events WHERE job = $1 AND number > $2 \
                 ORDER BY number LIMIT $3",
                &[
                    Arg::Int(seq),
                    Arg::Int(after.min(i64::MAX as u64) as i64),
                    Arg::Int(i64::from(limit.clamp(1, 1_000))),
                ],
            )
            .await?;
        rows.iter().map(event).collect()
    }

    /// Keeps a progress record as the job's newest and as an event, unless one was written within
    /// the last second: then nothing is written and the answer is `false`.
    ///
    /// # Errors
    /// [`Error::LeaseLost`].
    pub async fn progress(&self, claim: &Claim, body: &[u8]) -> Result<bool, Error> {
        retried!(self.progress_once(claim, body))
    }

    async fn progress_once(&self, claim: &Claim, body: &[u8]) -> Result<bool, Error> {
        let mut tx = self.begin().await?;
        let held =
            "SELECT seq FROM slices WHERE seq = $1 AND lease_epoch = $2 AND state = 'running'";
        if tx
            .rows(held, &[Arg::Int(claim.slice), Arg::Int(claim.token)])
            .await?
            .is_empty()
        {
            return Err(Error::LeaseLost);
        }
        let written = tx
            .run(
                "UPDATE jobs SET progress = $2, progress_at = now_ms() \
                 WHERE seq = $1 AND state = 'running' AND progress_at <= now_ms() - $3",
                &[
                    Arg::Int(claim.job_seq),
                    Arg::Bytes(body),
                    Arg::Int(PROGRESS_EVERY_MS),
                ],
            )
            .await?;
        if written == 0 {
            return Ok(false);
        }
        append(&mut tx, claim.job_seq, "progress", body).await?;
        self.commit(tx).await?;
        Ok(true)
    }

    /// Evaluations of the job's finished slices.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn evaluations(&self, claim: &Claim) -> Result<u64, Error> {
        let row = self
            .one(
                "SELECT CAST(coalesce(sum(evaluations), 0) AS BIGINT) FROM slices \
                 WHERE job = $1 AND state = 'done'",
                &[Arg::Int(claim.job_seq)],
            )
            .await?;
        Ok(row.map_or(Ok(0), |row| row.int(0))? as u64)
    }
}

/// Writes an event under the next number. The update locks the job's row, so numbers are given in
/// the order of commits and a reader that has seen one has seen all before it.
pub(crate) async fn append(tx: &mut Tx, job: i64, kind: &str, body: &[u8]) -> Result<(), Error> {
    let rows = tx
        .rows(
            "UPDATE jobs SET last_event = last_event + 1 WHERE seq = $1 RETURNING last_event",
            &[Arg::Int(job)],
        )
        .await?;
    // A claim may outlive its job, which a caller may delete at any time.
    let number = rows.first().ok_or(Error::LeaseLost)?.int(0)?;
    tx.run(
        "INSERT INTO events (job, number, kind, at, body) VALUES ($1, $2, $3, now_ms(), $4)",
        &[
            Arg::Int(job),
            Arg::Int(number),
            Arg::Text(kind),
            Arg::Bytes(body),
        ],
    )
    .await?;
    Ok(())
}

fn event(row: &Row) -> Result<Event, Error> {
    Ok(Event {
        number: row.int(0)? as u64,
        kind: row.text(1)?,
        at: row.int(2)?,
        body: row.bytes(3)?,
    })
}
