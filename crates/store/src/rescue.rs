//! Taking slices back from workers that no longer speak.

use crate::complete::fail_job;
use crate::db::{Arg, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::model::{Rescued, SliceKey};
use crate::store::Store;

/// Slices taken back in one transaction.
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
        retried!(self.rescue_once(
            "SELECT seq, job, lease_epoch, worker, epoch, island FROM slices s \
             WHERE state = 'running' AND lease_until < now_ms() ORDER BY seq LIMIT $1 skip_locked(s)"
        ))
    }

    /// As [`Store::rescue`], whatever the leases say: at the start of a store that has one server.
    pub(crate) async fn rescue_orphans(&self) -> Result<Rescued, Error> {
        let mut all = Rescued::default();
        loop {
            let some = retried!(self.rescue_once(
                "SELECT seq, job, lease_epoch, worker, epoch, island FROM slices s \
                 WHERE state = 'running' ORDER BY seq LIMIT $1"
            ))?;
            if some == Rescued::default() {
                return Ok(all);
            }
            all.slices += some.slices;
            all.failed_jobs += some.failed_jobs;
        }
    }

    async fn rescue_once(&self, lost: &'static str) -> Result<Rescued, Error> {
        let mut tx = self.begin().await?;
        let mut rescued = Rescued::default();
        for row in tx.rows(lost, &[Arg::Int(AT_ONCE)]).await? {
            let lost = Lost {
                slice: row.int(0)?,
                job: row.int(1)?,
                token: row.int(2)?,
                worker: row.maybe_text(3)?.unwrap_or_default(),
                key: crate::claim::key(&row, 4, 5)?,
            };
            self.take_back(&mut tx, &lost, &mut rescued).await?;
        }
        if rescued != Rescued::default() {
            self.commit(tx).await?;
        }
        Ok(rescued)
    }

    async fn take_back(
        &self,
        tx: &mut Tx,
        lost: &Lost,
        rescued: &mut Rescued,
    ) -> Result<(), Error> {
        let taken = tx
            .run(
                "UPDATE slices SET state = 'ready', lease_epoch = lease_epoch + 1, lease_until = NULL \
                 WHERE seq = $1 AND lease_epoch = $2 AND state = 'running'",
                &[Arg::Int(lost.slice), Arg::Int(lost.token)],
            )
            .await?;
        if taken == 0 {
            return Ok(());
        }
        let workers = count_lost(tx, lost).await?;
        if workers >= i64::from(self.options().attempts) {
            let SliceKey { epoch, island } = lost.key;
            let reason = format!(
                "the slice of epoch {epoch}, island {island} was lost by {workers} workers in turn"
            );
            rescued.failed_jobs +=
                u32::from(fail_job(tx, lost.job, &reason, &place(lost.key)).await?);
            return Ok(());
        }
        rescued.slices += 1;
        events::append(tx, lost.job, "rescued", &place(lost.key)).await
    }
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
