//! Reading jobs, and what callers may do to them.

use crate::complete::drop_unfinished;
use crate::db::{Arg, Row, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::ids::JobId;
use crate::labels;
use crate::model::{Job, JobFilter, JobInput, JobState, Page, Priority};
use crate::store::Store;
use crate::submit::priority_number;
use crate::text::refuse_zero;

/// The columns of [`job`], without labels: those come in a query of their own, since the engines
/// gather them differently.
macro_rules! job_columns {
    () => {
        "SELECT seq, id, caller, name, priority, state, paused, reason, input_sha256, islands, epochs, \
                planned, build, parent, progress, last_event, keep_days, created_at, started_at, \
                finished_at, asked_epochs, first_epoch FROM jobs "
    };
}

const PAGE: u32 = 50;
const LARGEST_PAGE: u32 = 200;
/// A hundred years.
const MOST_KEEP_DAYS: u32 = 36_500;

impl Store {
    /// One job.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn job(&self, id: &JobId) -> Result<Job, Error> {
        let row = self
            .one(
                concat!(job_columns!(), "WHERE id = $1"),
                &[Arg::Text(id.as_str())],
            )
            .await?
            .ok_or_else(|| unknown(id))?;
        self.job_of(&row).await
    }

    /// The bytes that the caller sent.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn input(&self, id: &JobId) -> Result<Vec<u8>, Error> {
        self.one(
            "SELECT input FROM jobs WHERE id = $1",
            &[Arg::Text(id.as_str())],
        )
        .await?
        .ok_or_else(|| unknown(id))?
        .bytes(0)
    }

    /// All that the job is a function of, beside the build.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn inputs(&self, id: &JobId) -> Result<JobInput, Error> {
        let row = self
            .one(
                "SELECT input, starts FROM jobs WHERE id = $1",
                &[Arg::Text(id.as_str())],
            )
            .await?
            .ok_or_else(|| unknown(id))?;
        Ok(JobInput {
            input: row.bytes(0)?,
            starts: row.maybe_bytes(1)?,
        })
    }

    /// Jobs, newest first. The cursor of a page stays good while jobs come and go.
    ///
    /// # Errors
    /// [`Error::Invalid`] for a cursor or a limit that can't be.
    pub async fn jobs(&self, filter: &JobFilter) -> Result<Page, Error> {
        let before = cursor(filter.cursor.as_deref())?;
        let limit = page_size(filter.limit)?;
        for (field, text) in [
            ("caller", &filter.caller),
            ("label", &filter.label),
            ("name", &filter.name),
        ] {
            refuse_zero(field, text.as_deref().unwrap_or_default())?;
        }
        let rows = self
            .read(
                concat!(
                    job_columns!(),
                    "WHERE seq < $1 AND ($2 IS NULL OR caller = $2) AND ($3 IS NULL OR state = $3) \
                     AND ($4 IS NULL OR EXISTS \
                         (SELECT 1 FROM labels l WHERE l.job = jobs.seq AND l.label = $4)) \
                     AND ($5 IS NULL OR lower(name) LIKE $5 ESCAPE '\\') \
                     AND ($6 IS NULL OR parent = $6) \
                     ORDER BY seq DESC LIMIT $7"
                ),
                &[
                    Arg::Int(before),
                    Arg::MaybeText(filter.caller.as_deref()),
                    Arg::MaybeText(filter.state.map(JobState::as_str)),
                    Arg::MaybeText(filter.label.as_deref()),
                    Arg::MaybeText(filter.name.as_deref().map(contains).as_deref()),
                    Arg::MaybeText(filter.parent.as_ref().map(JobId::as_str)),
                    // One more than shown tells whether there is another page.
                    Arg::Int(i64::from(limit) + 1),
                ],
            )
            .await?;
        let shown = &rows[..rows.len().min(limit as usize)];
        let mut jobs = Vec::with_capacity(shown.len());
        for row in shown {
            jobs.push(self.job_of(row).await?);
        }
        let more = rows.len() > shown.len();
        let next = match shown.last() {
            Some(last) if more => Some(last.int(0)?.to_string()),
            _ => None,
        };
        Ok(Page { jobs, next })
    }

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
                 AND finished_at < now_ms() - keep_days * 86400000 ORDER BY seq LIMIT 100)",
                &[],
            )
            .await?;
        if deleted > 0 {
            self.commit(tx).await?;
        }
        Ok(deleted)
    }

    pub(crate) async fn job_seq(&self, id: &JobId) -> Result<i64, Error> {
        self.one(
            "SELECT seq FROM jobs WHERE id = $1",
            &[Arg::Text(id.as_str())],
        )
        .await?
        .ok_or_else(|| unknown(id))?
        .int(0)
    }

    async fn job_of(&self, row: &Row) -> Result<Job, Error> {
        let labels = self
            .read(
                "SELECT label FROM labels WHERE job = $1 ORDER BY label",
                &[Arg::Int(row.int(0)?)],
            )
            .await?;
        let labels = labels
            .iter()
            .map(|row| row.text(0))
            .collect::<Result<_, _>>()?;
        job(row, labels)
    }
}

