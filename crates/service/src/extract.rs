//! Path and query extractors whose refusals are problem documents.

use axum::extract::{FromRequestParts, Path as AxumPath, Query as AxumQuery};
use axum::http::request::Parts;
use serde::de::DeserializeOwned;
use store::{JobId, VehicleId};

use crate::problem::Problem;
use crate::problem_kind::Kind;

/// Parts of the path.
#[derive(Debug)]
pub struct Path<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned + Send> FromRequestParts<S> for Path<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        let path = parts.uri.path().to_owned();
        match AxumPath::<T>::from_request_parts(parts, state).await {
            Ok(AxumPath(value)) => Ok(Self(value)),
            Err(_) => Err(Problem::not_found("resource", &path)),
        }
    }
}

/// Parameters of the query; unknown ones are refused by the types this is used with.
#[derive(Debug)]
pub struct Query<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequestParts<S> for Query<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        match AxumQuery::<T>::from_request_parts(parts, state).await {
            Ok(AxumQuery(value)) => Ok(Self(value)),
            Err(rejection) => Err(Problem::new(Kind::BadParameter, rejection.body_text())),
        }
    }
}

/// The id of a job from its text.
///
/// # Errors
/// [`Kind::NotFound`] when no job can have this id.
pub fn job_id(text: &str) -> Result<JobId, Problem> {
    JobId::parse(text).ok_or_else(|| Problem::not_found("job", text))
}

/// The id of a saved vehicle from its text.
///
/// # Errors
/// [`Kind::NotFound`] when no vehicle can have this id.
pub fn vehicle_id(text: &str) -> Result<VehicleId, Problem> {
    VehicleId::parse(text).ok_or_else(|| Problem::not_found("vehicle", text))
}

/// The length of a page of a list.
///
/// # Errors
/// [`Kind::BadParameter`] unless it is a whole number from 1 to `most`.
pub fn page_limit(text: &str, most: u32) -> Result<u32, Problem> {
    let number = text.parse().ok().filter(|n| (1..=most).contains(n));
    number.ok_or_else(|| {
        let allowed = format!("a whole number from 1 to {most}");
        Problem::bad_parameter("limit", text, "not a possible length of a page", &allowed)
    })
}
