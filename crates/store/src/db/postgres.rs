//! PostgreSQL: opening a database, and statements in its dialect.

use std::time::Duration;

use sqlx::postgres::{
    PgArguments, PgConnection, PgDatabaseError, PgListener, PgPool, PgPoolOptions, Postgres,
};
use sqlx::{ConnectOptions, Connection, Row as _, Transaction};

use super::{Db, statements, url};
use crate::error::OpenError;

/// How long an operation waits for a connection before the store counts as out of reach. A restart of
/// the database is survived within it.
const CONNECT: Duration = Duration::from_secs(10);

/// The oldest release that the statements and the schema are written for.
const OLDEST: u32 = 15;

/// Told at the commit of a submission. Submissions only, since such commits queue for one lock.
const SUBMITTED: &str = "leanwright_submitted";

/// Connects to the database of a URL `postgres://…`. The server takes back the locks of a client that
/// keeps a transaction open for a whole `lease`: such a client is held up or gone.
pub(crate) async fn open(url: &str, connections: u32, lease: Duration) -> Result<Db, OpenError> {
    let idle = format!("{}ms", lease.as_millis().max(1));
    let options = url::postgres(url)?.options([("idle_in_transaction_session_timeout", idle)]);
    // By itself first: a pool would try again and again, and tell no more than that time ran out.
    let first = tokio::time::timeout(CONNECT, options.connect()).await;
    let first = first.map_err(|_| sqlx::Error::PoolTimedOut)?;
    check_server(first?).await?;
    let pool = PgPoolOptions::new()
        .max_connections(connections.max(2))
        .acquire_timeout(CONNECT)
        .connect_lazy_with(options);
    Ok(Db::Postgres(pool))
}

async fn check_server(mut server: PgConnection) -> Result<(), OpenError> {
    let row = sqlx::query(
        "SELECT CAST(current_setting('server_version_num') AS BIGINT), current_setting('server_encoding')",
    )
    .fetch_one(&mut server)
    .await?;
    server.close().await?;
    let found = row.try_get::<i64, _>(0)? / 10_000;
    if found < i64::from(OLDEST) {
        return Err(OpenError::OldServer {
            found,
            known: OLDEST,
        });
    }
    match row.try_get::<String, _>(1)? {
        encoding if encoding == "UTF8" => Ok(()),
        encoding => Err(OpenError::Encoding { encoding }),
    }
}

/// Each statement sees what is committed before it, whatever the database's own default: a row that
/// was waited for is then judged as it now is.
pub(super) async fn begin(pool: &PgPool) -> Result<Transaction<'static, Postgres>, sqlx::Error> {
    pool.begin_with("BEGIN ISOLATION LEVEL READ COMMITTED")
        .await
}

/// A connection lost at the commit leaves it open whether the transaction took place, so that fault
/// is not one to try again after: a token, a key or the caller's next look decides.
pub(super) async fn commit(tx: Transaction<'static, Postgres>) -> Result<(), sqlx::Error> {
    match tx.commit().await {
        // The driver has no better kind for words of one's own that are not tried again.
        Err(fault) if is_lost_connection(&fault) => Err(sqlx::Error::InvalidArgument(format!(
            "the connection was lost at the commit, which may have taken place: {fault}"
        ))),
        outcome => outcome,
    }
}

/// Tells all processes of this store, when the transaction commits, that there is a new job.
pub(super) async fn notify(tx: &mut Transaction<'static, Postgres>) -> Result<(), sqlx::Error> {
    sqlx::query("SELECT pg_notify($1, '')")
        .bind(SUBMITTED)
        .execute(&mut **tx)
        .await
        .map(drop)
}

/// Calls `heard` at each submission anywhere, until the pool is closed. A notification can be lost
/// with its connection; who waits for one polls as well.
pub(super) async fn listen(pool: PgPool, heard: impl Fn()) {
    loop {
        match listen_once(&pool, &heard).await {
            Err(sqlx::Error::PoolClosed) => return,
            _ => tokio::time::sleep(Duration::from_secs(1)).await,
        }
    }
}

async fn listen_once(pool: &PgPool, heard: &impl Fn()) -> Result<(), sqlx::Error> {
    let mut listener = PgListener::connect_with(pool).await?;
    listener.listen(SUBMITTED).await?;
    loop {
        // A lost connection is made anew within, and counts as heard: something may have been missed.
        listener.try_recv().await?;
        heard();
    }
}

statements!(Postgres, PgArguments);

/// The text as PostgreSQL takes it; `now_ms()` and `random_id()` are functions of the schema.
fn dialect(sql: &'static str) -> String {
    sql.replace(
        "take_slice(s, j)",
        "FOR UPDATE OF s SKIP LOCKED FOR KEY SHARE OF j SKIP LOCKED",
    )
    .replace("take_both(s, j)", "FOR UPDATE OF s, j SKIP LOCKED")
    .replace("lock_alone()", "FOR UPDATE")
    // The same lock that a reference to the row takes at each insert.
    .replace("lock_shared()", "FOR KEY SHARE")
}

/// Serialisation failures, deadlocks, a connection lost, or another submission under the same key
/// that was faster: the next try finds its job.
pub(super) fn is_transient(fault: &sqlx::Error) -> bool {
    let given_way = postgres_fault(fault).is_some_and(|fault| {
        matches!(fault.code(), "40001" | "40P01") || fault.constraint() == Some("jobs_key")
    });
    given_way || is_lost_connection(fault)
}

/// The classes and codes of PostgreSQL's manual, appendix "Error Codes": 08 is a connection exception,
/// 57P01 to 57P03 a server that ends, crashed or starts, 25P03 a transaction left open too long.
fn is_lost_connection(fault: &sqlx::Error) -> bool {
    match fault {
        // Protocol: an answer that ends in its middle, as when connecting is cut.
        sqlx::Error::Io(_) | sqlx::Error::Protocol(_) => true,
        fault => postgres_fault(fault).is_some_and(|fault| {
            let code = fault.code();
            code.starts_with("08") || matches!(code, "57P01" | "57P02" | "57P03" | "25P03")
        }),
    }
}

/// The code of a fault that PostgreSQL told; `None` for all others.
pub(crate) fn code(fault: &sqlx::Error) -> Option<&str> {
    postgres_fault(fault).map(PgDatabaseError::code)
}

/// Whether no connection could be made: nobody answers, not in time, or not under the protection that
/// the URL asks for.
pub(crate) fn is_out_of_reach(fault: &sqlx::Error) -> bool {
    matches!(
        fault,
        sqlx::Error::Tls(_) | sqlx::Error::PoolTimedOut | sqlx::Error::Configuration(_)
    ) || is_lost_connection(fault)
}

fn postgres_fault(fault: &sqlx::Error) -> Option<&PgDatabaseError> {
    fault.as_database_error()?.try_downcast_ref()
}
