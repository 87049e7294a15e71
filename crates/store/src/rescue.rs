//! Taking slices back from workers that no longer speak.

use crate::complete::{fail_job, lock_job};
use crate::db::{Arg, Row, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::fault_point::fault_point;
use crate::model::{Rescued, SliceKey};
use crate::store::Store;

/// Slices looked at with one query.
const AT_ONCE: i64 = 100;

/// A running slice whose worker is gone.
struct Lost {
    slice: i64,
    job: i64,
    token: i64,
    worker: String,
    key: SliceKey,
}

impl Store {
    /// Gives slices whose lease has run out back to be claimed, with a new token. A slice that lost as
    /// many distinct workers as [`crate::Options::attempts`] ends its job instead.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn rescue(&self) -> Result<Rescued, Error> {
        let lost = "SELECT seq, job, lease_epoch, worker, epoch, island FROM slices \
                    WHERE state = 'running' AND lease_until < now_ms() ORDER BY seq LIMIT $1";
        self.take_back_all(lost, false).await
    }

    /// As [`Store::rescue`], whatever the leases say: at the start of a store that has one server.
    pub(crate) async fn rescue_orphans(&self) -> Result<Rescued, Error> {
        let running = "SELECT seq, job, lease_epoch, worker, epoch, island FROM slices \
                       WHERE state = 'running' ORDER BY seq LIMIT $1";
        self.take_back_all(running, true).await
    }

    async fn take_back_all(&self, query: &'static str, orphans: bool) -> Result<Rescued, Error> {
        let mut all = Rescued::default();
        loop {
            let rows = self.read(query, &[Arg::Int(AT_ONCE)]).await?;
            for row in &rows {
                let lost = lost(row)?;
                let one = retried!(self.take_back(&lost, orphans))?;
                all.slices += one.slices;
                all.failed_jobs += one.failed_jobs;
            }
            if rows.len() < AT_ONCE as usize {
                return Ok(all);
            }
        }
    }

    /// Takes one slice back, in a transaction of its own, which may end the job.
    async fn take_back(&self, lost: &Lost, orphan: bool) -> Result<Rescued, Error> {
        let mut tx = self.begin().await?;
        let outcome = self.take_back_in(&mut tx, lost, orphan).await;
        match self.settle(tx, outcome).await {
            // It spoke, ended, was rescued by another, or its job was deleted in the meantime.
            Err(Error::LeaseLost) => Ok(Rescued::default()),
            outcome => outcome,
        }
    }

    async fn take_back_in(&self, tx: &mut Tx, lost: &Lost, orphan: bool) -> Result<Rescued, Error> {
        lock_job(tx, lost.job).await?;
        events::append(tx, lost.job, "rescued", &place(lost.key)).await?;
        let taken = tx
            .run(
                "UPDATE slices SET state = 'ready', lease_epoch = lease_epoch + 1, lease_until = NULL \
                 WHERE seq = $1 AND lease_epoch = $2 AND state = 'running' \
                   AND ($3 = 1 OR lease_until < now_ms())",
                &[Arg::Int(lost.slice), Arg::Int(lost.token), Arg::Int(i64::from(orphan))],
            )
            .await?;
        if taken == 0 {
            return Err(Error::LeaseLost);
        }
        fault_point("rescue.taken", Some(lost.key));
        self.count(tx, lost).await
    }

    async fn count(&self, tx: &mut Tx, lost: &Lost) -> Result<Rescued, Error> {
        let workers = count_lost(tx, lost).await?;
        if workers < i64::from(self.options().attempts) {
            return Ok(Rescued {
                slices: 1,
                failed_jobs: 0,
            });
        }
        let SliceKey { epoch, island } = lost.key;
        let reason = format!(
            "the slice of epoch {epoch}, island {island} was lost by {workers} workers in turn"
        );
        let event = format!("{{\"reason\":\"{reason}\"}}");
        let failed = fail_job(tx, lost.job, &reason, event.as_bytes()).await?;
        Ok(Rescued {
            slices: 0,
            failed_jobs: u32::from(failed),
        })
    }
}

fn lost(row: &Row) -> Result<Lost, Error> {
    Ok(Lost {
        slice: row.int(0)?,
        job: row.int(1)?,
        token: row.int(2)?,
        worker: row.maybe_text(3)?.unwrap_or_default(),
        key: crate::claim::key(row, 4, 5)?,
    })
}

/// Notes that this worker lost the slice, and answers how many distinct workers have.
async fn count_lost(tx: &mut Tx, lost: &Lost) -> Result<i64, Error> {
    tx.run(
        "INSERT INTO lost_leases (slice, worker, lost_at) VALUES ($1, $2, now_ms()) \
         ON CONFLICT (slice, worker) DO NOTHING",
        &[Arg::Int(lost.slice), Arg::Text(&lost.worker)],
    )
    .await?;
    let rows = tx
        .rows(
            "SELECT count(*) FROM lost_leases WHERE slice = $1",
            &[Arg::Int(lost.slice)],
        )
        .await?;
    rows.first().map_or(Ok(0), |row| row.int(0))
}

fn place(key: SliceKey) -> Vec<u8> {
    format!("{{\"epoch\":{},\"island\":{}}}", key.epoch, key.island).into_bytes()
}
