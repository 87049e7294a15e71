//! SQLite: opening a file, and statements in its dialect.

use std::path::{Path, PathBuf};
use std::time::Duration;

use sqlx::Connection;
use sqlx::error::DatabaseError;
use sqlx::sqlite::{
    Sqlite, SqliteArguments, SqliteConnectOptions, SqliteError, SqliteJournalMode,
    SqlitePoolOptions, SqliteSynchronous,
};

use super::{Db, statements};
use crate::error::OpenError;

/// The file named by a URL `sqlite:PATH` or a plain path; `None` for the URL of another engine.
pub(crate) fn path(url: &str) -> Result<Option<PathBuf>, OpenError> {
    let path = match url.split_once(':') {
        Some(("sqlite", rest)) => rest.strip_prefix("//").unwrap_or(rest),
        // A single letter before the colon is a drive, not a scheme.
        Some((scheme, _))
            if scheme.len() > 1 && scheme.bytes().all(|b| b.is_ascii_alphanumeric()) =>
        {
            return Ok(None);
        }
        _ => url,
    };
    if path.is_empty() {
        return Err(OpenError::Scheme {
            scheme: "sqlite".to_owned(),
        });
    }
    Ok(Some(PathBuf::from(path)))
}

/// Opens the file, creating it if allowed.
pub(crate) async fn open(path: &Path, create: bool) -> Result<Db, OpenError> {
    let not_opened = |source| OpenError::NotOpened {
        path: path.display().to_string(),
        source,
    };
    let common = SqliteConnectOptions::new()
        .filename(path)
        .create_if_missing(create)
        .journal_mode(SqliteJournalMode::Wal)
        // Full: a committed checkpoint or result outlives a loss of power.
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(10));
    let writer = SqlitePoolOptions::new()
        .max_connections(1)
        // A commit that fails on a full disk ends its transaction, and the rollback that follows then
        // fails too, which leaves the driver counting a transaction for good. Such a connection is
        // closed and made anew. The ping waits for the rollback, which is only queued until then.
        .after_release(|connection, _| {
            Box::pin(async move {
                connection.ping().await?;
                Ok(!connection.is_in_transaction())
            })
        })
        .connect_with(common.clone())
        .await
        .map_err(not_opened)?;
    let reading = common.pragma("query_only", "ON");
    let readers = SqlitePoolOptions::new()
        .max_connections(4)
        .connect_with(reading)
        .await
        .map_err(not_opened)?;
    Ok(Db::Sqlite { writer, readers })
}

statements!(Sqlite, SqliteArguments);

/// The text as SQLite takes it.
fn dialect(sql: &'static str) -> String {
    sql.replace(
        "now_ms()",
        "CAST(round(unixepoch('subsec') * 1000) AS INTEGER)",
    )
    .replace("random_id()", "lower(hex(randomblob(8)))")
    .replace("take_slice(s, j)", "")
    .replace("take_both(s, j)", "")
    .replace("lock_alone()", "")
    .replace("lock_shared()", "")
}

/// Busy or locked, with their extended forms in the higher byte.
pub(super) fn is_transient(fault: &sqlx::Error) -> bool {
    let Some(fault) = fault
        .as_database_error()
        .and_then(|fault| fault.try_downcast_ref::<SqliteError>())
    else {
        return false;
    };
    let code = fault.code().and_then(|code| code.parse::<u32>().ok());
    matches!(code.map(|code| code & 0xff), Some(5 | 6))
}
