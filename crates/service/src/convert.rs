//! From the other crates' errors to problem documents, by hand and in one place.

use design::{Fault, PoseError};
use serde_json::Value;
use store::Error;

use crate::problem::{InputFault, Problem};
use crate::problem_kind::Kind;

impl From<Fault> for InputFault {
    fn from(fault: Fault) -> Self {
        Self {
            value: value_of(&fault.value),
            pointer: fault.pointer,
            message: fault.message,
            allowed: fault.allowed,
        }
    }
}

/// The value as JSON where the text is whole, else the shortened text itself.
fn value_of(text: &str) -> Value {
    if text.is_empty() {
        return Value::Null;
    }
    serde_json::from_str(text).unwrap_or_else(|_| Value::from(text))
}

/// The problem document for the faults of an input.
pub fn faulty(faults: Vec<Fault>) -> Problem {
    Problem::bad_input(faults.into_iter().map(InputFault::from).collect())
}

/// The problem document for a pose that cannot be given.
pub fn no_pose(error: PoseError) -> Problem {
    match error {
        PoseError::Input(faults) => faulty(faults),
        PoseError::Unreachable(what) => Problem::new(Kind::PoseUnreachable, what),
    }
}

/// The problem document for a failure of the store. What the database said goes to the log only.
pub fn store_problem(error: Error) -> Problem {
    match error {
        Error::NotFound { .. } => Problem::new(Kind::NotFound, error.to_string()),
        Error::Finished { .. } => Problem::new(Kind::AlreadyOver, error.to_string()),
        Error::Refused { .. } => Problem::new(Kind::NotPossible, error.to_string()),
        Error::KeyReused { .. } => Problem::new(Kind::KeyReused, error.to_string()),
        Error::TooManyJobs { .. } => Problem::new(Kind::QueueFull, error.to_string()),
        Error::ChangedMeanwhile { .. } => Problem::new(Kind::ChangedMeanwhile, error.to_string()),
        Error::TooManyKept { .. } => Problem::new(Kind::NotPossible, error.to_string()),
        // The store's message says value and range.
        Error::Invalid { field, ref message } => {
            let mut problem = Problem::bad_parameter(field, "", message, "");
            problem.detail = format!("{field}: {message}");
            problem
                .faults
                .iter_mut()
                .for_each(|fault| fault.value = Value::Null);
            problem
        }
        Error::LeaseLost | Error::Damaged { .. } | Error::Database(_) => {
            tracing::error!(%error, "the store failed");
            Problem::new(
                Kind::StoreUnavailable,
                "the store could not be read or written; the server's log says why",
            )
        }
    }
}
