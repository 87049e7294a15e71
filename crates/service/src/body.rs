//! Reading a JSON body: media type, size, time, syntax; each refusal is a problem document.

use std::time::Duration;

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use axum::http::{HeaderMap, header};
use http_body_util::{BodyExt, LengthLimitError, Limited};
use serde::de::DeserializeOwned;
use serde_json::Value;
use serde_path_to_error::{Path, Segment};
use tokio::sync::OwnedSemaphorePermit;

use crate::job_file::MEDIA_TYPE;
use crate::problem::{InputFault, Problem};
use crate::problem_kind::Kind;
use crate::state::App;

/// The body of a request as the bytes that came and the JSON value they hold.
#[derive(Debug)]
pub struct JsonBody {
    /// The text as sent: what is kept, and what an idempotency key is compared by.
    pub text: String,
    /// The same, parsed.
    pub value: Value,
}

impl JsonBody {
    /// The body as a record of this interface; a fault of its form is pointed at.
    ///
    /// # Errors
    /// [`Kind::BadInput`] with the first fault.
    pub fn read<T: DeserializeOwned>(&self, allowed: &str) -> Result<T, Problem> {
        let mut source = serde_json::Deserializer::from_str(&self.text);
        serde_path_to_error::deserialize(&mut source).map_err(|error| {
            let pointer = pointer(error.path());
            let message = error.into_inner().to_string();
            self.fault(pointer, message, allowed)
        })
    }

    /// A problem with one fault at this place.
    pub fn fault(&self, pointer: String, message: String, allowed: &str) -> Problem {
        Problem::bad_input(vec![InputFault {
            value: self.value.pointer(&pointer).cloned().unwrap_or_default(),
            pointer,
            message,
            allowed: allowed.to_owned(),
        }])
    }
}

fn pointer(path: &Path) -> String {
    let steps = path.iter().map(|segment| match segment {
        Segment::Seq { index } => format!("/{index}"),
        Segment::Map { key } => format!("/{}", key.replace('~', "~0").replace('/', "~1")),
        Segment::Enum { variant } => format!("/{variant}"),
        Segment::Unknown => String::new(),
    });
    steps.collect()
}

impl FromRequest<App> for JsonBody {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        check_media_type(request.headers(), "application/json")?;
        let limits = app.limits();
        let bytes = read(request, limits.body_bytes, limits.body_time).await?;
        parse(&bytes)
    }
}

/// The body of a request that brings a job from another store.
#[derive(Debug)]
pub struct JobFileBody {
    /// The file.
    pub bytes: Bytes,
    /// Held while its bytes are: few such bodies are in memory at a time.
    pub place: OwnedSemaphorePermit,
}

impl FromRequest<App> for JobFileBody {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        check_media_type(request.headers(), MEDIA_TYPE)?;
        let place = app.carrying_place()?;
        let limits = app.limits();
        let bytes = read(request, limits.job_file_bytes, limits.answer_time).await?;
        Ok(Self { bytes, place })
    }
}

fn check_media_type(headers: &HeaderMap, wanted: &str) -> Result<(), Problem> {
    let refuse = |found: &str| {
        Err(Problem::new(
            Kind::WrongMediaType,
            format!("Content-Type is {found}; only {wanted} is accepted"),
        ))
    };
    let Some(value) = headers.get(header::CONTENT_TYPE) else {
        return refuse("absent");
    };
    let text = value.to_str().unwrap_or("not text");
    let essence = text.split(';').next().unwrap_or_default().trim();
    if !essence.eq_ignore_ascii_case(wanted) {
        return refuse(&format!("\"{text}\""));
    }
    if headers.contains_key(header::CONTENT_ENCODING) {
        return Err(Problem::new(
            Kind::WrongMediaType,
            "Content-Encoding is not accepted; send the body uncompressed",
        ));
    }
    Ok(())
}

async fn read(request: Request, most: usize, time: Duration) -> Result<Bytes, Problem> {
    let too_large = || {
        Problem::new(
            Kind::TooLarge,
            format!("a body may have at most {most} bytes"),
        )
    };
    if declared_length(request.headers()).is_some_and(|length| length > most as u64) {
        return Err(too_large());
    }
    let body = Limited::new(request.into_body(), most);
    match tokio::time::timeout(time, body.collect()).await {
        Ok(Ok(collected)) => Ok(collected.to_bytes()),
        Ok(Err(error)) if error.is::<LengthLimitError>() => Err(too_large()),
        Ok(Err(_)) => Err(Problem::new(Kind::BadJson, "the body ended early")),
        Err(_) => Err(Problem::new(
            Kind::BodyTooSlow,
            format!("the body must arrive within {} s", time.as_secs_f64()),
        )),
    }
}

fn declared_length(headers: &HeaderMap) -> Option<u64> {
    headers
        .get(header::CONTENT_LENGTH)?
        .to_str()
        .ok()?
        .parse()
        .ok()
}

fn parse(bytes: &[u8]) -> Result<JsonBody, Problem> {
    let text = std::str::from_utf8(bytes)
        .map_err(|error| Problem::new(Kind::BadJson, format!("not UTF-8: {error}")))?;
    let value = serde_json::from_str(text)
        .map_err(|error| Problem::new(Kind::BadJson, error.to_string()))?;
    Ok(JsonBody {
        text: text.to_owned(),
        value,
    })
}
