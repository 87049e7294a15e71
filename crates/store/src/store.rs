//! Opening and closing, and what all operations share.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use sha2::{Digest, Sha256};
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous};
use tokio::sync::watch;

use crate::db::{Arg, Db, Row, Tx};
use crate::error::{Error, OpenError};
use crate::lock::FileLock;
use crate::options::Options;
use crate::schema;

/// A store of jobs. Cheap to clone; clones share the connections.
#[derive(Clone)]
pub struct Store {
    shared: Arc<Shared>,
}

struct Shared {
    db: Db,
    options: Options,
    changes: watch::Sender<u64>,
    /// Held for as long as any clone lives.
    _lock: Option<FileLock>,
}

impl Store {
    /// Opens the store, creating and migrating it where the options allow. On SQLite, slices that a
    /// dead server left running are given back to be claimed, since nobody else can hold them.
    ///
    /// # Errors
    /// [`OpenError`], which never shows the URL.
    pub async fn open(options: &Options) -> Result<Store, OpenError> {
        let path = sqlite_path(&options.url)?;
        let lock = FileLock::take(&path)?;
        let db = open_sqlite(&path, options.migrate).await?;
        schema::prepare(&db, options.migrate).await?;
        let (changes, _) = watch::channel(0);
        let shared = Shared {
            db,
            options: options.clone(),
            changes,
            _lock: Some(lock),
        };
        let store = Store {
            shared: Arc::new(shared),
        };
        store.rescue_orphans().await?;
        Ok(store)
    }

    /// Closes the connections. Operations that follow fail; unfinished ones end first.
    pub async fn close(&self) {
        self.shared.db.close().await;
    }

    /// A counter that moves with every change that this process made to the store. Other processes
    /// may change it too, so a listener polls as well, only more seldom.
    pub fn changes(&self) -> watch::Receiver<u64> {
        self.shared.changes.subscribe()
    }

    /// How long a claim holds without a beat.
    pub fn lease(&self) -> Duration {
        self.shared.options.lease
    }

    /// The database's clock, ms since 1970.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn now(&self) -> Result<i64, Error> {
        self.one("SELECT now_ms()", &[])
            .await?
            .map_or(Ok(0), |row| row.int(0))
    }

    pub(crate) fn options(&self) -> &Options {
        &self.shared.options
    }

    pub(crate) async fn begin(&self) -> Result<Tx, Error> {
        self.shared.db.begin().await
    }

    pub(crate) async fn read(
        &self,
        sql: &'static str,
        args: &[Arg<'_>],
    ) -> Result<Vec<Row>, Error> {
        self.shared.db.read(sql, args).await
    }

    pub(crate) async fn one(
        &self,
        sql: &'static str,
        args: &[Arg<'_>],
    ) -> Result<Option<Row>, Error> {
        Ok(self.read(sql, args).await?.pop())
    }

    /// Commits, then tells the listeners of this process.
    pub(crate) async fn commit(&self, tx: Tx) -> Result<(), Error> {
        tx.commit().await?;
        self.shared.changes.send_modify(|count| *count += 1);
        Ok(())
    }
}

/// SHA-256 as lower-case hexadecimal digits.
pub(crate) fn sha256_hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

fn sqlite_path(url: &str) -> Result<PathBuf, OpenError> {
    let path = match url.split_once(':') {
        Some(("sqlite", rest)) => rest.strip_prefix("//").unwrap_or(rest),
        // A single letter before the colon is a drive, not a scheme.
        Some((scheme, _))
            if scheme.len() > 1 && scheme.bytes().all(|b| b.is_ascii_alphanumeric()) =>
        {
            return Err(OpenError::Scheme {
                scheme: scheme.to_owned(),
            });
        }
        _ => url,
    };
    if path.is_empty() {
        return Err(OpenError::Scheme {
            scheme: "sqlite".to_owned(),
        });
    }
    Ok(PathBuf::from(path))
}

async fn open_sqlite(path: &Path, create: bool) -> Result<Db, OpenError> {
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
        .connect_with(common.clone())
        .await?;
    let reading = common.pragma("query_only", "ON");
    let readers = SqlitePoolOptions::new()
        .max_connections(4)
        .connect_with(reading)
        .await?;
    Ok(Db::Sqlite { writer, readers })
}
