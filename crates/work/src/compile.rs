//! A vehicle's job as a [`Model`].

use std::sync::Arc;

use design::{Budget, Compiled, EarlyStop, Finding, GoalInfo, parse_job};
use search::Problem;
use store::JobInput;

use crate::documents::StartsDocument;
use crate::model::{Described, Evaluator, Model};

/// Reads a job file and makes it ready for the search.
///
/// # Errors
/// The faults of the file in one text. A job is checked before it is stored, so this is seen only
/// when a build refuses what another let pass.
pub fn compile(input: &JobInput) -> Result<Arc<dyn Model>, String> {
    let text = std::str::from_utf8(&input.input)
        .map_err(|fault| format!("the job file is not UTF-8: {fault}"))?;
    let job = parse_job(text).map_err(sentence)?;
    let compiled = Compiled::new(&job).map_err(sentence)?;
    let starts = starts(input, compiled.problem().variables().len())?;
    Ok(Arc::new(Vehicle { compiled, starts }))
}

/// All faults of a file in one text.
pub(crate) fn sentence(faults: Vec<design::Fault>) -> String {
    let lines: Vec<String> = faults
        .iter()
        .map(|fault| format!("{}: {}", fault.pointer, fault.message))
        .collect();
    format!("the job file is not accepted: {}", lines.join("; "))
}

/// The vectors taken from another job at submission, else the submitted vehicle: no offset anywhere.
fn starts(input: &JobInput, freedoms: usize) -> Result<Vec<Vec<f64>>, String> {
    let Some(taken) = &input.starts else {
        return Ok(vec![vec![0.0; freedoms]]);
    };
    let read: StartsDocument = serde_json::from_slice(taken)
        .map_err(|fault| format!("the stored start points cannot be read: {fault}"))?;
    Ok(read.vectors)
}

struct Vehicle {
    compiled: Compiled,
    starts: Vec<Vec<f64>>,
}

impl Model for Vehicle {
    fn problem(&self) -> &Problem {
        self.compiled.problem()
    }

    fn budget(&self) -> Budget {
        self.compiled.budget()
    }

    fn seed(&self) -> u64 {
        self.compiled.seed()
    }

    fn starts(&self) -> &[Vec<f64>] {
        &self.starts
    }

    fn early_stop(&self) -> Option<EarlyStop> {
        self.compiled.job().search.early_stop
    }

    fn polish_points(&self) -> usize {
        self.compiled.job().search.polish_points as usize
    }

    fn polish_evaluations(&self) -> u32 {
        self.compiled.job().search.polish_evaluations
    }

    fn study_points(&self) -> usize {
        self.compiled.study_points() as usize
    }

    fn front_size(&self) -> usize {
        self.compiled.front_size()
    }

    fn is_costly(&self) -> bool {
        self.compiled.is_costly()
    }

    fn evaluator(&self) -> Evaluator<'_> {
        let mut scratch = self.compiled.scratch();
        Box::new(move |vector| {
            self.compiled
                .evaluate(&self.compiled.round(vector), &mut scratch)
        })
    }

    fn round(&self, vector: &[f64]) -> Vec<f64> {
        self.compiled.round(vector)
    }

    fn describe(&self, vector: &[f64], study: Option<&[u8]>) -> Result<Described, String> {
        let mut candidate = self.compiled.candidate(vector);
        let study = study.map(serde_json::from_slice).transpose();
        candidate.study = study.map_err(|fault| format!("a study cannot be read: {fault}"))?;
        Ok(Described {
            feasible: candidate.feasible,
            goals: candidate.goals.iter().map(|goal| goal.value).collect(),
            json: crate::documents::bytes(&candidate),
        })
    }

    fn study(&self, vector: &[f64]) -> Vec<u8> {
        crate::documents::bytes(&self.compiled.study(vector))
    }

    fn name(&self) -> String {
        self.compiled.job().name.clone()
    }

    fn goals(&self) -> Vec<GoalInfo> {
        self.compiled.goals().to_vec()
    }

    fn requirements(&self) -> Vec<String> {
        self.compiled.violations()
    }

    fn findings(&self) -> Vec<Finding> {
        self.compiled.findings().to_vec()
    }
}
