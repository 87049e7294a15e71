//! Taking in a job that was exported from another store: all of it in one transaction, or nothing.

use crate::db::{Arg, Tx, retried};
use crate::error::Error;
use crate::export::{Exported, ExportedCheckpoint};
use crate::ids::JobId;
use crate::kind::JobKind;
use crate::labels;
use crate::life::check_keep_days;
use crate::model::{Event, Job};
use crate::store::{Store, sha256_hex};
use crate::submit::priority_number;
use crate::text::refuse_zero;
use crate::words::JobState;

impl Store {
    /// Keeps the job under its own id, with nothing changed but that it says when it came here.
    ///
    /// # Errors
    /// [`Error::Refused`] when a job of this id is here; [`Error::Invalid`] with the field for what
    /// can't be the whole of a finished job. Nothing is written then.
    pub async fn import(&self, exported: &Exported) -> Result<JobId, Error> {
        check(exported)?;
        retried!(self.import_once(exported))?;
        Ok(exported.job.id.clone())
    }

    async fn import_once(&self, exported: &Exported) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let outcome = take_in(&mut tx, exported).await;
        self.settle(tx, outcome).await
    }
}

async fn take_in(tx: &mut Tx, exported: &Exported) -> Result<(), Error> {
    let job = insert_job(tx, exported).await?;
    labels::add(tx, job, &exported.job.labels).await?;
    for event in &exported.events {
        insert_event(tx, job, event).await?;
    }
    for checkpoint in &exported.checkpoints {
        insert_checkpoint(tx, job, checkpoint).await?;
    }
    let Some(result) = &exported.result else {
        return Ok(());
    };
    tx.run(
        "INSERT INTO results (job, front, front_sha256, published_at) VALUES ($1, $2, $3, $4)",
        &[
            Arg::Int(job),
            Arg::Bytes(&result.front.body),
            Arg::Text(&result.front.sha256),
            Arg::Int(result.front.published_at),
        ],
    )
    .await?;
    for (number, body) in result.candidates.iter().enumerate() {
        tx.run(
            "INSERT INTO candidates (job, number, body) VALUES ($1, $2, $3)",
            &[Arg::Int(job), Arg::Int(number as i64), Arg::Bytes(body)],
        )
        .await?;
    }
    Ok(())
}

/// The row's number. The id decides between two imports of one job, and between an import and a job
/// that is here.
async fn insert_job(tx: &mut Tx, exported: &Exported) -> Result<i64, Error> {
    let (job, inputs) = (&exported.job, &exported.inputs);
    let rows = tx
        .rows(
            "INSERT INTO jobs (id, caller, kind, name, priority, state, paused, reason, input, \
                 input_sha256, starts, islands, epochs, asked_epochs, first_epoch, planned, build, \
                 parent, progress, last_event, keep_days, created_at, started_at, finished_at, \
                 imported_at) \
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, \
                 $18, $19, $20, $21, $22, $23, $24, now_ms()) \
             ON CONFLICT (id) DO NOTHING RETURNING seq",
            &[
                Arg::Text(job.id.as_str()),
                Arg::Text(&job.caller),
                Arg::Text(&job.kind),
                Arg::Text(&job.name),
                Arg::Int(priority_number(job.priority)),
                Arg::Text(job.state.as_str()),
                Arg::Int(i64::from(job.paused)),
                Arg::MaybeText(job.reason.as_deref()),
                Arg::Bytes(&inputs.input),
                Arg::Text(&job.input_sha256),
                Arg::MaybeBytes(inputs.starts.as_deref()),
                Arg::Int(i64::from(job.islands)),
                Arg::Int(i64::from(job.epochs)),
                Arg::MaybeInt(job.asked_epochs.map(i64::from)),
                Arg::Int(i64::from(job.first_epoch)),
                Arg::Int(job.planned as i64),
                Arg::MaybeText(job.build.as_deref()),
                Arg::MaybeText(job.parent.as_ref().map(JobId::as_str)),
                Arg::MaybeBytes(job.progress.as_deref()),
                Arg::Int(job.last_event as i64),
                Arg::MaybeInt(job.keep_days.map(i64::from)),
                Arg::Int(job.created_at),
                Arg::MaybeInt(job.started_at),
                Arg::MaybeInt(job.finished_at),
            ],
        )
        .await?;
    let row = rows.first().ok_or_else(|| Error::Refused {
        reason: format!(
            "job {} is here already; delete it first to take it in again",
            job.id
        ),
    })?;
    row.int(0)
}

