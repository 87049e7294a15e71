//! A finished fit of a machine as built, and its report.

use design::{AsBuilt, AsBuiltFit, parse_as_built};
use drawing::{AsBuiltReport, Sheet, as_built_report, as_built_sheet};

use crate::convert::faulty;
use crate::problem::Problem;
use crate::problem_kind::Kind;

/// A fit with what it was asked by.
#[derive(Debug)]
pub struct Fitted {
    /// Facts for the head of the report: name and value.
    pub facts: Vec<(String, String)>,
    /// The file as submitted.
    pub input: String,
    /// What was found.
    pub fit: AsBuiltFit,
}

impl Fitted {
    fn asked(&self) -> Result<AsBuilt, Problem> {
        parse_as_built(&self.input).map_err(faulty)
    }

    /// The report as one self-contained HTML file.
    ///
    /// # Errors
    /// [`Kind::BadInput`] when this build no longer accepts the file, and [`Kind::PoseUnreachable`]
    /// when a machine of it cannot be shown.
    pub fn report(&self) -> Result<String, Problem> {
        let report = AsBuiltReport {
            asked: &self.asked()?,
            fit: &self.fit,
            facts: &self.facts,
        };
        as_built_report(&report).map_err(|why| Problem::new(Kind::PoseUnreachable, why))
    }

    /// Every figure as read, fitted, drawn and mended.
    ///
    /// # Errors
    /// [`Kind::BadInput`] when this build no longer accepts the file.
    pub fn figures(&self) -> Result<Sheet, Problem> {
        Ok(as_built_sheet(&self.asked()?, &self.fit))
    }
}
