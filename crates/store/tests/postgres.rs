//! The contract on PostgreSQL. The server is started by `tests/postgres/with`, which names it in the
//! environment; each test has a schema of its own there.

#![allow(clippy::unwrap_used, missing_docs)]

mod contract;

use std::sync::atomic::{AtomicU32, Ordering};

use contract::{Place, World};
use leanwright_store::{OpenError, Options, Store};
use sqlx::postgres::PgConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions, Connection};

/// A schema of its own on the server of these tests.
pub struct Schema {
    url: String,
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

fn server() -> String {
    std::env::var("LEANWRIGHT_TEST_POSTGRES").expect("run these tests by tests/postgres/with")
}

async fn raw(url: &str, sql: String) -> Result<u64, sqlx::Error> {
    let options: PgConnectOptions = url.parse()?;
    let mut plain = options.connect().await?;
    let done = sqlx::raw_sql(AssertSqlSafe(sql)).execute(&mut plain).await;
    plain.close().await?;
    Ok(done?.rows_affected())
}

pub async fn schema() -> Schema {
    static NEXT: AtomicU32 = AtomicU32::new(0);
    let number = NEXT.fetch_add(1, Ordering::Relaxed);
    let name = format!("t{}_{number}", std::process::id());
    raw(&server(), format!("CREATE SCHEMA {name}"))
        .await
        .unwrap();
    Schema {
        url: format!("{}&options[search_path]={name}", server()),
    }
}

suite!(crate::schema);

#[tokio::test]
async fn a_newer_schema_is_refused_and_untouched() {
    let World { store, place } = World::new(schema().await).await;
    store.close().await;
    place
        .raw("INSERT INTO migrations VALUES (2, 'x', 0)".into())
        .await
        .unwrap();
    assert!(matches!(
        Store::open(&place.options()).await,
        Err(OpenError::NewerSchema { found: 2, known: 1 })
    ));
}

#[tokio::test]
async fn without_leave_to_migrate_nothing_is_made() {
    let place = schema().await;
    let options = Options {
        migrate: false,
        ..place.options()
    };
    let refused = Store::open(&options).await.err();
    assert!(
        matches!(refused, Some(OpenError::OlderSchema { found: 0, known: 1 })),
        "{refused:?}"
    );
    Store::open(&place.options()).await.unwrap();
    Store::open(&options).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn servers_that_start_at_once_migrate_once() {
    let place = schema().await;
    let openings: Vec<_> = (0..6)
        .map(|_| {
            let options = place.options();
            tokio::spawn(async move { Store::open(&options).await.map(drop) })
        })
        .collect();
    for opening in openings {
        opening.await.unwrap().unwrap();
    }
}

/// Unlike SQLite's, this store has several servers: one that starts must not take the others' slices.
#[tokio::test]
async fn a_second_server_leaves_running_slices_alone() {
    let world = World::new(schema().await).await;
    world.submit(1, 2).await;
    let claim = world.claim("a").await;
    let second = Store::open(&world.place.options()).await.unwrap();
    second.beat(&claim).await.unwrap();
    assert!(world.nothing_to_claim().await);
}

#[tokio::test]
async fn a_url_that_cannot_be_read_is_not_shown() {
    let fault = Store::open(&Options::new("postgres://me:secret@[there/jobs"))
        .await
        .err()
        .unwrap();
    assert!(matches!(fault, OpenError::Url));
    assert!(!fault.to_string().contains("secret"));
}
