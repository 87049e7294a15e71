//! Public names of jobs.

use std::fmt;

/// The public name of a job: 16 lower-case hexadecimal digits, drawn by the database.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JobId(String);

impl JobId {
    /// Digits in a name.
    pub const DIGITS: usize = 16;

    /// Takes a text as a name; `None` unless it is 16 digits of `0-9a-f`.
    pub fn parse(text: &str) -> Option<JobId> {
        let plain = text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        (text.len() == JobId::DIGITS && plain).then(|| JobId(text.to_owned()))
    }

    /// The digits.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    pub(crate) fn from_row(text: String) -> JobId {
        JobId(text)
    }
}

impl fmt::Display for JobId {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}
