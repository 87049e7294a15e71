//! `/v1/workers`: who computes.

use axum::Json;
use axum::extract::State;
use serde::Serialize;
use store::WorkerRow;
use utoipa::ToSchema;

use crate::convert::store_problem;
use crate::problem::Problem;
use crate::state::App;
use crate::time::rfc3339;

/// A worker as last heard of.
#[derive(Debug, Serialize, ToSchema)]
pub struct Worker {
    /// Its name, unique to its process and start.
    pub name: String,
    /// Its build; a job is computed by one build only.
    pub build: String,
    /// Its compute threads; 0 once it has said that it ends.
    pub threads: u32,
    /// Whether it was heard of within three leases, and has not said that it ends.
    pub alive: bool,
    /// Slices it completed.
    pub slices: u64,
    /// When it was first heard of.
    #[schema(format = DateTime)]
    pub started_at: String,
    /// When it was last heard of.
    #[schema(format = DateTime)]
    pub seen_at: String,
}

impl From<WorkerRow> for Worker {
    fn from(row: WorkerRow) -> Self {
        Self {
            name: row.info.name,
            build: row.info.build,
            threads: row.info.threads,
            alive: row.alive,
            slices: row.slices,
            started_at: rfc3339(row.started_at),
            seen_at: rfc3339(row.seen_at),
        }
    }
}

/// List workers, the last heard of first.
#[utoipa::path(get, operation_id = "list_workers", path = "/v1/workers", tag = "about",
    responses((status = 200, description = "The workers", body = [Worker])))]
pub async fn list(State(app): State<App>) -> Result<Json<Vec<Worker>>, Problem> {
    let rows = app.store().workers().await.map_err(store_problem)?;
    Ok(Json(rows.into_iter().map(Worker::from).collect()))
}
