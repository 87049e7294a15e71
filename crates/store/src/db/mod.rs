//! The engines behind one small door: typed arguments in, rows out, every write in a transaction.
//!
//! One SQL text serves every engine. Some words in it are put in here or are functions of the
//! database: `now_ms()` is the database's clock, `random_id()` draws a job's name, and the rest lock
//! rows where there is more than one writer, which SQLite has not:
//!
//! * `lock_alone()` waits for the row picked and keeps everybody else off it;
//! * `lock_shared()` waits for the row picked, which others may share and nobody may lock alone;
//! * `take_slice(s, j)` locks the slice alone and its job shared, `take_both(s, j)` both alone, and
//!   they pass over what another writer holds.
//!
//! Whoever changes more than one row of a job locks the job's row first: shared where slices run side
//! by side, alone where slices are taken away. So two such transactions wait for each other only at
//! that row, and none of what a slice adds is overlooked by who takes its job apart.

mod postgres;
mod sqlite;
mod statements;
mod url;

use sqlx::postgres::{PgPool, PgRow, Postgres};
use sqlx::sqlite::{Sqlite, SqlitePool, SqliteRow};
use sqlx::{Decode, Row as _, Transaction, Type};

use crate::error::Error;

pub(crate) use postgres::{code as postgres_code, is_out_of_reach, open as open_postgres};
pub(crate) use sqlite::{open as open_sqlite, path as sqlite_path};
use statements::statements;
pub(crate) use url::URL_PARAMETERS;

