//! A finished job as a whole, to be carried to another store.

use crate::db::Arg;
use crate::error::Error;
use crate::ids::JobId;
use crate::model::{Event, Job, JobInput, SliceKey, StoredFront};
use crate::store::{Store, sha256_hex};
use crate::words::JobState;

/// All that is kept of a finished job. What is left out belongs to the store it was computed in: the
/// rows of its slices, and the idempotency key it was submitted with.
#[derive(Clone, Debug, PartialEq)]
pub struct Exported {
    /// The job, its times and its state among it.
    pub job: Job,
    /// What the caller sent, and where the search started from.
    pub inputs: JobInput,
    /// All events, from number 1.
    pub events: Vec<Event>,
    /// The last checkpoints of the search, from which a longer run can go on; in key order.
    pub checkpoints: Vec<ExportedCheckpoint>,
    /// The result; `None` when the job failed or was cancelled.
    pub result: Option<ExportedResult>,
}

/// A checkpoint of an exported job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExportedCheckpoint {
    /// Whose it is.
    pub key: SliceKey,
    /// The build that wrote it, the only one that may go on from it.
    pub build: String,
    /// The bytes.
    pub bytes: Vec<u8>,
}

/// The result of an exported job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExportedResult {
    /// The front.
    pub front: StoredFront,
    /// The candidates in the order of the front.
    pub candidates: Vec<Vec<u8>>,
}

impl Store {
    /// A finished job with all that is kept of it.
    ///
    /// # Errors
    /// [`Error::NotFound`], also when it is deleted meanwhile; [`Error::Refused`] for a job that is
    /// not finished, or of which something stored is damaged.
    pub async fn export(&self, id: &JobId) -> Result<Exported, Error> {
        let job = self.job(id).await?;
        if !job.state.is_final() {
            let state = job.state.as_str();
            return Err(Error::Refused {
                reason: format!("job {id} is {state}; only a job that is over can be exported"),
            });
        }
        let exported = Exported {
            inputs: self.inputs(id).await?,
            events: self.all_events(id).await?,
            checkpoints: self.kept_checkpoints(id).await?,
            result: self.whole_result(&job).await?,
            job,
        };
        // Nothing of it was deleted between these looks if it is there still.
        self.job_seq(id).await?;
        match exported.damaged() {
            None => Ok(exported),
            Some(what) => Err(Error::Refused {
                reason: format!("the {what} of job {id} is damaged"),
            }),
        }
    }

    async fn all_events(&self, id: &JobId) -> Result<Vec<Event>, Error> {
        let mut events: Vec<Event> = vec![];
        loop {
            let after = events.last().map_or(0, |event| event.number);
            let more = self.events(id, after, 1_000).await?;
            if more.is_empty() {
                return Ok(events);
            }
            events.extend(more);
        }
    }

    async fn kept_checkpoints(&self, id: &JobId) -> Result<Vec<ExportedCheckpoint>, Error> {
        let rows = self
            .read(
                "SELECT c.epoch, c.island, c.build, c.bytes, c.sha256 FROM checkpoints c \
                 JOIN jobs j ON j.seq = c.job WHERE j.id = $1 ORDER BY c.epoch, c.island",
                &[Arg::Text(id.as_str())],
            )
            .await?;
        let mut kept = vec![];
        for row in &rows {
            let bytes = row.bytes(3)?;
            // A damaged one is left behind: it serves nobody, and the result does not hang on it.
            if sha256_hex(&bytes) == row.text(4)? {
                kept.push(ExportedCheckpoint {
                    key: crate::claim::key(row, 0, 1)?,
                    build: row.text(2)?,
                    bytes,
                });
            }
        }
        Ok(kept)
    }

    async fn whole_result(&self, job: &Job) -> Result<Option<ExportedResult>, Error> {
        if job.state != JobState::Done {
            return Ok(None);
        }
        let rows = self
            .read(
                "SELECT c.body FROM candidates c JOIN jobs j ON j.seq = c.job \
                 WHERE j.id = $1 ORDER BY c.number",
                &[Arg::Text(job.id.as_str())],
            )
            .await?;
        Ok(Some(ExportedResult {
            front: self.front(&job.id).await?,
            candidates: rows
                .iter()
                .map(|row| row.bytes(0))
                .collect::<Result<_, _>>()?,
        }))
    }
}

impl Exported {
    /// What does not match the digest that stands beside it, if anything.
    pub(crate) fn damaged(&self) -> Option<&'static str> {
        if sha256_hex(&self.inputs.input) != self.job.input_sha256 {
            return Some("input");
        }
        let front = &self.result.as_ref()?.front;
        (sha256_hex(&front.body) != front.sha256).then_some("front")
    }
}
