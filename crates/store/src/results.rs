//! Reading published results.

use crate::db::Arg;
use crate::error::Error;
use crate::ids::JobId;
use crate::model::StoredFront;
use crate::store::Store;

impl Store {
    /// The job's front.
    ///
    /// # Errors
    /// [`Error::NotFound`] when there is no such job or it has published nothing.
    pub async fn front(&self, job: &JobId) -> Result<StoredFront, Error> {
        let seq = self.job_seq(job).await?;
        let row = self
            .one(
                "SELECT front, front_sha256, published_at FROM results WHERE job = $1",
                &[Arg::Int(seq)],
            )
            .await?
            .ok_or_else(|| Error::NotFound {
                what: format!("front of job {job}"),
            })?;
        Ok(StoredFront {
            body: row.bytes(0)?,
            sha256: row.text(1)?,
            published_at: row.int(2)?,
        })
    }

    /// The body of one candidate, counted from 0 in the order of the front.
    ///
    /// # Errors
    /// [`Error::NotFound`] when there is no such job or candidate.
    pub async fn candidate(&self, job: &JobId, number: u32) -> Result<Vec<u8>, Error> {
        let seq = self.job_seq(job).await?;
        self.one(
            "SELECT body FROM candidates WHERE job = $1 AND number = $2",
            &[Arg::Int(seq), Arg::Int(i64::from(number))],
        )
        .await?
        .ok_or_else(|| Error::NotFound {
            what: format!("candidate {number} of job {job}"),
        })?
        .bytes(0)
    }

    /// The bodies of all candidates, in the order of the front; none for a job that published none.
    ///
    /// # Errors
    /// [`Error::NotFound`] when there is no such job.
    pub async fn candidates(&self, job: &JobId) -> Result<Vec<Vec<u8>>, Error> {
        let seq = self.job_seq(job).await?;
        let rows = self
            .read(
                "SELECT body FROM candidates WHERE job = $1 ORDER BY number",
                &[Arg::Int(seq)],
            )
            .await?;
        rows.iter().map(|row| row.bytes(0)).collect()
    }
}
