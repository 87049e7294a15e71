//! A front on the terminal and as files.

use std::path::Path;

use design::{CAUTIONS, Candidate};
use service::{Column, Finished, Problem, columns, parquet};
use work::{Blocks, EndedBy, FrontDocument, FrontRow};

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
    /// The same, read, with its candidates and the job file.
    found: Finished,
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
            found: Finished {
                facts: Vec::new(),
                input: job,
                front: document,
                candidates,
            },
        }
    }

    /// Whether there is anything to build.
    pub fn outcome(&self) -> Outcome {
        if self
            .found
            .candidates
            .iter()
            .any(|candidate| candidate.feasible)
        {
            Outcome::Done
        } else {
            Outcome::NothingFeasible
        }
    }

    /// The front as CSV.
    pub fn csv(&self) -> String {
        String::from_utf8_lossy(&self.found.front_table().csv()).into_owned()
    }

    /// The front as a table: goals and requirements with their units.
    pub fn table(&self) -> String {
        let columns = columns(&self.found.candidates);
        let layouts = (!self.found.front.layouts.is_empty()).then(|| "layout".to_owned());
        let heads = columns.iter().map(|column| column.label.clone());
        let first = ["candidate".to_owned()].into_iter().chain(layouts);
        let mut table = Table::new(first.chain(heads));
        for (row, candidate) in self
            .found
            .front
            .candidates
            .iter()
            .zip(&self.found.candidates)
        {
            table.row(cells(row, candidate, &columns));
        }
        table.text()
    }

    /// What belongs beside the table, for a person.
    pub fn remarks(&self) -> String {
        let document = &self.found.front;
        let mut lines = vec![format!(
            "{} evaluations, {} of them feasible; {} candidates of {} on the archive",
            document.evaluations,
            document.feasible,
            self.found.candidates.len(),
            document.archive.len(),
        )];
        if document.candidates.iter().any(|row| row.knee) {
            lines.push("* knee: its neighbours gain little in one goal for much in another".into());
        }
        let nearest: Vec<String> = document.nearest().iter().map(u32::to_string).collect();
        if !nearest.is_empty() {
            let numbers = nearest.join(", ");
            lines.push(format!("nearest to the aspirations, best first: {numbers}"));
        }
        if document.end.by == EndedBy::EarlyStop {
            let (spent, planned) = (document.end.epochs, document.end.planned_epochs);
            lines.push(format!(
                "the search ended early, after {spent} of {planned} epochs, for want of gain"
            ));
        }
        if let Some(blocks) = &document.blocks {
            lines.push("Nothing feasible was found; the table shows the nearest miss (!).".into());
            lines.extend(blocks_lines(blocks));
        }
        lines.push(MODEL.into());
        lines.join("\n")
    }

    /// Writes front and hardpoints as JSON, CSV and Parquet, job.json, report.html, one vehicle
    /// file per candidate, and a report of each candidate at a knee of the front.
    pub fn write(&self, folder: &Path) -> Result<(), Problem> {
        files::folder(folder)?;
        files::write(&folder.join("front.json"), &self.text)?;
        files::write(&folder.join("job.json"), &self.found.input)?;
        for (n, candidate) in self.found.candidates.iter().enumerate() {
            let name = format!("candidate-{n:03}.json");
            files::write(&folder.join(name), output::pretty(&candidate.vehicle)?)?;
        }
        files::write(&folder.join("cautions.txt"), CAUTIONS.join("\n") + "\n")?;
        self.write_tables(folder)?;
        self.write_reports(folder)
    }

    fn write_tables(&self, folder: &Path) -> Result<(), Problem> {
        let (front, points) = (self.found.front_table(), self.found.hardpoint_table()?);
        files::write(&folder.join("front.csv"), front.csv())?;
        files::write(&folder.join("front.parquet"), parquet(&front)?)?;
        files::write(&folder.join("hardpoints.json"), points.json())?;
        files::write(&folder.join("hardpoints.csv"), points.csv())?;
        files::write(&folder.join("hardpoints.parquet"), parquet(&points)?)
    }

    fn write_reports(&self, folder: &Path) -> Result<(), Problem> {
        let found = &self.found;
        files::write(&folder.join("report.html"), found.report()?)?;
        for number in found.knees() {
            let name = format!("candidate-{number:03}.html");
            files::write(
                &folder.join(name),
                found.candidate_report(number, &found.candidates[number])?,
            )?;
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
    cells.extend(candidate.layout.iter().map(|layout| layout.name.clone()));
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
