//! Going on with what is stored: a longer run of a finished job, and an open job from its beginning.

use crate::border::cut;
use crate::checkpoints::{extent, make_ready};
use crate::complete::lock_job;
use crate::db::{Arg, Row, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::ids::JobId;
use crate::labels;
use crate::model::{Job, NewJob, Submitted};
use crate::store::{Store, sha256_hex};
use crate::submit::{check, first_under_key, insert_job};
use crate::words::JobState;

impl Store {
    /// Makes a job that goes on from the last checkpoints of a finished one: `job` with all the
    /// epochs of the longer run, of which the finished job's are not computed again. It is pinned to
    /// the build of these checkpoints, which must be `build`.
    ///
    /// # Errors
    /// [`Error::Refused`] with the reason when the job is not done, its checkpoints are gone or
    /// damaged, its build or islands are other ones, or no epoch would be added; otherwise as
    /// [`Store::submit`].
    pub async fn extend(&self, of: &JobId, build: &str, job: &NewJob) -> Result<Submitted, Error> {
        check(job)?;
        let digest = sha256_hex(&job.input);
        retried!(self.extend_once(of, build, job, &digest))
    }

    async fn extend_once(
        &self,
        of: &JobId,
        build: &str,
        job: &NewJob,
        digest: &str,
    ) -> Result<Submitted, Error> {
        let mut tx = self.begin().await?;
        if let Some(first) = first_under_key(&mut tx, job, digest).await? {
            return Ok(Submitted {
                id: first,
                created: false,
            });
        }
        let outcome = self.extend_in(&mut tx, of, build, job, digest).await;
        let id = self.settle(tx, outcome).await?;
        Ok(Submitted { id, created: true })
    }

    async fn extend_in(
        &self,
        tx: &mut Tx,
        of: &JobId,
        build: &str,
        job: &NewJob,
        digest: &str,
    ) -> Result<JobId, Error> {
        let (old, epochs) = finished(tx, of, build, job).await?;
        whole(tx, of, old, epochs, job.islands).await?;
        self.limit_open_jobs(tx, &job.caller).await?;
        let (seq, id) = insert_job(tx, job, digest).await?;
        labels::add(tx, seq, &job.labels).await?;
        take_checkpoints(tx, seq, old, epochs, build, job.islands).await?;
        let (islands, all) = (i64::from(job.islands), i64::from(job.epochs));
        make_ready(tx, seq, islands, epochs, all).await?;
        let body = format!("{{\"extends\":\"{of}\",\"from_epoch\":{epochs}}}");
        events::append(tx, seq, "submitted", body.as_bytes()).await?;
        tx.tell_submitted().await?;
        Ok(id)
    }

    /// Starts an open job again from its seed, on whatever build claims it next. What it had computed
    /// is discarded, and all claims on it are void.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Finished`].
    pub async fn restart(&self, id: &JobId) -> Result<Job, Error> {
        retried!(self.restart_once(id))?;
        self.job(id).await
    }

    async fn restart_once(&self, id: &JobId) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let outcome = restart_in(&mut tx, id).await;
        self.settle(tx, outcome).await
    }
}

async fn restart_in(tx: &mut Tx, id: &JobId) -> Result<(), Error> {
    let seq = crate::life::open_job(tx, id, "restart").await?;
    lock_job(tx, seq).await?;
    // Once more, now that nobody else can end it.
    crate::life::open_job(tx, id, "restart").await?;
    let before = tx
        .rows("SELECT build FROM jobs WHERE seq = $1", &[Arg::Int(seq)])
        .await?;
    let build = before.first().ok_or(Error::LeaseLost)?.maybe_text(0)?;
    cut(tx, seq, 0).await?;
    tx.run(
        "UPDATE jobs SET state = 'queued', build = NULL, started_at = NULL, progress = NULL, \
             first_epoch = 0, epochs = coalesce(asked_epochs, epochs), asked_epochs = NULL \
         WHERE seq = $1",
        &[Arg::Int(seq)],
    )
    .await?;
    let (islands, epochs) = extent(tx, seq).await?;
    make_ready(tx, seq, islands, 0, epochs).await?;
    let build = build.map_or("null".to_owned(), |build| format!("\"{build}\""));
    let body = format!("{{\"build_before\":{build}}}");
    events::append(tx, seq, "restarted", body.as_bytes()).await?;
    tx.tell_submitted().await
}

/// The finished job's number and epochs, when a longer run can go on from it.
async fn finished(tx: &mut Tx, of: &JobId, build: &str, job: &NewJob) -> Result<(i64, i64), Error> {
    let rows = tx
        .rows(
            "SELECT seq, state, build, islands, epochs FROM jobs WHERE id = $1",
            &[Arg::Text(of.as_str())],
        )
        .await?;
    let row: &Row = rows.first().ok_or_else(|| Error::NotFound {
        what: format!("job {of}"),
    })?;
    let (state, theirs) = (row.text(1)?, row.maybe_text(2)?.unwrap_or_default());
    let epochs = row.int(4)?;
    if state != JobState::Done.as_str() {
        return refuse(format!(
            "job {of} is {state}; only a job that is done can be extended"
        ));
    }
    if theirs != build {
        return refuse(format!(
            "job {of} was computed by build {theirs}, and this is {build}: equal results are \
             promised for one build only; submit it as a new job instead"
        ));
    }
    if row.int(3)? != i64::from(job.islands) || epochs >= i64::from(job.epochs) {
        return refuse(format!(
            "job {of} has {} islands and {epochs} epochs; a longer run has as many islands and \
             more epochs, not {} and {}",
            row.int(3)?,
            job.islands,
            job.epochs
        ));
    }
    Ok((row.int(0)?, epochs))
}

fn refuse<T>(reason: String) -> Result<T, Error> {
    Err(Error::Refused { reason })
}

async fn whole(tx: &mut Tx, of: &JobId, old: i64, epochs: i64, islands: u32) -> Result<(), Error> {
    let rows = tx
        .rows(
            "SELECT bytes, sha256 FROM checkpoints WHERE job = $1 AND epoch = $2",
            &[Arg::Int(old), Arg::Int(epochs - 1)],
        )
        .await?;
    if rows.len() < islands as usize {
        return refuse(format!(
            "the checkpoints of job {of} are no longer kept; submit it as a new job instead"
        ));
    }
    for row in &rows {
        if sha256_hex(&row.bytes(0)?) != row.text(1)? {
            return refuse(format!(
                "a checkpoint of job {of} is damaged; submit it as a new job instead"
            ));
        }
    }
    Ok(())
}

async fn take_checkpoints(
    tx: &mut Tx,
    new: i64,
    old: i64,
    epochs: i64,
    build: &str,
    islands: u32,
) -> Result<(), Error> {
    tx.run(
        "INSERT INTO checkpoints (job, island, epoch, build, sha256, readers, bytes) \
         SELECT $1, island, epoch, build, sha256, $4, bytes FROM checkpoints \
         WHERE job = $2 AND epoch = $3",
        &[
            Arg::Int(new),
            Arg::Int(old),
            Arg::Int(epochs - 1),
            Arg::Int(i64::from(islands.min(2))),
        ],
    )
    .await?;
    tx.run(
        "UPDATE jobs SET first_epoch = $2, build = $3 WHERE seq = $1",
        &[Arg::Int(new), Arg::Int(epochs), Arg::Text(build)],
    )
    .await?;
    Ok(())
}
