//! Opening and closing, and what all operations share.

use std::sync::Arc;
use std::time::Duration;

use sha2::{Digest, Sha256};
use tokio::sync::watch;

use crate::db::{self, Arg, Db, Listening, Row, Tx, retried};
use crate::error::{Error, OpenError};
use crate::lock::FileLock;
use crate::options::Options;
use crate::schema;

/// Versions of a store's schema before and after a migration.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Migrated {
    /// The version found; 0 for a store that was empty.
    pub found: i64,
    /// The version that it has now.
    pub now: i64,
}

/// A store of jobs. Cheap to clone; clones share the connections.
#[derive(Clone)]
pub struct Store {
    shared: Arc<Shared>,
}

struct Shared {
    db: Db,
    options: Options,
    changes: watch::Sender<u64>,
    /// Both held for as long as any clone lives.
    _lock: Option<FileLock>,
    _listening: Option<Listening>,
}

impl Store {
    /// Opens the store, creating and migrating it where the options allow. On SQLite, slices that a
    /// dead server left running are given back to be claimed, since nobody else can hold them.
    ///
    /// # Errors
    /// [`OpenError`], which never shows the URL.
    pub async fn open(options: &Options) -> Result<Store, OpenError> {
        let (db, lock) = connect(options).await?;
        schema::prepare(&db, options.migrate).await?;
        schema::may_write(&db).await?;
        let alone = lock.is_some();
        let changes = watch::Sender::new(0);
        let told = changes.clone();
        let listening = db.listen(move || told.send_modify(|count| *count += 1));
        let shared = Shared {
            db,
            options: options.clone(),
            changes,
            _lock: lock,
            _listening: listening,
        };
        let store = Store {
            shared: Arc::new(shared),
        };
        if alone {
            store.rescue_orphans().await?;
        }
        Ok(store)
    }

    /// Moves the store to the newest schema that this build knows, making it when absent, and closes it.
    ///
    /// # Errors
    /// [`OpenError`], which never shows the URL.
    pub async fn migrate(options: &Options) -> Result<Migrated, OpenError> {
        let (db, _lock) = connect(&Options {
            migrate: true,
            ..options.clone()
        })
        .await?;
        let found = schema::prepare(&db, true).await?;
        db.close().await;
        Ok(Migrated {
            found,
            now: schema::KNOWN,
        })
    }

    /// Closes the connections. Operations that follow fail; unfinished ones end first.
    pub async fn close(&self) {
        self.shared.db.close().await;
    }

    /// A counter that moves with every change that this process made to the store, and on PostgreSQL
    /// with every submission anywhere. Other processes may change more, so a listener polls as well,
    /// only more seldom.
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
        retried!(self.shared.db.read(sql, args))
    }

    pub(crate) async fn one(
        &self,
        sql: &'static str,
        args: &[Arg<'_>],
    ) -> Result<Option<Row>, Error> {
        Ok(self.read(sql, args).await?.pop())
    }

    /// Commits what went well and undoes what did not.
    pub(crate) async fn settle<T>(&self, tx: Tx, outcome: Result<T, Error>) -> Result<T, Error> {
        match outcome {
            Ok(value) => self.commit(tx).await.map(|()| value),
            Err(fault) => {
                // A connection that can't even undo is closed, which undoes as well.
                drop(tx.rollback().await);
                Err(fault)
            }
        }
    }

    /// Commits, then tells the listeners of this process.
    pub(crate) async fn commit(&self, tx: Tx) -> Result<(), Error> {
        tx.commit().await?;
        self.shared.changes.send_modify(|count| *count += 1);
        Ok(())
    }
}

/// The database, and the lock where one process has it alone.
async fn connect(options: &Options) -> Result<(Db, Option<FileLock>), OpenError> {
    if let Some(path) = db::sqlite_path(&options.url)? {
        let lock = FileLock::take(&path)?;
        return Ok((db::open_sqlite(&path, options.migrate).await?, Some(lock)));
    }
    match options.url.split_once(':') {
        Some(("postgres" | "postgresql", _)) => Ok((
            db::open_postgres(&options.url, options.connections, options.lease).await?,
            None,
        )),
        Some((scheme, _)) => Err(OpenError::Scheme {
            scheme: scheme.to_owned(),
        }),
        None => Err(OpenError::Url),
    }
}

/// SHA-256 as lower-case hexadecimal digits.
pub(crate) fn sha256_hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
