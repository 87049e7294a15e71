//! `/v1/quantities`: everything that can be a goal, a requirement or a hold.

use axum::Json;
use design::{QuantityRow, quantities};

/// List every quantity: name, unit, sign, definition.
#[utoipa::path(get, operation_id = "list_quantities", path = "/v1/quantities", tag = "about",
    responses((status = 200, description = "The quantities", body = [QuantityRow])))]
pub async fn list() -> Json<Vec<QuantityRow>> {
    Json(quantities())
}
