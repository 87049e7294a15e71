//! Reports put together from what was published: one self-contained HTML file each.

use design::{Candidate, Compiled, parse_job};
use drawing::{CandidateReport, JobReport, candidate_report, comparison_report, job_report};
use work::FrontDocument;

use crate::comparison::CandidateRef;
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
        let compiled = self.compiled()?;
        let all: Vec<&Candidate> = self.candidates.iter().collect();
        let rows = self.front.candidates.iter();
        let knees: Vec<usize> = rows.filter(|r| r.knee).map(|r| r.number as usize).collect();
        Ok(job_report(&JobReport {
            job: compiled.job(),
            candidates: &all,
            submitted: &compiled.submitted(),
            findings: &self.front.findings,
            knees: &knees,
            facts: &self.facts(),
        }))
    }

    /// The report of one candidate.
    ///
    /// # Errors
    /// As [`Finished::report`]; [`Kind::NotFound`] for a number beyond the front; and
    /// [`Kind::PoseUnreachable`] when the candidate's machine cannot be shown.
    pub fn candidate_report(&self, number: usize) -> Result<String, Problem> {
        let candidate = self.candidates.get(number);
        let candidate =
            candidate.ok_or_else(|| Problem::not_found("candidate", &number.to_string()))?;
        let compiled = self.compiled()?;
        candidate_report(&CandidateReport {
            job: compiled.job(),
            number,
            candidate,
            submitted: &compiled.submitted(),
            sensitivities: Some(&compiled.sensitivities(&candidate.vector)),
            facts: &self.facts(),
        })
        .map_err(|why| Problem::new(Kind::PoseUnreachable, why))
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

    fn facts(&self) -> Vec<(String, String)> {
        let front = &self.front;
        let mut facts = self.facts.clone();
        facts.extend([
            ("Evaluations".to_owned(), front.evaluations.to_string()),
            ("Of them feasible".to_owned(), front.feasible.to_string()),
            ("Seed".to_owned(), front.seed.to_string()),
        ]);
        facts
    }
}

/// The report of candidates side by side, over the reach of the first one's job.
///
/// # Errors
/// [`Kind::PoseUnreachable`] naming the first machine that cannot be shown.
pub fn side_by_side(
    candidates: &[(CandidateRef, Candidate)],
    input: &str,
) -> Result<String, Problem> {
    let reach = parse_job(input).map_err(faulty)?.reach;
    let several = candidates
        .iter()
        .any(|(name, _)| name.job != candidates[0].0.job);
    let named: Vec<(String, &Candidate)> = candidates
        .iter()
        .map(|(name, candidate)| match several {
            true => (format!("{} of {}", name.number, name.job), candidate),
            false => (format!("candidate {}", name.number), candidate),
        })
        .collect();
    comparison_report("Candidates side by side", &named, &reach)
        .map_err(|why| Problem::new(Kind::PoseUnreachable, why))
}
