//! What commands print on standard output.

use std::io::Write;

use serde::Serialize;
use service::{Kind, Problem};

/// Prints a line; a closed pipe ends the program quietly, as it does for other tools.
///
/// # Errors
/// When standard output cannot be written for another reason.
pub fn line(text: &str) -> Result<(), Problem> {
    raw(&format!("{text}\n"))
}

/// Prints a text as it is.
///
/// # Errors
/// As [`line()`].
pub fn raw(text: &str) -> Result<(), Problem> {
    let mut out = std::io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => std::process::exit(0),
        Err(error) => Err(Problem::new(
            Kind::NotWritten,
            format!("standard output: {error}"),
        )),
    }
}

/// Prints a value as indented JSON.
///
/// # Errors
/// As [`line()`].
pub fn json(value: &impl Serialize) -> Result<(), Problem> {
    line(&pretty(value)?)
}

/// A value as indented JSON.
///
/// # Errors
/// [`Kind::Internal`] when it has no JSON form.
pub fn pretty(value: &impl Serialize) -> Result<String, Problem> {
    serde_json::to_string_pretty(value)
        .map_err(|error| Problem::new(Kind::Internal, error.to_string()))
}
