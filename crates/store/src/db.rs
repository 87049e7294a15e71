//! The engines behind one small door: typed arguments in, rows out, every write in a transaction.
//!
//! One SQL text serves every engine. Three words in it are not SQL and are put in here: `now_ms()`
//! is the database's clock, `random_id()` draws a job's name, and `skip_locked(t)` locks the rows
//! picked from `t` where the engine has more than one writer.

use sqlx::sqlite::{Sqlite, SqliteArguments, SqlitePool, SqliteRow};
use sqlx::{Arguments, AssertSqlSafe, Row as _, Transaction};

use crate::error::Error;

/// A bound value. Absent values keep their type, which PostgreSQL asks for.
#[derive(Clone, Copy)]
pub(crate) enum Arg<'a> {
    Int(i64),
    MaybeInt(Option<i64>),
    Text(&'a str),
    MaybeText(Option<&'a str>),
    Bytes(&'a [u8]),
}

/// An open database. The set of engines is closed, so this is an enum and not a trait.
pub(crate) enum Db {
    Sqlite {
        /// One connection: SQLite has one writer, and waiting here is fairer than being told "busy".
        writer: SqlitePool,
        readers: SqlitePool,
    },
}

/// An open write transaction. Dropped without [`Tx::commit`], it is rolled back.
pub(crate) enum Tx {
    Sqlite(Transaction<'static, Sqlite>),
}

/// A row of an answer; columns count from 0.
pub(crate) enum Row {
    Sqlite(SqliteRow),
}

impl Db {
    /// Begins a write. `IMMEDIATE` takes the write lock at once: a transaction that began as a reader
    /// and can't become a writer would fail in the middle.
    pub(crate) async fn begin(&self) -> Result<Tx, Error> {
        match self {
            Db::Sqlite { writer, .. } => {
                Ok(Tx::Sqlite(writer.begin_with("BEGIN IMMEDIATE").await?))
            }
        }
    }

    /// One reading statement.
    pub(crate) async fn read(
        &self,
        sql: &'static str,
        args: &[Arg<'_>],
    ) -> Result<Vec<Row>, Error> {
        match self {
            Db::Sqlite { readers, .. } => {
                let query = sqlx::query_with(AssertSqlSafe(sqlite_text(sql)), sqlite_args(args)?);
                let rows = query.fetch_all(readers).await?;
                Ok(rows.into_iter().map(Row::Sqlite).collect())
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
            Tx::Sqlite(tx) => {
                let query = sqlx::query_with(AssertSqlSafe(sqlite_text(sql)), sqlite_args(args)?);
                let rows = query.fetch_all(&mut **tx).await?;
                Ok(rows.into_iter().map(Row::Sqlite).collect())
            }
        }
    }

    /// A statement without rows; answers how many it changed.
    pub(crate) async fn run(&mut self, sql: &'static str, args: &[Arg<'_>]) -> Result<u64, Error> {
        match self {
            Tx::Sqlite(tx) => {
                let query = sqlx::query_with(AssertSqlSafe(sqlite_text(sql)), sqlite_args(args)?);
                Ok(query.execute(&mut **tx).await?.rows_affected())
            }
        }
    }

    /// Several statements without arguments: a migration.
    pub(crate) async fn script(&mut self, sql: &'static str) -> Result<(), Error> {
        match self {
            Tx::Sqlite(tx) => {
                sqlx::raw_sql(sql).execute(&mut **tx).await?;
                Ok(())
            }
        }
    }

    pub(crate) async fn commit(self) -> Result<(), Error> {
        match self {
            Tx::Sqlite(tx) => Ok(tx.commit().await?),
        }
    }
}

impl Row {
    pub(crate) fn int(&self, column: usize) -> Result<i64, Error> {
        match self {
            Row::Sqlite(row) => Ok(row.try_get(column)?),
        }
    }

    pub(crate) fn maybe_int(&self, column: usize) -> Result<Option<i64>, Error> {
        match self {
            Row::Sqlite(row) => Ok(row.try_get(column)?),
        }
    }

    pub(crate) fn text(&self, column: usize) -> Result<String, Error> {
        match self {
            Row::Sqlite(row) => Ok(row.try_get(column)?),
        }
    }

    pub(crate) fn maybe_text(&self, column: usize) -> Result<Option<String>, Error> {
        match self {
            Row::Sqlite(row) => Ok(row.try_get(column)?),
        }
    }

    pub(crate) fn bytes(&self, column: usize) -> Result<Vec<u8>, Error> {
        match self {
            Row::Sqlite(row) => Ok(row.try_get(column)?),
        }
    }

    pub(crate) fn maybe_bytes(&self, column: usize) -> Result<Option<Vec<u8>>, Error> {
        match self {
            Row::Sqlite(row) => Ok(row.try_get(column)?),
        }
    }
}

/// The text as SQLite takes it. Only texts of this crate come here, so no caller's words can.
fn sqlite_text(sql: &'static str) -> String {
    sql.replace(
        "now_ms()",
        "CAST(round(unixepoch('subsec') * 1000) AS INTEGER)",
    )
    .replace("random_id()", "lower(hex(randomblob(8)))")
    .replace("skip_locked(s)", "")
}

fn sqlite_args(args: &[Arg<'_>]) -> Result<SqliteArguments, Error> {
    let mut bound = SqliteArguments::default();
    for arg in args {
        let added = match *arg {
            Arg::Int(value) => bound.add(value),
            Arg::MaybeInt(value) => bound.add(value),
            Arg::Text(value) => bound.add(value.to_owned()),
            Arg::MaybeText(value) => bound.add(value.map(str::to_owned)),
            Arg::Bytes(value) => bound.add(value.to_owned()),
        };
        added.map_err(sqlx::Error::Encode)?;
    }
    Ok(bound)
}

/// Whether trying the whole transaction again can help: the engine gave way to another one.
pub(crate) fn is_transient(fault: &Error) -> bool {
    let Error::Database(sqlx::Error::Database(fault)) = fault else {
        return false;
    };
    // SQLite: busy and locked, with their extended forms in the higher byte.
    let code = fault.code().and_then(|code| code.parse::<u32>().ok());
    matches!(code.map(|code| code & 0xff), Some(5 | 6))
}

/// Times that a transaction is tried before its fault is told.
pub(crate) const TRIES: u32 = 8;

/// Runs a whole transaction, again when the engine asked for it.
macro_rules! retried {
    ($once:expr) => {{
        let mut tries = 1;
        loop {
            match $once.await {
                Err(fault) if tries < $crate::db::TRIES && $crate::db::is_transient(&fault) => {
                    tries += 1
                }
                outcome => break outcome,
            }
        }
    }};
}
pub(crate) use retried;
