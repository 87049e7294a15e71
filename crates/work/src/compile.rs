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
    let compiled = Arc::new(compiled);
    let one = |layout: usize| {
        let freedoms = compiled.layout(layout).problem().variables().len();
        Ok(Vehicle {
            compiled: compiled.clone(),
            layout,
            starts: starts(input, freedoms)?,
        })
    };
    if compiled.layouts() == 1 {
        return Ok(Arc::new(one(0)?));
    }
    let all: Result<Vec<Vehicle>, String> = (0..compiled.layouts()).map(one).collect();
    Ok(Arc::new(Layouts { all: all? }))
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

/// One layout of a job.
struct Vehicle {
    compiled: Arc<Compiled>,
    layout: usize,
    starts: Vec<Vec<f64>>,
}

impl Vehicle {
    fn own(&self) -> &Compiled {
        self.compiled.layout(self.layout)
    }
}

impl Model for Vehicle {
    fn problem(&self) -> &Problem {
        self.own().problem()
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
        self.own().is_costly()
    }

    fn evaluator(&self) -> Evaluator<'_> {
        let own = self.own();
        let mut scratch = own.scratch();
        Box::new(move |vector| own.evaluate(&own.round(vector), &mut scratch))
    }

    fn round(&self, vector: &[f64]) -> Vec<f64> {
        self.own().round(vector)
    }

    fn describe(&self, vector: &[f64], study: Option<&[u8]>) -> Result<Described, String> {
        let mut candidate = self.own().candidate(vector);
        let study = study.map(serde_json::from_slice).transpose();
        candidate.study = study.map_err(|fault| format!("a study cannot be read: {fault}"))?;
        Ok(Described {
            feasible: candidate.feasible,
            goals: candidate.goals.iter().map(|goal| goal.value).collect(),
            json: crate::documents::bytes(&candidate),
        })
    }

    fn study(&self, vector: &[f64]) -> Vec<u8> {
        crate::documents::bytes(&self.own().study(vector))
    }

    fn name(&self) -> String {
        match self.own().place() {
            Some(place) => place.name.clone(),
            None => self.compiled.job().name.clone(),
        }
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

/// A job that searches several layouts; a vector of a point begins with its layout's place.
struct Layouts {
    all: Vec<Vehicle>,
}

impl Layouts {
    fn compiled(&self) -> &Compiled {
        &self.all[0].compiled
    }

    /// The layout of a point and its offsets.
    fn split<'v>(&self, vector: &'v [f64]) -> (&Vehicle, &'v [f64]) {
        let (place, offsets) = vector.split_first().unwrap_or((&0.0, vector));
        let vehicle = self.all.get(*place as usize).unwrap_or(&self.all[0]);
        (vehicle, offsets)
    }
}

impl Model for Layouts {
    fn layouts(&self) -> usize {
        self.all.len()
    }

    fn layout(&self, layout: usize) -> Option<&dyn Model> {
        self.all.get(layout).map(|one| one as &dyn Model)
    }

    fn problem(&self) -> &Problem {
        self.all[0].problem()
    }

    fn budget(&self) -> Budget {
        self.compiled().budget()
    }

    fn seed(&self) -> u64 {
        self.compiled().seed()
    }

    fn starts(&self) -> &[Vec<f64>] {
        &self.all[0].starts
    }

    fn is_costly(&self) -> bool {
        self.all.iter().any(Model::is_costly)
    }

    fn early_stop(&self) -> Option<EarlyStop> {
        self.all[0].early_stop()
    }

    fn polish_points(&self) -> usize {
        self.all[0].polish_points()
    }

    fn polish_evaluations(&self) -> u32 {
        self.all[0].polish_evaluations()
    }

    fn study_points(&self) -> usize {
        self.all[0].study_points()
    }

    fn front_size(&self) -> usize {
        self.compiled().front_size()
    }

    fn evaluator(&self) -> Evaluator<'_> {
        self.all[0].evaluator()
    }

    fn round(&self, vector: &[f64]) -> Vec<f64> {
        let (vehicle, offsets) = self.split(vector);
        let place = vec![vehicle.layout as f64];
        [place, vehicle.round(offsets)].concat()
    }

    fn describe(&self, vector: &[f64], study: Option<&[u8]>) -> Result<Described, String> {
        let (vehicle, offsets) = self.split(vector);
        vehicle.describe(offsets, study)
    }

    fn study(&self, vector: &[f64]) -> Vec<u8> {
        let (vehicle, offsets) = self.split(vector);
        vehicle.study(offsets)
    }

    fn name(&self) -> String {
        self.compiled().job().name.clone()
    }

    fn goals(&self) -> Vec<GoalInfo> {
        self.all[0].goals()
    }

    fn requirements(&self) -> Vec<String> {
        self.all[0].requirements()
    }

    fn findings(&self) -> Vec<Finding> {
        self.compiled().findings().to_vec()
    }
}
