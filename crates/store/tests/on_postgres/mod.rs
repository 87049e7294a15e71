//! What only PostgreSQL has: a server that several processes share and that can go away.

pub mod cuts;
pub mod faults;
pub mod moving;
pub mod opening;
pub mod sharing;

use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use crate::contract::Place;
use leanwright_store::Options;
use sqlx::postgres::{PgConnectOptions, PgConnection};
use sqlx::{AssertSqlSafe, ConnectOptions, Connection};
use tokio::sync::{OwnedRwLockReadGuard, OwnedRwLockWriteGuard, RwLock};

/// A schema of its own on the server of these tests. As long as it lives, the server stays up.
pub struct Schema {
    pub name: String,
    pub url: String,
    _up: Option<OwnedRwLockReadGuard<()>>,
}

impl Place for Schema {
    fn options(&self) -> Options {
        Options {
            connections: 8,
            ..Options::new(self.url.clone())
        }
    }

    async fn raw(&self, sql: String) -> Result<u64, sqlx::Error> {
        // The contract's statements are SQLite's own but for this one word.
        raw(&self.url, sql.replace("AS BLOB", "AS BYTEA")).await
    }
}

/// The URL of the server's first database.
pub fn server() -> String {
    std::env::var("LEANWRIGHT_TEST_POSTGRES").expect("run these tests by tests/postgres/with")
}

/// A connection past the store.
pub async fn plain(url: &str) -> Result<PgConnection, sqlx::Error> {
    let options: PgConnectOptions = url.parse()?;
    options.connect().await
}

pub async fn raw(url: &str, sql: String) -> Result<u64, sqlx::Error> {
    let mut plain = plain(url).await?;
    let done = sqlx::raw_sql(AssertSqlSafe(sql)).execute(&mut plain).await;
    plain.close().await?;
    Ok(done?.rows_affected())
}

/// The first column of a single row.
pub async fn number(url: &str, sql: String) -> i64 {
    let mut plain = plain(url).await.unwrap();
    let row = sqlx::query_scalar(AssertSqlSafe(sql)).fetch_one(&mut plain);
    let number = row.await.unwrap();
    plain.close().await.unwrap();
    number
}

fn uptime() -> Arc<RwLock<()>> {
    static UP: std::sync::OnceLock<Arc<RwLock<()>>> = std::sync::OnceLock::new();
    UP.get_or_init(Arc::default).clone()
}

pub async fn schema() -> Schema {
    let up = uptime().read_owned().await;
    Schema {
        _up: Some(up),
        ..unguarded_schema().await
    }
}

async fn unguarded_schema() -> Schema {
    static NEXT: AtomicU32 = AtomicU32::new(0);
    let number = NEXT.fetch_add(1, Ordering::Relaxed);
    let name = format!("t{}_{number}", std::process::id());
    raw(&server(), format!("CREATE SCHEMA {name}"))
        .await
        .unwrap();
    let url = format!(
        "{}&options[search_path]={name}&application_name={name}",
        server()
    );
    Schema {
        name,
        url,
        _up: None,
    }
}

/// The server to oneself: no other test runs, and it may be stopped and started.
pub struct Alone {
    pub schema: Schema,
    _down: OwnedRwLockWriteGuard<()>,
}

pub async fn alone() -> Alone {
    let down = uptime().write_owned().await;
    Alone {
        schema: unguarded_schema().await,
        _down: down,
    }
}

/// Stops or starts the server, as `tests/postgres/with` tells how.
pub fn control(words: &[&str]) {
    let control = std::env::var("LEANWRIGHT_TEST_POSTGRES_CTL")
        .expect("run these tests by tests/postgres/with");
    let status = Command::new(control).args(words).status().unwrap();
    assert!(status.success(), "{words:?}: {status}");
}
