//! Exit codes and failures: what a script can rely on.

use std::process::ExitCode;

use service::{Kind, Problem};

/// The exit codes, as printed by `--help`.
pub const HELP: &str = "\
Exit codes:
  0  done
  1  a fault of this software, or a file that cannot be written
  2  wrong usage or bad input
  3  the pose cannot be reached
  4  the search is done and found nothing feasible
  5  the server or the store cannot be reached, or refuses for now
  6  the job failed, was cancelled or was stopped before its end

With --json the answer is JSON on standard output, and an error is a problem
document (RFC 9457) on standard error. Lengths are millimetres, angles degrees,
turning radii metres. Lean is positive to the right, steer angles to the left.";

/// How a command ends when nothing is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// 0
    Done,
    /// 4
    NothingFeasible,
    /// 6
    NoResult,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        match outcome {
            Outcome::Done => Self::SUCCESS,
            Outcome::NothingFeasible => Self::from(4),
            Outcome::NoResult => Self::from(6),
        }
    }
}

/// The exit code that belongs to a problem.
pub fn code_of(problem: &Problem) -> u8 {
    let of = |kinds: &[Kind]| kinds.iter().any(|kind| problem.is(*kind));
    if problem.is(Kind::PoseUnreachable) {
        3
    } else if problem.is(Kind::NoFront) {
        6
    } else if of(&[Kind::Internal, Kind::NotWritten]) {
        1
    } else if of(&[
        Kind::Busy,
        Kind::QueueFull,
        Kind::StoreUnavailable,
        Kind::TimedOut,
        Kind::BodyTooSlow,
        Kind::Unauthorised,
        Kind::ForeignHost,
        Kind::ForeignOrigin,
    ]) || problem.status >= 500
    {
        5
    } else {
        2
    }
}

/// Prints a problem on standard error, as JSON or as sentences.
pub fn report(problem: &Problem, json: bool) -> ExitCode {
    if json {
        let text = serde_json::to_string(problem).unwrap_or_else(|_| problem.detail.clone());
        eprintln!("{text}");
    } else {
        eprintln!("{}", sentences(problem));
    }
    ExitCode::from(code_of(problem))
}

fn sentences(problem: &Problem) -> String {
    let mut text = format!("leanwright: {}: {}", problem.title, problem.detail);
    for fault in &problem.faults {
        let place = match fault.pointer.as_str() {
            "" => "the document",
            pointer => pointer,
        };
        text.push_str(&format!("\n  {place}: {}", fault.message));
        if !fault.value.is_null() {
            text.push_str(&format!(" (found {})", fault.value));
        }
        if !fault.allowed.is_empty() {
            text.push_str(&format!("; allowed: {}", fault.allowed));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_the_documented_code() {
        let code = |kind| code_of(&Problem::new(kind, ""));
        assert_eq!(code(Kind::BadInput), 2);
        assert_eq!(code(Kind::BadJson), 2);
        assert_eq!(code(Kind::NotFound), 2);
        assert_eq!(code(Kind::PoseUnreachable), 3);
        assert_eq!(code(Kind::StoreUnavailable), 5);
        assert_eq!(code(Kind::Unauthorised), 5);
        assert_eq!(code(Kind::NoFront), 6);
        assert_eq!(code(Kind::Internal), 1);
    }
}
