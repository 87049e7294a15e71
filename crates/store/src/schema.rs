//! The versions of the tables, and moving a store up to the newest.

use crate::db::{Arg, Db, Tx};
use crate::error::{Error, OpenError};
use crate::store::sha256_hex;

/// A step from one version to the next; never edited once released.
struct Migration {
    version: i64,
    sql: &'static str,
}

macro_rules! migration {
    ($version:literal, $file:literal) => {
        Migration {
            version: $version,
            sql: include_str!(concat!("../../../migrations/", $file)),
        }
    };
}

const SQLITE: &[Migration] = &[
    migration!(1, "sqlite/0001_jobs_and_slices.sql"),
    migration!(2, "sqlite/0002_early_stop_and_longer_runs.sql"),
    migration!(3, "sqlite/0003_saved_vehicles.sql"),
    migration!(4, "sqlite/0004_kinds_and_imports.sql"),
];
const POSTGRES: &[Migration] = &[
    migration!(1, "postgres/0001_jobs_and_slices.sql"),
    migration!(2, "postgres/0002_early_stop_and_longer_runs.sql"),
    migration!(3, "postgres/0003_saved_vehicles.sql"),
    migration!(4, "postgres/0004_kinds_and_imports.sql"),
];

/// The newest version that this build knows; the same on every engine.
pub(crate) const KNOWN: i64 = SQLITE.len() as i64;
const _: () = assert!(SQLITE.len() == POSTGRES.len());

/// Checks the store's version, and migrates it when allowed, all in one transaction. Answers the
/// version found.
pub(crate) async fn prepare(db: &Db, migrate: bool) -> Result<i64, OpenError> {
    let mut tx = db.begin().await?;
    let steps = steps(&mut tx).await?;
    let found = applied(&mut tx).await?;
    refuse_foreign(&found, steps)?;
    let version = found.len() as i64;
    if version == KNOWN {
        return Ok(version);
    }
    if !migrate {
        return Err(OpenError::OlderSchema {
            found: version,
            known: KNOWN,
        });
    }
    for step in steps.iter().filter(|step| step.version > version) {
        apply(&mut tx, step).await?;
    }
    tx.commit().await?;
    Ok(version)
}

/// Whether this user may write what every process writes, asked by statements that change no row: else
/// a worker would go on asking in vain.
pub(crate) async fn may_write(db: &Db) -> Result<(), OpenError> {
    let mut tx = db.begin().await?;
    for sql in [
        "INSERT INTO workers (name, build, threads, started_at, seen_at) \
         SELECT name, build, threads, started_at, seen_at FROM workers WHERE 1 = 0",
        "UPDATE workers SET seen_at = seen_at WHERE 1 = 0",
        "UPDATE slices SET epoch = epoch WHERE 1 = 0",
        "UPDATE jobs SET paused = paused WHERE 1 = 0",
    ] {
        tx.run(sql, &[]).await?;
    }
    tx.commit().await?;
    Ok(())
}

/// This engine's migrations. On PostgreSQL, of several processes that start at once one goes first.
async fn steps(tx: &mut Tx) -> Result<&'static [Migration], Error> {
    match tx {
        Tx::Sqlite(_) => Ok(SQLITE),
        Tx::Postgres(_) => {
            tx.rows("SELECT pg_advisory_xact_lock(7010915)", &[])
                .await?;
            Ok(POSTGRES)
        }
    }
}

/// Digests of the migrations in the store, in order of version.
async fn applied(tx: &mut Tx) -> Result<Vec<String>, Error> {
    let table = match tx {
        Tx::Sqlite(_) => "SELECT name FROM sqlite_schema WHERE name = 'migrations'",
        Tx::Postgres(_) => {
            "SELECT CAST(relname AS TEXT) FROM pg_class WHERE oid = to_regclass('migrations')"
        }
    };
    if tx.rows(table, &[]).await?.is_empty() {
        return Ok(vec![]);
    }
    let rows = tx
        .rows("SELECT sha256 FROM migrations ORDER BY version", &[])
        .await?;
    rows.iter().map(|row| row.text(0)).collect()
}

fn refuse_foreign(found: &[String], steps: &[Migration]) -> Result<(), OpenError> {
    if found.len() > steps.len() {
        return Err(OpenError::NewerSchema {
            found: found.len() as i64,
            known: KNOWN,
        });
    }
    for (digest, step) in found.iter().zip(steps) {
        if *digest != sha256_hex(step.sql.as_bytes()) {
            return Err(OpenError::ForeignSchema {
                version: step.version,
            });
        }
    }
    Ok(())
}

async fn apply(tx: &mut Tx, step: &Migration) -> Result<(), Error> {
    tx.script(step.sql).await?;
    let digest = sha256_hex(step.sql.as_bytes());
    tx.run(
        "INSERT INTO migrations (version, sha256, applied_at) VALUES ($1, $2, now_ms())",
        &[Arg::Int(step.version), Arg::Text(&digest)],
    )
    .await?;
    Ok(())
}
