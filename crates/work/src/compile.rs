//! A vehicle's job as a [`Model`].

use std::sync::Arc;

use design::{Budget, Compiled, Finding, GoalInfo, parse_job};
use search::Problem;

use crate::model::{Described, Evaluator, Model};

/// Reads a job file and makes it ready for the search.
///
/// # Errors
/// The faults of the file in one text. A job is checked before it is stored, so this is seen only
/// when a build refuses what another let pass.
pub fn compile(input: &[u8]) -> Result<Arc<dyn Model>, String> {
    let text = std::str::from_utf8(input)
        .map_err(|fault| format!("the job file is not UTF-8: {fault}"))?;
    let job = parse_job(text).map_err(sentence)?;
    let compiled = Compiled::new(&job).map_err(sentence)?;
    Ok(Arc::new(Vehicle(compiled)))
}

fn sentence(faults: Vec<design::Fault>) -> String {
    let lines: Vec<String> = faults
        .iter()
        .map(|fault| format!("{}: {}", fault.pointer, fault.message))
        .collect();
    format!("the job file is not accepted: {}", lines.join("; "))
}

fn requirement(asked: &design::Requirement) -> String {
    let quantity = &asked.quantity;
    match (asked.within, asked.at_most, asked.at_least) {
        (Some([low, high]), _, _) => format!("{quantity} within {low} to {high}"),
        (None, Some(high), _) => format!("{quantity} at most {high}"),
        (None, None, low) => format!("{quantity} at least {}", low.unwrap_or_default()),
    }
}

struct Vehicle(Compiled);

impl Model for Vehicle {
    fn problem(&self) -> &Problem {
        self.0.problem()
    }

    fn budget(&self) -> Budget {
        self.0.budget()
    }

    fn seed(&self) -> u64 {
        self.0.seed()
    }

    /// The submitted vehicle: no offset anywhere.
    fn starts(&self) -> Vec<Vec<f64>> {
        vec![vec![0.0; self.0.problem().variables().len()]]
    }

    fn polish_points(&self) -> usize {
        self.0.job().search.polish_points as usize
    }

    fn polish_evaluations(&self) -> u32 {
        self.0.job().search.polish_evaluations
    }

    fn front_size(&self) -> usize {
        self.0.front_size()
    }

    fn evaluator(&self) -> Evaluator<'_> {
        let mut scratch = self.0.scratch();
        Box::new(move |vector| self.0.evaluate(&self.0.round(vector), &mut scratch))
    }

    fn round(&self, vector: &[f64]) -> Vec<f64> {
        self.0.round(vector)
    }

    fn describe(&self, vector: &[f64]) -> Described {
        let candidate = self.0.candidate(vector);
        Described {
            feasible: candidate.feasible,
            goals: candidate.goals.iter().map(|goal| goal.value).collect(),
            json: crate::documents::bytes(&candidate),
        }
    }

    fn name(&self) -> String {
        self.0.job().name.clone()
    }

    fn goals(&self) -> Vec<GoalInfo> {
        self.0.goals().to_vec()
    }

    fn requirements(&self) -> Vec<String> {
        let job = self.0.job();
        let mut named: Vec<String> = job.requirements.iter().map(requirement).collect();
        // Behind the requirements stand the shares of poses that are out of reach, one per quantity.
        let poses = self.0.problem().violations() - named.len();
        named.extend(
            (1..=poses).map(|n| format!("poses that quantity {n} is taken over are reached")),
        );
        named
    }

    fn findings(&self) -> Vec<Finding> {
        self.0.findings().to_vec()
    }
}
