//! Publication: the job done and its result stored, or neither.

use crate::checkpoints;
use crate::complete::finish_slice;
use crate::db::{Arg, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::fault_point::fault_point;
use crate::model::{Claim, Published};
use crate::store::{Store, sha256_hex};

impl Store {
    /// Publishes the job's result. The job's row decides between this and a cancel: exactly one wins.
    ///
    /// # Errors
    /// [`Error::LeaseLost`]: the job was cancelled or the claim is void; nothing was written.
    pub async fn publish(&self, claim: &Claim, result: &Published) -> Result<(), Error> {
        retried!(self.publish_once(claim, result))
    }

    async fn publish_once(&self, claim: &Claim, result: &Published) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        fault_point("publish.begun", Some(claim.key));
        let done = tx
            .run(
                "UPDATE jobs SET state = 'done', finished_at = now_ms(), progress = $4 \
                 WHERE seq = $1 AND state = 'running' AND EXISTS \
                   (SELECT 1 FROM slices WHERE seq = $2 AND lease_epoch = $3 AND state = 'running')",
                &[Arg::Int(claim.job_seq), Arg::Int(claim.slice), Arg::Int(claim.token), Arg::Bytes(&result.event)],
            )
            .await?;
        if done == 0 {
            return Err(Error::LeaseLost);
        }
        fault_point("publish.marked", Some(claim.key));
        finish_slice(&mut tx, claim, 0).await?;
        insert_result(&mut tx, claim.job_seq, result).await?;
        fault_point("publish.stored", Some(claim.key));
        checkpoints::keep_last_epoch(&mut tx, claim.job_seq).await?;
        events::append(&mut tx, claim.job_seq, "done", &result.event).await?;
        fault_point("publish.told", Some(claim.key));
        self.commit(tx).await?;
        fault_point("publish.committed", Some(claim.key));
        Ok(())
    }
}

async fn insert_result(tx: &mut Tx, job: i64, result: &Published) -> Result<(), Error> {
    tx.run(
        "INSERT INTO results (job, front, front_sha256, published_at) \
         SELECT seq, $2, $3, finished_at FROM jobs WHERE seq = $1",
        &[
            Arg::Int(job),
            Arg::Bytes(&result.front),
            Arg::Text(&sha256_hex(&result.front)),
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
