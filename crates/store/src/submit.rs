//! Taking a job in: the job, its labels and its first slices in one transaction.

use crate::db::{Arg, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::ids::JobId;
use crate::labels;
use crate::life::check_keep_days;
use crate::model::{NewJob, Submitted};
use crate::store::{Store, sha256_hex};
use crate::text::refuse_zero;
use crate::words::Priority;

/// Longest idempotency key, in bytes.
const KEY_BYTES: usize = 200;

impl Store {
    /// Keeps a job and makes its slices of epoch 0 ready.
    ///
    /// With an idempotency key, the same caller, key and input give the first job back.
    ///
    /// # Errors
    /// [`Error::KeyReused`] for the same key with another input, [`Error::TooManyJobs`] when the
    /// caller's open jobs reach the limit, [`Error::Invalid`] for a value out of range.
    pub async fn submit(&self, job: &NewJob) -> Result<Submitted, Error> {
        check(job)?;
        let digest = sha256_hex(&job.input);
        retried!(self.submit_once(job, &digest))
    }

    async fn submit_once(&self, job: &NewJob, digest: &str) -> Result<Submitted, Error> {
        let mut tx = self.begin().await?;
        if let Some(first) = first_under_key(&mut tx, job, digest).await? {
            return Ok(Submitted {
                id: first,
                created: false,
            });
        }
        self.limit_open_jobs(&mut tx, &job.caller).await?;
        let (seq, id) = insert_job(&mut tx, job, digest).await?;
        labels::add(&mut tx, seq, &job.labels).await?;
        insert_first_slices(&mut tx, seq, job).await?;
        events::append(&mut tx, seq, "submitted", b"{}").await?;
        tx.tell_submitted().await?;
        self.commit(tx).await?;
        Ok(Submitted { id, created: true })
    }

    pub(crate) async fn limit_open_jobs(&self, tx: &mut Tx, caller: &str) -> Result<(), Error> {
        let limit = u64::from(self.options().open_jobs);
        let rows = tx
            .rows(
                "SELECT count(*) FROM jobs WHERE state IN ('queued', 'running') AND caller = $1",
                &[Arg::Text(caller)],
            )
            .await?;
        let open = rows.first().map_or(Ok(0), |row| row.int(0))? as u64;
        if open >= limit {
            Err(Error::TooManyJobs { open, limit })
        } else {
            Ok(())
        }
    }
}

pub(crate) fn check(job: &NewJob) -> Result<(), Error> {
    for (field, count) in [("islands", job.islands), ("epochs", job.epochs)] {
        if count == 0 {
            return Err(Error::Invalid {
                field,
                message: "0; at least 1 is needed".to_owned(),
            });
        }
    }
    if let Some(key) = &job.idempotency_key
        && (key.is_empty() || key.len() > KEY_BYTES)
    {
        let message = format!("{} bytes; 1 to {KEY_BYTES} are allowed", key.len());
        return Err(Error::Invalid {
            field: "idempotency_key",
            message,
        });
    }
    check_keep_days(job.keep_days)?;
    refuse_zero("caller", &job.caller)?;
    refuse_zero("name", &job.name)?;
    refuse_zero(
        "idempotency_key",
        job.idempotency_key.as_deref().unwrap_or_default(),
    )?;
    labels::check(&job.labels)
}

pub(crate) async fn first_under_key(
    tx: &mut Tx,
    job: &NewJob,
    digest: &str,
) -> Result<Option<JobId>, Error> {
    let Some(key) = &job.idempotency_key else {
        return Ok(None);
    };
    let rows = tx
        .rows(
            "SELECT id, input_sha256 FROM jobs WHERE caller = $1 AND idempotency_key = $2",
            &[Arg::Text(&job.caller), Arg::Text(key)],
        )
        .await?;
    let Some(row) = rows.first() else {
        return Ok(None);
    };
    let first = JobId::from_row(row.text(0)?);
    if row.text(1)? == digest {
        Ok(Some(first))
    } else {
        Err(Error::KeyReused { first })
    }
}

pub(crate) async fn insert_job(
    tx: &mut Tx,
    job: &NewJob,
    digest: &str,
) -> Result<(i64, JobId), Error> {
    let rows = tx
        .rows(
            "INSERT INTO jobs (id, caller, name, priority, input, input_sha256, idempotency_key, \
                               islands, epochs, planned, parent, keep_days, starts, kind, created_at) \
             VALUES (random_id(), $1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, now_ms()) \
             RETURNING seq, id",
            &[
                Arg::Text(&job.caller),
                Arg::Text(&job.name),
                Arg::Int(priority_number(job.priority)),
                Arg::Bytes(&job.input),
                Arg::Text(digest),
                Arg::MaybeText(job.idempotency_key.as_deref()),
                Arg::Int(i64::from(job.islands)),
                Arg::Int(i64::from(job.epochs)),
                Arg::Int(job.planned as i64),
                Arg::MaybeText(job.parent.as_ref().map(JobId::as_str)),
                Arg::MaybeInt(job.keep_days.map(i64::from)),
                Arg::MaybeBytes(job.starts.as_deref()),
                Arg::Text(job.kind.as_str()),
            ],
        )
        .await?;
    let row = rows.first().ok_or(sqlx::Error::RowNotFound)?;
    Ok((row.int(0)?, JobId::from_row(row.text(1)?)))
}

/// One statement for all of them: a submission should not wait for the database once an island.
async fn insert_first_slices(tx: &mut Tx, seq: i64, job: &NewJob) -> Result<(), Error> {
    tx.run(
        "WITH RECURSIVE islands (island) AS \
             (SELECT CAST(0 AS BIGINT) UNION ALL SELECT island + 1 FROM islands WHERE island + 1 < $4) \
         INSERT INTO slices (job, caller, kind, island, epoch, inputs, arrived, state) \
         SELECT $1, $2, $3, island, 0, 0, 0, 'ready' FROM islands ORDER BY island",
        &[
            Arg::Int(seq),
            Arg::Text(&job.caller),
            Arg::Text(job.kind.slices().as_str()),
            Arg::Int(i64::from(job.islands)),
        ],
    )
    .await?;
    Ok(())
}

/// The class as the database keeps it: lower runs first.
pub(crate) fn priority_number(priority: Priority) -> i64 {
    match priority {
        Priority::Urgent => 0,
        Priority::Normal => 1,
        Priority::Background => 2,
    }
}
