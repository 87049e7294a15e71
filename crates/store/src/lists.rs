//! Lists by pages, newest first: rows whose first column is their sequence number.

use crate::db::{Arg, Row};
use crate::error::Error;

const PAGE: u32 = 50;
const LARGEST_PAGE: u32 = 200;

/// Which page of a list is asked for.
pub(crate) struct Asked {
    before: i64,
    limit: u32,
}

impl Asked {
    /// A cursor is the sequence number of the last row shown; a limit of 0 leaves it to us.
    pub(crate) fn of(cursor: Option<&str>, limit: u32) -> Result<Self, Error> {
        let before = match cursor.map(str::parse) {
            None => i64::MAX,
            Some(Ok(number)) if number > 0 => number,
            Some(_) => {
                let begin: String = cursor.unwrap_or_default().chars().take(40).collect();
                let message =
                    format!("`{begin}` is no cursor of this list; take it from the page before");
                return Err(invalid("cursor", message));
            }
        };
        let limit = match limit {
            0 => PAGE,
            1..=LARGEST_PAGE => limit,
            _ => {
                let message = format!("{limit}; 1 to {LARGEST_PAGE} are allowed");
                return Err(invalid("limit", message));
            }
        };
        Ok(Self { before, limit })
    }

    /// Rows of the page have smaller sequence numbers than this.
    pub(crate) fn before(&self) -> Arg<'static> {
        Arg::Int(self.before)
    }

    /// How many rows to fetch: one more than shown tells whether there is another page.
    pub(crate) fn rows(&self) -> Arg<'static> {
        Arg::Int(i64::from(self.limit) + 1)
    }

    /// The rows to be shown of those fetched, and the cursor of the next page, if there is one.
    pub(crate) fn page<'a>(&self, rows: &'a [Row]) -> Result<(&'a [Row], Option<String>), Error> {
        let shown = &rows[..rows.len().min(self.limit as usize)];
        let next = match shown.last() {
            Some(last) if rows.len() > shown.len() => Some(last.int(0)?.to_string()),
            _ => None,
        };
        Ok((shown, next))
    }
}

fn invalid(field: &'static str, message: String) -> Error {
    Error::Invalid { field, message }
}

/// A pattern for text that contains this one, its own wildcards taken literally.
pub(crate) fn contains(text: &str) -> String {
    let mut pattern = String::from("%");
    for letter in text.to_ascii_lowercase().chars() {
        if matches!(letter, '%' | '_' | '\\') {
            pattern.push('\\');
        }
        pattern.push(letter);
    }
    pattern.push('%');
    pattern
}
