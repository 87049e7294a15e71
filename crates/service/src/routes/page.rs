//! `/` and `/page/…`: the page, whose files the program carries in itself.
//!
//! They hold no data, so they need no token; what the page shows it fetches from `/v1` with one.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::LazyLock;

use axum::http::HeaderMap;
use axum::response::Response;
use sha2::{Digest, Sha256};

use crate::extract::Path;
use crate::forms::{lasting, typed, unchanged};
use crate::problem::Problem;

const FILES: &[(&str, &[u8])] = include!(concat!(env!("OUT_DIR"), "/page.rs"));

/// The stylesheet of colours, made from the ones that pictures are drawn in.
const INK: &str = "styles/ink.css";

/// A whole job to begin with.
const EXAMPLE: (&str, &[u8]) = (
    "example-job.json",
    include_bytes!("../../../../demo-jobs/rod-ends.json"),
);

struct Asset {
    bytes: &'static [u8],
    media_type: &'static str,
    tag: String,
}

static ASSETS: LazyLock<BTreeMap<&'static str, Asset>> = LazyLock::new(|| {
    let files = FILES.iter().copied();
    let ink = (INK, drawing::ink_sheet().as_bytes());
    let all = files.chain([ink, EXAMPLE]);
    all.map(|(name, bytes)| (name, asset(name, bytes)))
        .collect()
});

fn asset(name: &str, bytes: &'static [u8]) -> Asset {
    let mut tag = String::new();
    for byte in &Sha256::digest(bytes)[..16] {
        // A string takes all that is written to it.
        let _ = write!(tag, "{byte:02x}");
    }
    Asset {
        bytes,
        media_type: media_type(name),
        tag,
    }
}

fn media_type(name: &str) -> &'static str {
    match name.rsplit_once('.').map(|(_, ending)| ending) {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("json") => "application/json",
        Some("svg") => "image/svg+xml",
        _ => "application/octet-stream",
    }
}

/// The page itself.
pub async fn shell(headers: HeaderMap) -> Result<Response, Problem> {
    answer("index.html", &headers)
}

/// A file of the page.
pub async fn file(Path(name): Path<String>, headers: HeaderMap) -> Result<Response, Problem> {
    answer(&name, &headers)
}

fn answer(name: &str, headers: &HeaderMap) -> Result<Response, Problem> {
    let asset = ASSETS.get(name);
    let asset = asset.ok_or_else(|| Problem::not_found("file of the page", name))?;
    if let Some(unchanged) = unchanged(headers, &asset.tag) {
        return Ok(unchanged);
    }
    Ok(lasting(typed(asset.media_type, asset.bytes), &asset.tag))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_file_has_a_known_media_type_and_nothing_inline() {
        assert!(ASSETS.contains_key("index.html") && ASSETS.contains_key("app.js"));
        for (name, asset) in ASSETS.iter() {
            assert_ne!(asset.media_type, "application/octet-stream", "{name}");
            let text = std::str::from_utf8(asset.bytes).unwrap();
            assert!(
                !text.contains("style=\"") && !text.contains("eval("),
                "{name}"
            );
        }
    }
}
