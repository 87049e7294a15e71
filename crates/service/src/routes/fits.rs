//! `/v1/fits`: a machine as built, explained from readings.

use axum::Json;
use axum::extract::State;
use design::{AsBuiltFit, fit_as_built, parse_as_built};

use crate::body::JsonBody;
use crate::convert::faulty;
use crate::problem::Problem;
use crate::state::App;

/// Fit a machine as built: which deviations from its drawing explain what was read off it.
///
/// The body holds the vehicle as drawn, readings of toe, camber and height in poses, and what may
/// deviate, each with the standard deviation that is expected; its schema is at /v1/schema/fit.
/// The answer gives each deviation with its uncertainty, names those that the readings do not see
/// or tell together only, and, where changes are allowed, the smallest change that brings the
/// readings back to those of the drawing.
#[utoipa::path(post, operation_id = "fit_as_built", path = "/v1/fits", tag = "at once",
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A vehicle as drawn, readings, unknowns, and changes that are allowed"),
    responses(
        (status = 200, description = "The fit", body = AsBuiltFit),
        (status = 400, description = "Not JSON", body = Problem,
            content_type = "application/problem+json"),
        (status = 422, description = "The input holds faults, a pose cannot be reached, or fewer \
            figures were read than there are unknowns",
            body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many are waiting; see Retry-After", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn fit(State(app): State<App>, body: JsonBody) -> Result<Json<AsBuiltFit>, Problem> {
    let asked = parse_as_built(&body.text).map_err(faulty)?;
    let answer = app.reports().run(move || fit_as_built(&asked)).await?;
    answer.map(Json).map_err(faulty)
}
