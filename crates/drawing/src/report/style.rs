//! The stylesheet of reports, and the policy under which browsers apply it.
//!
//! A report is one file that needs nothing else, so its stylesheet stands inside it, and the same
//! bytes are served and saved. `default-src 'self'` alone would refuse an inner stylesheet;
//! instead of `unsafe-inline` the policy names the SHA-256 of this one sheet, so that only it
//! and no injected style is applied. Nothing in a report has a style attribute.

use crate::ink::Ink;
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use sha2::{Digest, Sha256};
use std::sync::LazyLock;

static INK: LazyLock<String> = LazyLock::new(|| {
    let colours = |value: fn(Ink) -> &'static str| -> String {
        let one = |ink: Ink| format!("--{}:{};", ink.class(), value(ink));
        Ink::ALL.map(one).concat()
    };
    let classes: String = Ink::ALL
        .map(|ink| {
            let name = ink.class();
            format!(".s-{name}{{stroke:var(--{name})}}.f-{name}{{fill:var(--{name})}}")
        })
        .concat();
    format!(
        ":root{{color-scheme:light dark;{}}}\n\
         @media screen and (prefers-color-scheme:dark){{:root{{{}}}}}\n{classes}",
        colours(Ink::light),
        colours(Ink::dark),
    )
});

static SHEET: LazyLock<String> =
    LazyLock::new(|| format!("{}\n{}", *INK, include_str!("report.css")));

static SOURCE: LazyLock<String> = LazyLock::new(|| {
    let hash = Sha256::digest(SHEET.as_bytes());
    format!("'sha256-{}'", BASE64_STANDARD.encode(hash))
});

static SERVED: LazyLock<String> = LazyLock::new(|| {
    format!(
        "default-src 'self'; style-src 'self' {}; script-src 'none'; base-uri 'none'; \
         form-action 'none'; frame-ancestors 'none'; object-src 'none'",
        *SOURCE
    )
});

static FILE: LazyLock<String> = LazyLock::new(|| {
    format!(
        "default-src 'self'; style-src 'self' {}; script-src 'none'; base-uri 'none'; \
         form-action 'none'; object-src 'none'",
        *SOURCE
    )
});

/// The colours of pictures as a stylesheet: a variable for each, for light and for dark screens, and
/// the classes by which pictures take them.
pub fn ink_sheet() -> &'static str {
    &INK
}

/// The stylesheet.
pub(super) fn sheet() -> &'static str {
    &SHEET
}

/// The policy that a report carries in itself, for when it is opened as a file.
pub(super) fn file_policy() -> &'static str {
    &FILE
}

/// The value of the `Content-Security-Policy` header under which a report is to be served:
/// `default-src 'self'` with the hash of the one stylesheet, no script, nothing inline otherwise.
pub fn report_policy() -> &'static str {
    &SERVED
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn policies_name_the_sheet_and_allow_nothing_unsafe() {
        for policy in [report_policy(), file_policy()] {
            assert!(policy.starts_with("default-src 'self'; "));
            assert!(policy.contains(SOURCE.as_str()) && !policy.contains("unsafe"));
        }
        // A base64 SHA-256 has 44 characters.
        assert_eq!(SOURCE.len(), "'sha256-'".len() + 44);
        assert!(!sheet().contains('<') && !sheet().contains("url("));
    }
}
