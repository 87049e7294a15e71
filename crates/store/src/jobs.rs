//! Reading jobs.

use std::collections::BTreeMap;

use crate::db::{Arg, Row};
use crate::error::Error;
use crate::ids::JobId;
use crate::lists::{Asked, contains};
use crate::model::{Job, JobFilter, JobInput, Page};
use crate::store::Store;
use crate::submit::priority_number;
use crate::text::refuse_zeros;
use crate::words::{JobState, Priority};

/// The columns of [`job`], without labels.
macro_rules! job_columns {
    () => {
        "SELECT seq, id, caller, name, priority, state, paused, reason, input_sha256, islands, epochs, \
                planned, build, parent, progress, last_event, keep_days, created_at, started_at, \
                finished_at, asked_epochs, first_epoch, kind, imported_at "
    };
}

/// Jobs whose labels one query brings.
const TOGETHER: usize = 20;

impl Store {
    /// One job.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn job(&self, id: &JobId) -> Result<Job, Error> {
        let rows = self
            .read(
                concat!(
                    job_columns!(),
                    ", label FROM jobs LEFT JOIN labels ON labels.job = jobs.seq \
                     WHERE id = $1 ORDER BY label"
                ),
                &[Arg::Text(id.as_str())],
            )
            .await?;
        let labels = rows.iter().filter_map(|row| row.maybe_text(24).transpose());
        let labels = labels.collect::<Result<_, _>>()?;
        job(rows.first().ok_or_else(|| unknown(id))?, labels)
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
        let asked = Asked::of(filter.cursor.as_deref(), filter.limit)?;
        refuse_zeros([
            ("caller", &filter.caller),
            ("label", &filter.label),
            ("name", &filter.name),
        ])?;
        let rows = self
            .read(
                concat!(
                    job_columns!(),
                    "FROM jobs WHERE seq < $1 AND ($2 IS NULL OR caller = $2) \
                     AND ($3 IS NULL OR state = $3) AND ($4 IS NULL OR EXISTS \
                         (SELECT 1 FROM labels l WHERE l.job = jobs.seq AND l.label = $4)) \
                     AND ($5 IS NULL OR lower(name) LIKE $5 ESCAPE '\\') \
                     AND ($6 IS NULL OR parent = $6) \
                     ORDER BY seq DESC LIMIT $7"
                ),
                &[
                    asked.before(),
                    Arg::MaybeText(filter.caller.as_deref()),
                    Arg::MaybeText(filter.state.map(JobState::as_str)),
                    Arg::MaybeText(filter.label.as_deref()),
                    Arg::MaybeText(filter.name.as_deref().map(contains).as_deref()),
                    Arg::MaybeText(filter.parent.as_ref().map(JobId::as_str)),
                    asked.rows(),
                ],
            )
            .await?;
        let (shown, next) = asked.page(&rows)?;
        let mut labels = self.labels_of(shown).await?;
        let mut jobs = Vec::with_capacity(shown.len());
        for row in shown {
            jobs.push(job(row, labels.remove(&row.int(0)?).unwrap_or_default())?);
        }
        Ok(Page { jobs, next })
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

    /// Labels of these rows' jobs, sorted, by the jobs' numbers: a query for every few of them, since
    /// one for each would make a list of jobs as many questions.
    async fn labels_of(&self, rows: &[Row]) -> Result<BTreeMap<i64, Vec<String>>, Error> {
        let mut found: BTreeMap<i64, Vec<String>> = BTreeMap::new();
        for rows in rows.chunks(TOGETHER) {
            let mut jobs = [Arg::Int(0); TOGETHER];
            for (place, row) in jobs.iter_mut().zip(rows) {
                *place = Arg::Int(row.int(0)?);
            }
            let labels = self
                .read(
                    "SELECT job, label FROM labels WHERE job IN ($1, $2, $3, $4, $5, $6, $7, $8, \
                     $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20) ORDER BY job, label",
                    &jobs,
                )
                .await?;
            for row in &labels {
                found.entry(row.int(0)?).or_default().push(row.text(1)?);
            }
        }
        Ok(found)
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
        kind: row.text(22)?,
        imported_at: row.maybe_int(23)?,
    })
}

pub(crate) fn unknown(id: &JobId) -> Error {
    Error::NotFound {
        what: format!("job {id}"),
    }
}
