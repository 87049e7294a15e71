//! The versions of the tables, and moving a store up to the newest.

use crate::db::{Arg, Db};
use crate::error::{Error, OpenError};
use crate::store::sha256_hex;

/// A step from one version to the next; never edited once released.
struct Migration {
    version: i64,
    sql: &'static str,
}

const SQLITE: &[Migration] = &[Migration {
    version: 1,
    sql: include_str!("../../../migrations/sqlite/0001_jobs_and_slices.sql"),
}];

/// The newest version that this build knows.
pub(crate) const KNOWN: i64 = SQLITE.len() as i64;

/// Checks the store's version, and migrates it when allowed. Answers the version found.
pub(crate) async fn prepare(db: &Db, migrate: bool) -> Result<i64, OpenError> {
    let found = applied(db).await?;
    refuse_foreign(&found)?;
    let version = found.len() as i64;
    if version < KNOWN && !migrate {
        return Err(OpenError::OlderSchema {
            found: version,
            known: KNOWN,
        });
    }
    for step in SQLITE.iter().filter(|step| step.version > version) {
        apply(db, step).await?;
    }
    Ok(version)
}

/// Digests of the migrations in the store, in order of version.
async fn applied(db: &Db) -> Result<Vec<String>, Error> {
    let mut tx = db.begin().await?;
    tx.run(
        "CREATE TABLE IF NOT EXISTS migrations \
         (version INTEGER PRIMARY KEY, sha256 TEXT NOT NULL, applied_at BIGINT NOT NULL)",
        &[],
    )
    .await?;
    let rows = tx
        .rows("SELECT sha256 FROM migrations ORDER BY version", &[])
        .await?;
    let found = rows
        .iter()
        .map(|row| row.text(0))
        .collect::<Result<_, _>>()?;
    tx.commit().await?;
    Ok(found)
}

fn refuse_foreign(found: &[String]) -> Result<(), OpenError> {
    if found.len() > SQLITE.len() {
        return Err(OpenError::NewerSchema {
            found: found.len() as i64,
            known: KNOWN,
        });
    }
    for (digest, step) in found.iter().zip(SQLITE) {
        if *digest != sha256_hex(step.sql.as_bytes()) {
            return Err(OpenError::ForeignSchema {
                version: step.version,
            });
        }
    }
    Ok(())
}

async fn apply(db: &Db, step: &Migration) -> Result<(), Error> {
    let mut tx = db.begin().await?;
    tx.script(step.sql).await?;
    let digest = sha256_hex(step.sql.as_bytes());
    tx.run(
        "INSERT INTO migrations (version, sha256, applied_at) VALUES ($1, $2, now_ms())",
        &[Arg::Int(step.version), Arg::Text(&digest)],
    )
    .await?;
    tx.commit().await
}
