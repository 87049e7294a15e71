//! One fault of an input: where it stands, what is wrong, what was found, what is allowed.

use core::fmt;
use serde::{Deserialize, Serialize};

/// A fault of an input file. Validation reports all of them at once.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Fault {
    /// JSON pointer (RFC 6901) to the offending value; empty for the whole document.
    pub pointer: String,
    /// What is wrong, one sentence without a full stop at its end.
    pub message: String,
    /// The offending value as JSON text, shortened to 120 characters; empty if it is absent.
    pub value: String,
    /// What is allowed instead, in words with units; empty where the message says it all.
    pub allowed: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = if self.pointer.is_empty() {
            "the document"
        } else {
            &self.pointer
        };
        write!(f, "{place}: {}", self.message)?;
        if !self.value.is_empty() {
            write!(f, " (found {})", self.value)?;
        }
        if !self.allowed.is_empty() {
            write!(f, "; allowed: {}", self.allowed)?;
        }
        Ok(())
    }
}

/// A number for a message: plain digits where they are few, else with an exponent.
pub(crate) fn figure(x: f64) -> String {
    match x == 0.0 || (1e-4..1e10).contains(&x.abs()) {
        true => format!("{x}"),
        false => format!("{x:e}"),
    }
}
