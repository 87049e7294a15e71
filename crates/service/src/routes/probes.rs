//! `/healthz`, `/readyz` and `/metrics`: what watches over the server asks for.

use axum::Json;
use axum::extract::State;
use axum::http::header;
use axum::response::IntoResponse;
use serde::Serialize;
use utoipa::ToSchema;

use crate::convert::store_problem;
use crate::metrics::Gauge;
use crate::problem::Problem;
use crate::refusals::StoreSilent;
use crate::state::App;

/// A short word on how the server is.
#[derive(Debug, Serialize, ToSchema)]
pub struct Health {
    /// `ok` or `ready`.
    pub status: &'static str,
}

/// The process answers.
#[utoipa::path(get, operation_id = "get_health", path = "/healthz", tag = "about",
    responses((status = 200, description = "The process answers", body = Health)))]
pub async fn healthz() -> Json<Health> {
    Json(Health { status: "ok" })
}

/// The store answers, too.
#[utoipa::path(get, operation_id = "get_readiness", path = "/readyz", tag = "about",
    responses(
        (status = 200, description = "The store answers", body = Health),
        StoreSilent,
    ))]
pub async fn readyz(State(app): State<App>) -> Result<Json<Health>, Problem> {
    app.store().now().await.map_err(store_problem)?;
    Ok(Json(Health { status: "ready" }))
}

/// Counters in the text exposition format.
#[utoipa::path(get, operation_id = "get_metrics", path = "/metrics", tag = "about",
    responses(
        (status = 200, description = "The counters", body = String, content_type = "text/plain"),
        StoreSilent,
    ))]
pub async fn metrics(State(app): State<App>) -> Result<impl IntoResponse, Problem> {
    let workers = app.store().workers().await.map_err(store_problem)?;
    let alive = workers.iter().filter(|worker| worker.alive);
    let threads = alive.clone().map(|worker| u64::from(worker.info.threads));
    let gauges = [
        gauge(
            "event_listeners",
            "Open event streams.",
            app.open_listeners() as u64,
        ),
        gauge("workers", "Workers heard of lately.", alive.count() as u64),
        gauge("worker_threads", "Their compute threads.", threads.sum()),
        gauge(
            "worker_slices",
            "Slices completed by the known workers.",
            workers.iter().map(|worker| worker.slices).sum(),
        ),
    ];
    let text = app.metrics().text(&gauges);
    Ok(([(header::CONTENT_TYPE, "text/plain; version=0.0.4")], text))
}

fn gauge(name: &'static str, help: &'static str, value: u64) -> Gauge {
    Gauge {
        name,
        help,
        values: vec![(String::new(), value)],
    }
}
