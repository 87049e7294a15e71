//! Media types of the answers, and answers in them: tables and pictures.

use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use drawing::{Gallery, NoPicture, Picture, Sheet, Wanted};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::body::JsonBody;
use crate::negotiate::{choose, held};
use crate::problem::Problem;
use crate::problem_kind::Kind;

/// JSON (RFC 8259).
pub const JSON: &str = "application/json";
/// Comma-separated values (RFC 4180).
pub const CSV: &str = "text/csv";
/// Apache Parquet.
pub const PARQUET: &str = "application/vnd.apache.parquet";
/// Scalable Vector Graphics.
pub const SVG: &str = "image/svg+xml";
/// Pages.
pub const HTML: &str = "text/html";

/// Query of a resource that also comes as pictures.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PictureQuery {
    /// Which picture; the first one when left out.
    pub picture: Option<String>,
}

impl PictureQuery {
    /// Refuses a picture's name where no picture is asked for: it would be passed over in silence.
    ///
    /// # Errors
    /// [`Kind::BadParameter`].
    pub fn only_for_svg(&self, form: &str) -> Result<(), Problem> {
        match &self.picture {
            Some(name) if form != SVG => Err(Problem::bad_parameter(
                "picture",
                name,
                "only goes with pictures",
                "the header Accept: image/svg+xml, or no picture parameter",
            )),
            _ => Ok(()),
        }
    }

    /// The picture asked for as an SVG document; no other is drawn.
    ///
    /// # Errors
    /// [`Kind::BadParameter`] naming the pictures that there are.
    pub fn pick(&self, gallery: &Gallery) -> Result<String, Problem> {
        let name = self.picture.as_deref().unwrap_or_default();
        let wanted = match self.picture {
            None => Wanted::First,
            Some(_) => Wanted::Named(&[name]),
        };
        let found = gallery.pick(wanted).map_err(no_picture)?;
        Ok(found.first().map(Picture::document).unwrap_or_default())
    }

    /// The picture asked for of those that are drawn already.
    ///
    /// # Errors
    /// As [`PictureQuery::pick`].
    pub fn pick_drawn(&self, pictures: &[Picture]) -> Result<String, Problem> {
        let found = match &self.picture {
            None => pictures.first(),
            Some(name) => pictures.iter().find(|picture| picture.name == *name),
        };
        found.map(Picture::document).ok_or_else(|| {
            no_picture(NoPicture {
                asked: self.picture.clone().unwrap_or_default(),
                names: pictures.iter().map(|p| p.name.clone()).collect(),
            })
        })
    }
}

fn no_picture(missing: NoPicture) -> Problem {
    let allowed = match missing.names.is_empty() {
        true => "none: a front of one goal has no picture".to_owned(),
        false => missing.names.join(", "),
    };
    let message = "there is no such picture";
    Problem::bad_parameter("picture", &missing.asked, message, &allowed)
}

/// A picture within an answer of JSON.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DrawnPicture {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What is to be seen, in a sentence or two.
    pub description: String,
    /// An SVG element for a page, coloured by the page's classes `s-…` and `f-…`.
    pub svg: String,
}

/// Most pictures in one answer.
pub const MOST_PICTURES: usize = 64;

/// The pictures of these names, in this order.
///
/// # Errors
/// [`Kind::BadInput`] at the name that no picture has, naming those that there are.
pub fn drawn(
    gallery: &Gallery,
    names: &[String],
    body: &JsonBody,
) -> Result<Vec<DrawnPicture>, Problem> {
    if names.len() > MOST_PICTURES {
        let message = format!("{} pictures", names.len());
        let allowed = format!("at most {MOST_PICTURES} names");
        return Err(body.fault("/pictures".to_owned(), message, &allowed));
    }
    let all: Vec<&str> = names.iter().map(String::as_str).collect();
    let found = gallery.pick(Wanted::Named(&all)).map_err(|missing| {
        let at = names.iter().position(|name| *name == missing.asked);
        let place = format!("/pictures/{}", at.unwrap_or_default());
        let message = "there is no such picture".to_owned();
        body.fault(place, message, &missing.names.join(", "))
    })?;
    Ok(found.iter().map(DrawnPicture::from).collect())
}

impl From<&Picture> for DrawnPicture {
    fn from(picture: &Picture) -> Self {
        Self {
            name: picture.name.clone(),
            title: picture.title.clone(),
            description: picture.description.clone(),
            svg: picture.inline(),
        }
    }
}

/// The form of an answer that the caller likes best.
///
/// # Errors
/// [`Kind::NotAcceptable`] naming all of them.
pub fn form_of(
    headers: &HeaderMap,
    what: &str,
    offers: &[&'static str],
) -> Result<&'static str, Problem> {
    choose(headers, offers).ok_or_else(|| {
        let (last, others) = offers.split_last().unwrap_or((&JSON, &[]));
        let names = match others.is_empty() {
            true => (*last).to_owned(),
            false => format!("{} or {last}", others.join(", ")),
        };
        Problem::new(Kind::NotAcceptable, format!("{what} comes as {names}"))
    })
}

/// A table in one of its three forms.
///
/// # Errors
/// [`Kind::Internal`] when the table cannot be written.
pub fn table(sheet: &Sheet, form: &'static str) -> Result<Response, Problem> {
    let mut response = match form {
        CSV => typed("text/csv; charset=utf-8", sheet.csv()),
        PARQUET => typed(PARQUET, parquet(sheet)?),
        _ => typed(JSON, sheet.json()),
    };
    let caution = HeaderValue::from_static(CAUTION);
    response.headers_mut().insert("leanwright-caution", caution);
    Ok(response)
}

/// A table has no room for words beside its numbers; its header has.
const CAUTION: &str = "first figures, no proof of strength, stability or braking; local rules and \
                       licensed practice go before them";

/// A table as a Parquet file.
///
/// # Errors
/// [`Kind::Internal`] when the writer refuses.
pub fn parquet(sheet: &Sheet) -> Result<Vec<u8>, Problem> {
    sheet.parquet().map_err(|why| {
        tracing::error!(%why, "a table cannot be written as Parquet");
        Problem::new(Kind::Internal, "the table cannot be written as Parquet")
    })
}

/// A body with its media type.
pub fn typed(media_type: &'static str, body: impl Into<Vec<u8>>) -> Response {
    ([(header::CONTENT_TYPE, media_type)], body.into()).into_response()
}

/// "Not modified" where the caller already holds this answer.
pub fn unchanged(headers: &HeaderMap, tag: &str) -> Option<Response> {
    held(headers, tag).then(|| lasting(StatusCode::NOT_MODIFIED.into_response(), tag))
}

/// Marks an answer as one that never changes, but is asked about before it is used again.
pub fn lasting(mut response: Response, tag: &str) -> Response {
    let headers = response.headers_mut();
    if let Ok(tag) = HeaderValue::from_str(&format!("\"{tag}\"")) {
        headers.insert(header::ETAG, tag);
    }
    headers.insert(
        header::CACHE_CONTROL,
        HeaderValue::from_static("private, no-cache"),
    );
    headers.insert(header::VARY, HeaderValue::from_static("Accept"));
    response
}

/// The part of an entity tag that keeps the forms of one resource apart. Pictures and tables
/// also depend on the program that makes them.
pub fn tag(sha256: &str, form: &str, what: &str) -> String {
    let form: String = form.chars().filter(char::is_ascii_alphanumeric).collect();
    let what: String = what
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '_' })
        .collect();
    format!("{sha256}-{}-{form}-{what}", work::build_id())
}