fn job(row: &Row, labels: Vec<String>) -> Result<Job, Error> {
    let word = row.text(5)?;
    let state = JobState::parse(&word)
        .ok_or_else(|| sqlx::Error::Protocol(format!("unknown state of a job `{word}`")))?;
    let class = row.int(4)?;
    let priority = Priority::ALL
        .into_iter()
        .find(|priority| priority_number(*priority) == class);
    Ok(Job {
        id: JobId::from_row(row.text(1)?),
        caller: row.text(2)?,
        name: row.text(3)?,
        labels,
        priority: priority.unwrap_or_default(),
        state,
        paused: row.int(6)? != 0,
        reason: row.maybe_text(7)?,
        input_sha256: row.text(8)?,
        islands: row.int(9)? as u32,
        epochs: row.int(10)? as u32,
        planned: row.int(11)? as u64,
        build: row.maybe_text(12)?,
        parent: row.maybe_text(13)?.map(JobId::from_row),
        progress: row.maybe_bytes(14)?,
        last_event: row.int(15)? as u64,
        keep_days: row.maybe_int(16)?.map(|days| days as u32),
        created_at: row.int(17)?,
        started_at: row.maybe_int(18)?,
        finished_at: row.maybe_int(19)?,
        asked_epochs: row.maybe_int(20)?.map(|epochs| epochs as u32),
        first_epoch: row.int(21)? as u32,
    })
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

fn unknown(id: &JobId) -> Error {
    Error::NotFound {
        what: format!("job {id}"),
    }
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

/// A cursor is the sequence number of the last job shown.
fn cursor(text: Option<&str>) -> Result<i64, Error> {
    let Some(text) = text else {
        return Ok(i64::MAX);
    };
    match text.parse::<i64>() {
        Ok(number) if number > 0 => Ok(number),
        _ => {
            let message = "not a cursor of this list; take it from the page before".to_owned();
            Err(Error::Invalid {
                field: "cursor",
                message,
            })
        }
    }
}

fn page_size(limit: u32) -> Result<u32, Error> {
    match limit {
        0 => Ok(PAGE),
        1..=LARGEST_PAGE => Ok(limit),
        _ => {
            let message = format!("{limit}; 1 to {LARGEST_PAGE} are allowed");
            Err(Error::Invalid {
                field: "limit",
                message,
            })
        }
    }
}

/// A pattern for text that contains this one, its own wildcards taken literally.
fn contains(text: &str) -> String {
    let mut pattern = String::from("%");
    for letter in text.to_ascii_lowercase().chars() {
        if matches!(letter, '%' | '_' | '\\') {
            pattern.push('\\');
        }
        pattern.push(letter);
    }
    pattern.push('%');
    pattern
}
