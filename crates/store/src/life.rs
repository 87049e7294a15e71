//! What callers may do to jobs.

use crate::complete::drop_unfinished;
use crate::db::{Arg, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::ids::JobId;
use crate::jobs::unknown;
use crate::labels;
use crate::model::Job;
use crate::store::Store;
use crate::submit::priority_number;
use crate::words::{JobState, Priority};

/// A hundred years.
const MOST_KEEP_DAYS: u32 = 36_500;

impl Store {
    /// Stops a job for good. Cancelling a cancelled job changes nothing.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Finished`] when it was done or had failed before.
    pub async fn cancel(&self, id: &JobId) -> Result<Job, Error> {
        retried!(self.cancel_once(id))?;
        self.job(id).await
    }

    async fn cancel_once(&self, id: &JobId) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let locked = "SELECT seq FROM jobs WHERE id = $1 lock_alone()";
        tx.rows(locked, &[Arg::Text(id.as_str())]).await?;
        let rows = tx
            .rows(
                "UPDATE jobs SET state = 'cancelled', finished_at = now_ms() \
                 WHERE id = $1 AND state IN ('queued', 'running') RETURNING seq",
                &[Arg::Text(id.as_str())],
            )
            .await?;
        let Some(row) = rows.first() else {
            return match state_of(&mut tx, id).await? {
                JobState::Cancelled => Ok(()),
                state => Err(Error::Finished {
                    id: id.clone(),
                    state: state.as_str(),
                    request: "cancel",
                }),
            };
        };
        let seq = row.int(0)?;
        drop_unfinished(&mut tx, seq).await?;
        events::append(&mut tx, seq, "cancelled", b"{}").await?;
        self.commit(tx).await
    }

    /// Blocks claims on the job, or allows them again. Slices that are running go on to their end.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Finished`].
    pub async fn set_paused(&self, id: &JobId, paused: bool) -> Result<Job, Error> {
        retried!(self.set_paused_once(id, paused))?;
        self.job(id).await
    }

    async fn set_paused_once(&self, id: &JobId, paused: bool) -> Result<(), Error> {
        let (request, word) = if paused {
            ("pause", "paused")
        } else {
            ("resume", "resumed")
        };
        let mut tx = self.begin().await?;
        let seq = open_job(&mut tx, id, request).await?;
        let changed = tx
            .run(
                "UPDATE jobs SET paused = $2 WHERE seq = $1 AND paused <> $2",
                &[Arg::Int(seq), Arg::Int(i64::from(paused))],
            )
            .await?;
        if changed == 0 {
            return Ok(());
        }
        events::append(&mut tx, seq, word, b"{}").await?;
        self.commit(tx).await
    }

    /// Moves the job to another class; slices that are running are not touched.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Finished`].
    pub async fn set_priority(&self, id: &JobId, priority: Priority) -> Result<Job, Error> {
        retried!(self.set_priority_once(id, priority))?;
        self.job(id).await
    }

    async fn set_priority_once(&self, id: &JobId, priority: Priority) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let seq = open_job(&mut tx, id, "change of priority").await?;
        tx.run(
            "UPDATE jobs SET priority = $2 WHERE seq = $1",
            &[Arg::Int(seq), Arg::Int(priority_number(priority))],
        )
        .await?;
        self.commit(tx).await
    }

    /// Days that the job is kept after its end, finished or not; `None` keeps it until it is deleted.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Invalid`] for 0.
    pub async fn set_keep_days(&self, id: &JobId, days: Option<u32>) -> Result<Job, Error> {
        check_keep_days(days)?;
        retried!(self.set_keep_days_once(id, days))?;
        self.job(id).await
    }

    async fn set_keep_days_once(&self, id: &JobId, days: Option<u32>) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let changed = tx
            .run(
                "UPDATE jobs SET keep_days = $2 WHERE id = $1",
                &[Arg::Text(id.as_str()), Arg::MaybeInt(days.map(i64::from))],
            )
            .await?;
        if changed == 0 {
            return Err(unknown(id));
        }
        self.commit(tx).await
    }

    /// Gives the job exactly these labels, finished or not.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Invalid`].
    pub async fn set_labels(&self, id: &JobId, labels: &[String]) -> Result<Job, Error> {
        labels::check(labels)?;
        retried!(self.set_labels_once(id, labels))?;
        self.job(id).await
    }

    async fn set_labels_once(&self, id: &JobId, labels: &[String]) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let rows = tx
            .rows(
                "SELECT seq FROM jobs WHERE id = $1",
                &[Arg::Text(id.as_str())],
            )
            .await?;
        let seq = rows.first().ok_or_else(|| unknown(id))?.int(0)?;
        labels::replace(&mut tx, seq, labels).await?;
        self.commit(tx).await
    }

    /// Deletes a job with all that belongs to it, in whatever state; workers on it lose their leases.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn delete(&self, id: &JobId) -> Result<(), Error> {
        retried!(self.delete_once(id))
    }

    async fn delete_once(&self, id: &JobId) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        if tx
            .run("DELETE FROM jobs WHERE id = $1", &[Arg::Text(id.as_str())])
            .await?
            == 0
        {
            return Err(unknown(id));
        }
        self.commit(tx).await
    }

    /// Deletes finished jobs whose days to be kept are over, at most 100; answers how many.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn delete_expired(&self) -> Result<u64, Error> {
        retried!(self.delete_expired_once())
    }

    async fn delete_expired_once(&self) -> Result<u64, Error> {
        let mut tx = self.begin().await?;
        let deleted = tx
            .run(
                "DELETE FROM jobs WHERE seq IN (SELECT seq FROM jobs WHERE keep_days IS NOT NULL \
                 AND coalesce(imported_at, finished_at) < now_ms() - keep_days * 86400000 ORDER BY seq LIMIT 100)",
                &[],
            )
            .await?;
        if deleted > 0 {
            self.commit(tx).await?;
        }
        Ok(deleted)
    }
}

/// The sequence number of a job that is not finished.
pub(crate) async fn open_job(tx: &mut Tx, id: &JobId, request: &'static str) -> Result<i64, Error> {
    let state = state_of(tx, id).await?;
    if state.is_final() {
        return Err(Error::Finished {
            id: id.clone(),
            state: state.as_str(),
            request,
        });
    }
    let rows = tx
        .rows(
            "SELECT seq FROM jobs WHERE id = $1",
            &[Arg::Text(id.as_str())],
        )
        .await?;
    rows.first().ok_or_else(|| unknown(id))?.int(0)
}

async fn state_of(tx: &mut Tx, id: &JobId) -> Result<JobState, Error> {
    let rows = tx
        .rows(
            "SELECT state FROM jobs WHERE id = $1",
            &[Arg::Text(id.as_str())],
        )
        .await?;
    let word = rows.first().ok_or_else(|| unknown(id))?.text(0)?;
    Ok(JobState::parse(&word)
        .ok_or_else(|| sqlx::Error::Protocol(format!("unknown state of a job `{word}`")))?)
}

/// Refuses what the store would not take; absent is no limit.
pub(crate) fn check_keep_days(days: Option<u32>) -> Result<(), Error> {
    match days {
        Some(days) if !(1..=MOST_KEEP_DAYS).contains(&days) => Err(Error::Invalid {
            field: "keep_days",
            message: format!("{days}; 1 to {MOST_KEEP_DAYS} are allowed"),
        }),
        _ => Ok(()),
    }
}