async fn insert_event(tx: &mut Tx, job: i64, event: &Event) -> Result<(), Error> {
    tx.run(
        "INSERT INTO events (job, number, kind, at, body) VALUES ($1, $2, $3, $4, $5)",
        &[
            Arg::Int(job),
            Arg::Int(event.number as i64),
            Arg::Text(&event.kind),
            Arg::Int(event.at),
            Arg::Bytes(&event.body),
        ],
    )
    .await?;
    Ok(())
}

async fn insert_checkpoint(
    tx: &mut Tx,
    job: i64,
    checkpoint: &ExportedCheckpoint,
) -> Result<(), Error> {
    tx.run(
        "INSERT INTO checkpoints (job, island, epoch, build, sha256, readers, bytes) \
         VALUES ($1, $2, $3, $4, $5, 1, $6)",
        &[
            Arg::Int(job),
            Arg::Int(i64::from(checkpoint.key.island)),
            Arg::Int(i64::from(checkpoint.key.epoch)),
            Arg::Text(&checkpoint.build),
            Arg::Text(&sha256_hex(&checkpoint.bytes)),
            Arg::Bytes(&checkpoint.bytes),
        ],
    )
    .await?;
    Ok(())
}

/// Refuses what no export of a finished job holds, so that what is kept can be read like any job.
fn check(exported: &Exported) -> Result<(), Error> {
    let job = &exported.job;
    require(job.state.is_final(), "state", || {
        format!(
            "`{}`; done, failed or cancelled are allowed",
            job.state.as_str()
        )
    })?;
    require(JobKind::parse(&job.kind).is_some(), "kind", || {
        format!("`{}`; this build knows no such kind of job", job.kind)
    })?;
    require(job.islands > 0, "islands", || {
        "0; at least 1 is needed".into()
    })?;
    require(job.epochs > 0, "epochs", || {
        "0; at least 1 is needed".into()
    })?;
    require(job.finished_at.is_some(), "finished_at", || {
        "it is missing".into()
    })?;
    require(job.planned <= i64::MAX as u64, "planned", || {
        job.planned.to_string()
    })?;
    let published = exported.result.is_some() == (job.state == JobState::Done);
    require(published, "front", || {
        format!(
            "a job that is {} has one just when it is done",
            job.state.as_str()
        )
    })?;
    check_texts(job)?;
    check_keep_days(job.keep_days)?;
    labels::check(&job.labels)?;
    check_events(job, &exported.events)?;
    check_checkpoints(job, &exported.checkpoints)?;
    match exported.damaged() {
        None => Ok(()),
        Some(field) => require(false, field, || "it does not match its SHA-256".into()),
    }
}

fn check_texts(job: &Job) -> Result<(), Error> {
    refuse_zero("caller", &job.caller)?;
    refuse_zero("name", &job.name)?;
    refuse_zero("reason", job.reason.as_deref().unwrap_or_default())?;
    refuse_zero("build", job.build.as_deref().unwrap_or_default())
}

fn check_events(job: &Job, events: &[Event]) -> Result<(), Error> {
    for (event, number) in events.iter().zip(1..) {
        require(event.number == number, "events", || {
            format!("number {} where {number} is due", event.number)
        })?;
        refuse_zero("events", &event.kind)?;
    }
    require(events.len() as u64 == job.last_event, "events", || {
        format!("{} of them; the job has {}", events.len(), job.last_event)
    })
}

fn check_checkpoints(job: &Job, kept: &[ExportedCheckpoint]) -> Result<(), Error> {
    let ascending = kept.windows(2).all(|pair| pair[0].key < pair[1].key);
    require(ascending, "checkpoints", || {
        "one stands twice, or they are out of order".into()
    })?;
    for checkpoint in kept {
        let key = checkpoint.key;
        let known = key.epoch < job.epochs && key.island < job.islands;
        require(known, "checkpoints", || {
            format!(
                "epoch {}, island {}; the job has {} epochs of {} islands",
                key.epoch, key.island, job.epochs, job.islands
            )
        })?;
        refuse_zero("checkpoints", &checkpoint.build)?;
    }
    Ok(())
}

fn require(
    holds: bool,
    field: &'static str,
    message: impl FnOnce() -> String,
) -> Result<(), Error> {
    if holds {
        return Ok(());
    }
    let message = message();
    Err(Error::Invalid { field, message })
}
