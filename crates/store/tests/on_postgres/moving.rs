//! Jobs that move between the engines.

use super::schema;
use crate::contract::transfer::{as_it_left, finished};
use crate::contract::{Place, World};
use leanwright_store::{Options, Store};
use tempfile::TempDir;

/// A SQLite file in a folder of its own.
struct Folder(TempDir);

impl Place for Folder {
    fn options(&self) -> Options {
        Options::new(self.0.path().join("jobs.db").display().to_string())
    }

    async fn raw(&self, _: String) -> Result<u64, sqlx::Error> {
        Ok(0)
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_job_moves_from_sqlite_to_postgresql_and_back() {
    let small = World::new(Folder(TempDir::new().unwrap())).await;
    let large = World::new(schema().await).await;
    let id = finished(&small).await;
    let whole = small.store.export(&id).await.unwrap();
    large.store.import(&whole).await.unwrap();
    let moved = as_it_left(large.store.export(&id).await.unwrap());
    assert_eq!(moved, whole);
    let third = Folder(TempDir::new().unwrap());
    let third = Store::open(&third.options()).await.unwrap();
    third.import(&moved).await.unwrap();
    assert_eq!(as_it_left(third.export(&id).await.unwrap()), whole);
}
