//! Who works on this store.

use crate::db::{Arg, Row, retried};
use crate::error::Error;
use crate::model::{WorkerInfo, WorkerRow};
use crate::store::Store;

/// Workers shown at most, the last seen first.
const SHOWN: i64 = 1_000;

impl Store {
    /// Says that the worker is there; at its start and with every beat.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn announce(&self, worker: &WorkerInfo) -> Result<(), Error> {
        retried!(self.announce_once(worker))
    }

    async fn announce_once(&self, worker: &WorkerInfo) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        tx.run(
            "INSERT INTO workers (name, build, threads, started_at, seen_at) \
             VALUES ($1, $2, $3, now_ms(), now_ms()) \
             ON CONFLICT (name) DO UPDATE SET seen_at = now_ms()",
            &[
                Arg::Text(&worker.name),
                Arg::Text(&worker.build),
                Arg::Int(i64::from(worker.threads)),
            ],
        )
        .await?;
        tx.commit().await
    }

    /// Says that the worker ends: from now on it counts as one without threads.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn take_leave(&self, worker: &WorkerInfo) -> Result<(), Error> {
        retried!(self.take_leave_once(worker))
    }

    async fn take_leave_once(&self, worker: &WorkerInfo) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        tx.run(
            "UPDATE workers SET threads = 0, seen_at = now_ms() WHERE name = $1",
            &[Arg::Text(&worker.name)],
        )
        .await?;
        tx.commit().await
    }

    /// Workers, the last seen first, at most 1,000.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn workers(&self) -> Result<Vec<WorkerRow>, Error> {
        let rows = self
            .read(
                "SELECT name, build, threads, started_at, seen_at, slices, now_ms() FROM workers \
                 ORDER BY seen_at DESC, name LIMIT $1",
                &[Arg::Int(SHOWN)],
            )
            .await?;
        rows.iter().map(|row| self.worker(row)).collect()
    }

    fn worker(&self, row: &Row) -> Result<WorkerRow, Error> {
        let seen_at = row.int(4)?;
        let silent = row.int(6)? - seen_at;
        let threads = row.int(2)? as u32;
        Ok(WorkerRow {
            info: WorkerInfo {
                name: row.text(0)?,
                build: row.text(1)?,
                threads,
            },
            started_at: row.int(3)?,
            seen_at,
            alive: threads > 0 && silent <= 3 * self.lease().as_millis() as i64,
            slices: row.int(5)? as u64,
        })
    }
}
