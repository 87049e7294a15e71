//! Reports put together from what was published: one self-contained HTML file each.

use design::{Candidate, Compiled, parse_job};
use drawing::{
    CandidateReport, Gallery, JobReport, Picture, Sheet, candidate_report, front_sheet,
    hardpoint_sheet, job_pictures, job_report,
};
use work::{EndedBy, FrontDocument};

use crate::convert::faulty;
use crate::problem::Problem;
use crate::problem_kind::Kind;

/// A finished job with all that its reports need.
#[derive(Debug)]
pub struct Finished {
    /// Facts for the head of a report that the front does not hold: name and value.
    pub facts: Vec<(String, String)>,
    /// The job file as submitted.
    pub input: String,
    /// The published front.
    pub front: FrontDocument,
    /// Its candidates, in its order.
    pub candidates: Vec<Candidate>,
}

impl Finished {
    /// The report of the whole job.
    ///
    /// # Errors
    /// [`Kind::BadInput`] when this build no longer accepts the job file.
    pub fn report(&self) -> Result<String, Problem> {
        self.of_job(job_report)
    }

    /// The front as pictures, one for each pair of goals.
    ///
    /// # Errors
    /// As [`Finished::report`].
    pub fn pictures(&self) -> Result<Vec<Picture>, Problem> {
        self.of_job(job_pictures)
    }

    fn of_job<T>(&self, make: impl Fn(&JobReport) -> T) -> Result<T, Problem> {
        let compiled = self.compiled()?;
        let submitted: Vec<Candidate> = (0..compiled.layouts())
            .map(|layout| compiled.layout(layout).submitted())
            .collect();
        let all: Vec<&Candidate> = self.candidates.iter().collect();
        let knees: Vec<usize> = self.knees().collect();
        Ok(make(&JobReport {
            job: compiled.job(),
            candidates: &all,
            submitted: &submitted,
            findings: &self.front.findings,
            knees: &knees,
            facts: &self.facts(),
        }))
    }

    /// The report of one candidate.
    ///
    /// # Errors
    /// As [`Finished::report`]; and [`Kind::PoseUnreachable`] when the candidate's machine cannot be
    /// shown.
    pub fn candidate_report(&self, number: usize, of: &Candidate) -> Result<String, Problem> {
        self.of_candidate(number, of, candidate_report)
    }

    /// The pictures of one candidate, none drawn yet.
    ///
    /// # Errors
    /// As [`Finished::candidate_report`].
    pub fn candidate_gallery(&self, number: usize, of: &Candidate) -> Result<Gallery, Problem> {
        self.of_candidate(number, of, Gallery::of_candidate)
    }

    fn of_candidate<T>(
        &self,
        number: usize,
        candidate: &Candidate,
        make: impl Fn(&CandidateReport) -> Result<T, String>,
    ) -> Result<T, Problem> {
        let compiled = self.compiled()?;
        let compiled = compiled.layout(candidate.layout_place());
        make(&CandidateReport {
            job: compiled.job(),
            number,
            candidate,
            submitted: &compiled.submitted(),
            sensitivities: Some(&compiled.sensitivities(&candidate.vector)),
            facts: &self.facts(),
        })
        .map_err(|why| Problem::new(Kind::PoseUnreachable, why))
    }

    /// The front as a table, one row a candidate.
    pub fn front_table(&self) -> Sheet {
        let numbered: Vec<_> = self.candidates.iter().enumerate().collect();
        front_sheet(&numbered)
    }

    /// The hardpoints of all candidates as a table, one row for each candidate, side and point.
    ///
    /// # Errors
    /// As [`Finished::report`].
    pub fn hardpoint_table(&self) -> Result<Sheet, Problem> {
        let job = parse_job(&self.input).map_err(faulty)?;
        let numbered: Vec<(usize, &Candidate)> = self.candidates.iter().enumerate().collect();
        Ok(hardpoint_sheet(&numbered, &job))
    }

    /// Numbers of the candidates at knees of the front.
    pub fn knees(&self) -> impl Iterator<Item = usize> {
        let rows = self.front.candidates.iter();
        rows.filter(|row| row.knee).map(|row| row.number as usize)
    }

    fn compiled(&self) -> Result<Compiled, Problem> {
        let job = parse_job(&self.input).map_err(faulty)?;
        Compiled::new(&job).map_err(faulty)
    }

    fn stopped(&self) -> Option<(String, String)> {
        let end = self.front.end;
        (end.by == EndedBy::EarlyStop).then(|| {
            let (spent, planned) = (end.epochs, end.planned_epochs);
            let text = format!("after {spent} of {planned} epochs, for want of gain");
            ("Search ended early".to_owned(), text)
        })
    }

    fn nearest(&self) -> Option<(String, String)> {
        let numbers = self.front.nearest();
        let words: Vec<String> = numbers.iter().map(u32::to_string).collect();
        let name = "Nearest to the aspirations, best first".to_owned();
        (!words.is_empty()).then(|| (name, words.join(", ")))
    }

    fn facts(&self) -> Vec<(String, String)> {
        let front = &self.front;
        let mut facts = self.facts.clone();
        facts.extend([
            ("Evaluations".to_owned(), front.evaluations.to_string()),
            ("Of them feasible".to_owned(), front.feasible.to_string()),
            ("Seed".to_owned(), front.seed.to_string()),
        ]);
        facts.extend(self.stopped());
        facts.extend(self.nearest());
        facts
    }
}
