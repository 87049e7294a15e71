//! PostgreSQL: opening a database, and statements in its dialect.

use std::str::FromStr;
use std::time::Duration;

use sqlx::postgres::{PgArguments, PgConnectOptions, PgPoolOptions, Postgres};
use sqlx::{Arguments, AssertSqlSafe, Executor};

use super::{Arg, Db, Row};
use crate::error::{Error, OpenError};

/// How long an operation waits for a connection before the store counts as out of reach.
const CONNECT: Duration = Duration::from_secs(10);

/// Connects to the database of a URL `postgres://…`.
pub(crate) async fn open(url: &str, connections: u32) -> Result<Db, OpenError> {
    // What the parser has to say about a URL may quote it, so it is not passed on.
    let options = PgConnectOptions::from_str(url).map_err(|_| OpenError::Url)?;
    let options = options.application_name("leanwright");
    let pool = PgPoolOptions::new()
        .max_connections(connections.max(1))
        .acquire_timeout(CONNECT)
        .connect_with(options)
        .await?;
    Ok(Db::Postgres(pool))
}

pub(super) async fn rows<'c>(
    on: impl Executor<'c, Database = Postgres>,
    sql: &'static str,
    args: &[Arg<'_>],
) -> Result<Vec<Row>, Error> {
    let query = sqlx::query_with(AssertSqlSafe(dialect(sql)), bound(args)?);
    Ok(query
        .fetch_all(on)
        .await?
        .into_iter()
        .map(Row::Postgres)
        .collect())
}

pub(super) async fn run<'c>(
    on: impl Executor<'c, Database = Postgres>,
    sql: &'static str,
    args: &[Arg<'_>],
) -> Result<u64, Error> {
    let query = sqlx::query_with(AssertSqlSafe(dialect(sql)), bound(args)?);
    Ok(query.execute(on).await?.rows_affected())
}

/// The text as PostgreSQL takes it; `now_ms()` and `random_id()` are functions of the schema. Only
/// texts of this crate come here, so no caller's words can.
fn dialect(sql: &'static str) -> String {
    sql.replace("skip_locked(s)", "FOR UPDATE OF s SKIP LOCKED")
        .replace("for_update()", "FOR UPDATE")
}

fn bound(args: &[Arg<'_>]) -> Result<PgArguments, Error> {
    let mut bound = PgArguments::default();
    for arg in args {
        let added = match *arg {
            Arg::Int(value) => bound.add(value),
            Arg::MaybeInt(value) => bound.add(value),
            Arg::Text(value) => bound.add(value),
            Arg::MaybeText(value) => bound.add(value),
            Arg::Bytes(value) => bound.add(value),
        };
        added.map_err(sqlx::Error::Encode)?;
    }
    Ok(bound)
}
