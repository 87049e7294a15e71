//! Problem documents of RFC 9457: the one form every error takes on the wire.

use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::problem_kind::Kind;

/// The media type of a problem document.
pub const MEDIA_TYPE: &str = "application/problem+json";

/// One fault in an input: where it is, what is wrong, what stood there and what may stand there.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct InputFault {
    /// JSON pointer (RFC 6901) to the faulty value; empty for the whole document.
    #[schema(example = "/freedoms/0/offset_from_mm")]
    pub pointer: String,
    /// What is wrong, in one sentence.
    pub message: String,
    /// The value as submitted; null when it is absent.
    pub value: serde_json::Value,
    /// The values or the range that would have been accepted.
    pub allowed: String,
}

/// An error as RFC 9457 describes it, with the faults of the input as an extension member.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Problem {
    /// A relative reference naming the kind of problem; fetching it explains the kind.
    #[serde(rename = "type")]
    #[schema(example = "/problems/bad-input")]
    pub kind: String,
    /// The kind of problem in a few words.
    pub title: String,
    /// The HTTP status.
    #[schema(example = 422)]
    pub status: u16,
    /// What happened this time.
    pub detail: String,
    /// Every fault found in the input; absent when the input is not to blame.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub faults: Vec<InputFault>,
    /// Seconds after which another try makes sense; sent as the Retry-After header.
    #[serde(skip)]
    pub retry_after_s: Option<u32>,
}

impl Problem {
    /// A problem of this kind; `detail` says what happened this time.
    pub fn new(kind: Kind, detail: impl Into<String>) -> Self {
        Self {
            kind: kind.reference(),
            title: kind.title().to_owned(),
            status: kind.status().as_u16(),
            detail: detail.into(),
            faults: Vec::new(),
            retry_after_s: kind.retry_after_s(),
        }
    }

    /// An input that was read but holds these faults.
    pub fn bad_input(faults: Vec<InputFault>) -> Self {
        let detail = match faults.as_slice() {
            [only] => format!("{}: {}", place(&only.pointer), only.message),
            [first, ..] => format!(
                "{} faults; the first is {}: {}",
                faults.len(),
                place(&first.pointer),
                first.message
            ),
            [] => "the input is not valid".to_owned(),
        };
        Self {
            faults,
            ..Self::new(Kind::BadInput, detail)
        }
    }

    /// A query parameter or header with a value outside what is allowed.
    pub fn bad_parameter(name: &str, value: &str, message: &str, allowed: &str) -> Self {
        let fault = InputFault {
            pointer: format!("/{}", name.replace('~', "~0").replace('/', "~1")),
            message: message.to_owned(),
            value: value.into(),
            allowed: allowed.to_owned(),
        };
        Self {
            faults: vec![fault],
            ..Self::new(
                Kind::BadParameter,
                format!("{name}: {message}; allowed: {allowed}"),
            )
        }
    }

    /// Nothing of this name stands here.
    pub fn not_found(what: &str, name: &str) -> Self {
        Self::new(Kind::NotFound, format!("there is no {what} \"{name}\""))
    }

    /// Whether this problem is of the given kind.
    pub fn is(&self, kind: Kind) -> bool {
        self.kind == kind.reference()
    }

    fn status_code(&self) -> StatusCode {
        StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
    }
}

fn place(pointer: &str) -> &str {
    if pointer.is_empty() {
        "the document"
    } else {
        pointer
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let status = self.status_code();
        let retry_after_s = self.retry_after_s;
        let mut response = (status, Json(self)).into_response();
        let headers = response.headers_mut();
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(MEDIA_TYPE));
        if let Some(seconds) = retry_after_s {
            headers.insert(header::RETRY_AFTER, HeaderValue::from(seconds));
        }
        if status == StatusCode::UNAUTHORIZED {
            headers.insert(header::WWW_AUTHENTICATE, HeaderValue::from_static("Bearer"));
        }
        response
    }
}
