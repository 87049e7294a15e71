//! A front on the terminal and as files.

use std::path::Path;

use design::Candidate;
use service::{Column, Finished, Problem, columns, csv};
use work::{Blocks, FrontDocument, FrontRow};

use crate::exit::Outcome;
use crate::table::{Table, number};
use crate::{files, output};

/// What every figure rests on.
const MODEL: &str = "Model: rigid bodies, no play, quasi-static, flat ground. Check strength, \
                     brakes and stability apart, by local rules and licensed practice.";

/// A front with all that belongs to it.
#[derive(Debug)]
pub struct Front {
    /// The published document, byte for byte.
    pub text: String,
    /// The same, read.
    document: FrontDocument,
    /// Its candidates in full.
    candidates: Vec<Candidate>,
    /// The job file as submitted.
    job: String,
}

impl Front {
    /// Puts together what was published.
    pub fn new(
        text: String,
        document: FrontDocument,
        candidates: Vec<Candidate>,
        job: String,
    ) -> Self {
        Self {
            text,
            document,
            candidates,
            job,
        }
    }

    /// Whether there is anything to build.
    pub fn outcome(&self) -> Outcome {
        if self.candidates.iter().any(|candidate| candidate.feasible) {
            Outcome::Done
        } else {
            Outcome::NothingFeasible
        }
    }

    /// The front as CSV.
    pub fn csv(&self) -> String {
        csv(&self.candidates)
    }

    /// The front as a table: goals and requirements with their units.
    pub fn table(&self) -> String {
        let columns = columns(&self.candidates);
        let heads = columns.iter().map(|column| column.label.clone());
        let mut table = Table::new(["candidate".to_owned()].into_iter().chain(heads));
        for (row, candidate) in self.document.candidates.iter().zip(&self.candidates) {
            table.row(cells(row, candidate, &columns));
        }
        table.text()
    }

    /// What belongs beside the table, for a person.
    pub fn remarks(&self) -> String {
        let document = &self.document;
        let mut lines = vec![format!(
            "{} evaluations, {} of them feasible; {} candidates of {} on the archive",
            document.evaluations,
            document.feasible,
            self.candidates.len(),
            document.archive.len(),
        )];
        if document.candidates.iter().any(|row| row.knee) {
            lines.push("* knee: its neighbours gain little in one goal for much in another".into());
        }
        if let Some(blocks) = &document.blocks {
            lines.push("Nothing feasible was found; the table shows the nearest miss (!).".into());
            lines.extend(blocks_lines(blocks));
        }
        lines.push(MODEL.into());
        lines.join("\n")
    }

    /// Writes front.json, front.csv, job.json, report.html, one vehicle file per candidate, and a
    /// report of each candidate at a knee of the front.
    pub fn write(&self, folder: &Path) -> Result<(), Problem> {
        files::folder(folder)?;
        files::write(&folder.join("front.json"), &self.text)?;
        files::write(&folder.join("front.csv"), &self.csv())?;
        files::write(&folder.join("job.json"), &self.job)?;
        for (n, candidate) in self.candidates.iter().enumerate() {
            let name = format!("candidate-{n:03}.json");
            files::write(&folder.join(name), &output::pretty(&candidate.vehicle)?)?;
        }
        self.write_reports(folder)
    }
}

impl Front {
    fn write_reports(&self, folder: &Path) -> Result<(), Problem> {
        let finished = Finished {
            facts: Vec::new(),
            input: self.job.clone(),
            front: self.document.clone(),
            candidates: self.candidates.clone(),
        };
        files::write(&folder.join("report.html"), &finished.report()?)?;
        for number in finished.knees() {
            let name = format!("candidate-{number:03}.html");
            files::write(&folder.join(name), &finished.candidate_report(number)?)?;
        }
        Ok(())
    }
}

fn cells(row: &FrontRow, candidate: &Candidate, columns: &[Column]) -> Vec<String> {
    let mark = match (row.feasible, row.knee) {
        (false, _) => " !",
        (true, true) => " *",
        (true, false) => "",
    };
    let mut cells = vec![format!("{}{mark}", row.number)];
    cells.extend(columns.iter().map(|column| number(column.value(candidate))));
    cells
}

fn blocks_lines(blocks: &Blocks) -> Vec<String> {
    let mut lines = Vec::new();
    if blocks.not_assembled > 0 {
        let count = blocks.not_assembled;
        lines.push(format!("{count} candidates could not be assembled"));
    }
    for row in &blocks.requirements {
        lines.push(format!(
            "failed {} times, {} times alone: {}",
            row.failed, row.failed_alone, row.requirement
        ));
    }
    lines
}