/// A bound value. Absent values keep their type, which PostgreSQL asks for.
#[derive(Clone, Copy)]
pub(crate) enum Arg<'a> {
    Int(i64),
    MaybeInt(Option<i64>),
    Text(&'a str),
    MaybeText(Option<&'a str>),
    Bytes(&'a [u8]),
    MaybeBytes(Option<&'a [u8]>),
}

/// An open database. The set of engines is closed, so this is an enum and not a trait.
pub(crate) enum Db {
    Sqlite {
        /// One connection: SQLite has one writer, and waiting here is fairer than being told "busy".
        writer: SqlitePool,
        readers: SqlitePool,
    },
    Postgres(PgPool),
}

/// An open write transaction. Dropped without [`Tx::commit`], it is rolled back.
pub(crate) enum Tx {
    Sqlite(Transaction<'static, Sqlite>),
    Postgres(Transaction<'static, Postgres>),
}

/// Ends its task when dropped.
pub(crate) struct Listening(tokio::task::AbortHandle);

impl Drop for Listening {
    fn drop(&mut self) {
        self.0.abort();
    }
}

/// A row of an answer; columns count from 0.
pub(crate) enum Row {
    Sqlite(SqliteRow),
    Postgres(PgRow),
}

impl Db {
    /// Begins a write. On SQLite, `IMMEDIATE` takes the write lock at once: a transaction that began
    /// as a reader and can't become a writer would fail in the middle.
    pub(crate) async fn begin(&self) -> Result<Tx, Error> {
        match self {
            Db::Sqlite { writer, .. } => {
                Ok(Tx::Sqlite(writer.begin_with("BEGIN IMMEDIATE").await?))
            }
            Db::Postgres(pool) => Ok(Tx::Postgres(postgres::begin(pool).await?)),
        }
    }

    /// One reading statement.
    pub(crate) async fn read(
        &self,
        sql: &'static str,
        args: &[Arg<'_>],
    ) -> Result<Vec<Row>, Error> {
        match self {
            Db::Sqlite { readers, .. } => sqlite::rows(readers, sql, args).await,
            Db::Postgres(pool) => postgres::rows(pool, sql, args).await,
        }
    }

    /// Calls `heard` at submissions of other processes, for as long as the answer lives. A word can be
    /// lost, so who waits for one polls as well. On SQLite there are no others.
    pub(crate) fn listen(&self, heard: impl Fn() + Send + Sync + 'static) -> Option<Listening> {
        match self {
            Db::Sqlite { .. } => None,
            Db::Postgres(pool) => {
                let task = tokio::spawn(postgres::listen(pool.clone(), heard));
                Some(Listening(task.abort_handle()))
            }
        }
    }

    /// Closes all connections; open transactions end first.
    pub(crate) async fn close(&self) {
        match self {
            Db::Sqlite { writer, readers } => {
                readers.close().await;
                writer.close().await;
            }
            Db::Postgres(pool) => pool.close().await,
        }
    }
}

impl Tx {
    /// A statement that answers with rows, `RETURNING` included. All rows are fetched: SQLite applies
    /// a writing statement only as far as its answer is read.
    pub(crate) async fn rows(
        &mut self,
        sql: &'static str,
        args: &[Arg<'_>],
    ) -> Result<Vec<Row>, Error> {
        match self {
            Tx::Sqlite(tx) => sqlite::rows(&mut **tx, sql, args).await,
            Tx::Postgres(tx) => postgres::rows(&mut **tx, sql, args).await,
        }
    }

    /// A statement without rows; answers how many it changed.
    pub(crate) async fn run(&mut self, sql: &'static str, args: &[Arg<'_>]) -> Result<u64, Error> {
        match self {
            Tx::Sqlite(tx) => sqlite::run(&mut **tx, sql, args).await,
            Tx::Postgres(tx) => postgres::run(&mut **tx, sql, args).await,
        }
    }

    /// Several statements without arguments: a migration.
    pub(crate) async fn script(&mut self, sql: &'static str) -> Result<(), Error> {
        match self {
            Tx::Sqlite(tx) => sqlx::raw_sql(sql).execute(&mut **tx).await.map(drop)?,
            Tx::Postgres(tx) => sqlx::raw_sql(sql).execute(&mut **tx).await.map(drop)?,
        }
        Ok(())
    }

    /// Tells the processes of this store, at the commit, that a job was submitted. On SQLite there is
    /// one process, which knows.
    pub(crate) async fn tell_submitted(&mut self) -> Result<(), Error> {
        match self {
            Tx::Sqlite(_) => Ok(()),
            Tx::Postgres(tx) => Ok(postgres::notify(tx).await?),
        }
    }

    pub(crate) async fn commit(self) -> Result<(), Error> {
        match self {
            Tx::Sqlite(tx) => Ok(tx.commit().await?),
            Tx::Postgres(tx) => Ok(postgres::commit(tx).await?),
        }
    }

    /// Undoes the transaction and answers when its locks are gone; a dropped one keeps them a little
    /// longer, and a claim would pass over a job that is locked alone.
    pub(crate) async fn rollback(self) -> Result<(), Error> {
        match self {
            Tx::Sqlite(tx) => Ok(tx.rollback().await?),
            Tx::Postgres(tx) => Ok(tx.rollback().await?),
        }
    }
}

impl Row {
    pub(crate) fn int(&self, column: usize) -> Result<i64, Error> {
        self.get(column)
    }

    pub(crate) fn maybe_int(&self, column: usize) -> Result<Option<i64>, Error> {
        self.get(column)
    }

    pub(crate) fn text(&self, column: usize) -> Result<String, Error> {
        self.get(column)
    }

    pub(crate) fn maybe_text(&self, column: usize) -> Result<Option<String>, Error> {
        self.get(column)
    }

    pub(crate) fn bytes(&self, column: usize) -> Result<Vec<u8>, Error> {
        self.get(column)
    }

    pub(crate) fn maybe_bytes(&self, column: usize) -> Result<Option<Vec<u8>>, Error> {
        self.get(column)
    }

    fn get<T>(&self, column: usize) -> Result<T, Error>
    where
        T: for<'r> Decode<'r, Sqlite>
            + Type<Sqlite>
            + for<'r> Decode<'r, Postgres>
            + Type<Postgres>,
    {
        match self {
            Row::Sqlite(row) => Ok(row.try_get(column)?),
            Row::Postgres(row) => Ok(row.try_get(column)?),
        }
    }
}

/// Whether trying the whole transaction again can help: the engine gave way to another one, or the
/// connection was lost before the commit.
pub(crate) fn is_transient(fault: &Error) -> bool {
    match fault {
        Error::Database(fault) => sqlite::is_transient(fault) || postgres::is_transient(fault),
        _ => false,
    }
}

/// Times that a transaction is tried before its fault is told.
pub(crate) const TRIES: u32 = 8;

/// The pause after this many tries: 10 ms, doubled each time, 1.3 s in all.
pub(crate) async fn pause(tries: u32) {
    tokio::time::sleep(std::time::Duration::from_millis(5 << tries)).await;
}

/// Runs a whole transaction, again when the engine asked for it.
macro_rules! retried {
    ($once:expr) => {{
        let mut tries = 1;
        loop {
            match $once.await {
                Err(fault) if tries < $crate::db::TRIES && $crate::db::is_transient(&fault) => {
                    $crate::db::pause(tries).await;
                    tries += 1
                }
                outcome => break outcome,
            }
        }
    }};
}
pub(crate) use retried;
