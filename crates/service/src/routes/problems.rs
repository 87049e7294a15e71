//! `/problems`: what each kind of problem means, so that a `type` can be followed.

use crate::extract::Path;
use axum::Json;
use serde::Serialize;
use utoipa::ToSchema;

use crate::problem::Problem;
use crate::problem_kind::{KINDS, Kind};

/// One kind of problem.
#[derive(Debug, Serialize, ToSchema)]
pub struct ProblemKind {
    /// Its `type` in a problem document.
    #[serde(rename = "type")]
    pub reference: String,
    /// Its title.
    pub title: String,
    /// Its HTTP status.
    pub status: u16,
    /// What a caller can do about it.
    pub advice: String,
}

impl From<Kind> for ProblemKind {
    fn from(kind: Kind) -> Self {
        Self {
            reference: kind.reference(),
            title: kind.title().to_owned(),
            status: kind.status().as_u16(),
            advice: kind.advice().to_owned(),
        }
    }
}

/// List every kind of problem.
#[utoipa::path(get, operation_id = "list_problems", path = "/problems", tag = "about",
    responses((status = 200, description = "Every kind of problem", body = [ProblemKind])))]
pub async fn list() -> Json<Vec<ProblemKind>> {
    Json(KINDS.into_iter().map(ProblemKind::from).collect())
}

/// Explain one kind of problem.
#[utoipa::path(get, operation_id = "get_problem", path = "/problems/{name}", tag = "about",
    params(("name" = String, Path, description = "Last segment of the problem's type")),
    responses(
        (status = 200, description = "The kind of problem", body = ProblemKind),
        (status = 404, description = "No such kind", body = Problem,
            content_type = "application/problem+json"),
    ))]
pub async fn one(Path(name): Path<String>) -> Result<Json<ProblemKind>, Problem> {
    let kind = KINDS.into_iter().find(|kind| kind.name() == name);
    kind.map(|kind| Json(kind.into()))
        .ok_or_else(|| Problem::not_found("kind of problem", &name))
}
