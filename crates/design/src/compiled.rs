//! A job made ready for the search: vectors in, evaluations and candidates out.

mod apart;
mod asks;
mod budget;
mod candidate;
mod choices;
mod errors;
mod findings;
mod holds;
mod layouts;
mod moves;
mod percentile;
mod readings;
mod robust;
mod rods;
mod samples;
mod slopes;
mod study;

pub(crate) use asks::unit;
pub(crate) use readings::reading;
pub(crate) use rods::rod_lengths;

use crate::answer::{Candidate, Finding, GoalInfo};
use crate::convert;
use crate::fault::Fault;
use crate::job::Job;
use crate::layouts::LayoutPlace;
use crate::vehicle::Vehicle;
use apart::Apart;
use asks::Asked;
use errors::Errors;
use holds::Holds;
use kinematics::{DesignFault, Linkage, Machine};
use mechanics::{Answer, Plan};
use moves::Move;
use robust::Robust;
use search::{Evaluation, Problem, Variable};

/// A job made ready for the search. One serves any number of threads, each with its own
/// [`Scratch`]; every answer is a pure function of the job and the vector.
///
/// A vector holds one offset in mm per freedom, in the job's order.
#[derive(Clone, Debug)]
pub struct Compiled {
    job: Job,
    base: Machine,
    freedoms: Vec<Move>,
    holds: Holds,
    asked: Asked,
    plan: Plan,
    robust: Option<Robust>,
    errors: Errors,
    problem: Problem,
    findings: Vec<Finding>,
    poses: usize,
    /// Its place among the layouts of a job that has several.
    place: Option<LayoutPlace>,
    /// The further layouts.
    others: Vec<Compiled>,
}

/// Room for one evaluation at a time.
#[derive(Clone, Debug)]
pub struct Scratch {
    plan: mechanics::Scratch,
    answers: Vec<Answer>,
    /// Settings of the vector, where the job chooses joints or directions.
    chosen: Option<mechanics::Settings>,
}

impl Compiled {
    /// Prepares one layout's job.
    fn one(job: &Job) -> Result<Compiled, Vec<Fault>> {
        let mut compiled = Compiled::unsampled(job)?;
        let samples = samples::take(&compiled);
        compiled.poses = samples.poses;
        compiled.findings = findings::look(&compiled, &samples)?;
        Ok(compiled)
    }

    /// Measures a vehicle by what a job asks, as if the job had been submitted with it; its freedoms
    /// and holds are left aside, so the vehicle may be of another layout.
    ///
    /// # Errors
    /// Faults of what is asked of this vehicle, such as a quantity that needs masses it lacks.
    pub fn measure(job: &Job, vehicle: &Vehicle) -> Result<Candidate, Vec<Fault>> {
        let mut job = job.of_layout(0);
        job.vehicle = vehicle.clone();
        job.freedoms.clear();
        job.holds.clear();
        Ok(Compiled::unsampled(&job)?.submitted())
    }

    fn unsampled(job: &Job) -> Result<Compiled, Vec<Fault>> {
        let vehicle = &job.vehicle;
        let base = convert::machine(vehicle);
        let freedoms = moves::freedoms(job)?;
        let holds = Holds::new(job, &base)?;
        let asked = Asked::new(job)?;
        let settings = convert::settings(vehicle, &job.reach);
        let plan = Plan::new(&asked.asks, &settings).map_err(|why| asks::refused(&why))?;
        let mut variables: Vec<Variable> = job
            .freedoms
            .iter()
            .map(|f| moves::variable(job, f))
            .collect();
        if variables.is_empty() {
            // A vehicle that is only measured: the problem takes no fewer than one.
            let (low, high) = (0.0, 0.0);
            variables.push(Variable::Real { low, high });
        }
        let robust = Robust::new(&asked, &settings).map_err(|why| asks::refused(&why))?;
        let violations = asked.violations() + usize::from(robust.is_some());
        let problem = Problem::new(variables, job.goals.len(), violations)
            .map_err(|why| asks::refused(&why))?;
        Ok(Compiled {
            job: job.clone(),
            base,
            freedoms,
            holds,
            asked,
            plan,
            robust,
            errors: Errors::new(&job.tolerance, &base),
            problem,
            findings: Vec::new(),
            poses: 0,
            place: None,
            others: Vec::new(),
        })
    }

    /// The same for a job that differs in nothing that a candidate hangs on: name, origin, settings of
    /// the search. Saves the look at a sample, which shows the same. `None` for any other job.
    pub fn again(&self, job: &Job) -> Option<Compiled> {
        let likened = Job {
            name: job.name.clone(),
            search: job.search.clone(),
            start_from: job.start_from.clone(),
            ..self.job.clone()
        };
        (likened == *job).then(|| Compiled {
            job: likened,
            ..self.clone()
        })
    }

    /// The search problem: offsets in mm (on the workshop's grid if the job has one), goals in the
    /// job's order, all to be minimised.
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// The job as given.
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// What the look at a sample of candidates showed.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// The goals as columns name them.
    pub fn goals(&self) -> &[GoalInfo] {
        &self.asked.goals
    }

    /// What each violation of an evaluation stands for, in words and in order: the requirements,
    /// then for each quantity that its poses are reached; with a wish at a percentile, last that
    /// the drawing meets its requirements.
    pub fn violations(&self) -> Vec<String> {
        let mut named = self.asked.named();
        named.extend(self.robust.iter().map(|_| Robust::NAMED.to_owned()));
        named
    }

    /// The seed of every random draw.
    pub fn seed(&self) -> u64 {
        self.job.search.seed
    }

    /// Most candidates of the answer.
    pub fn front_size(&self) -> usize {
        self.job.search.front as usize
    }

    /// Room for one thread.
    pub fn scratch(&self) -> Scratch {
        Scratch {
            plan: self.plan.scratch(),
            answers: vec![Answer::default(); self.asked.asks.len()],
            chosen: None,
        }
    }

    /// Goals and violations of one vector. Values between grid points are taken as they are, so
    /// that a polish sees slopes; [`Compiled::round`] puts them on the grid.
    ///
    /// Where something is asked at a percentile, machines are built of a feasible drawing only.
    ///
    /// A vector of another length than the freedoms has no machine and is reported as far apart.
    pub fn evaluate(&self, vector: &[f64], scratch: &mut Scratch) -> Evaluation {
        match self.answer(vector, scratch) {
            Ok(linkage) => self.judge(&linkage, scratch),
            Err(apart) => Evaluation::apart(apart.distance()),
        }
    }

    fn judge(&self, linkage: &Linkage, scratch: &Scratch) -> Evaluation {
        let mut evaluation = self.asked.judge(&scratch.answers);
        if let Some(robust) = &self.robust {
            let drawn = (linkage, scratch.plan.bars(), scratch.chosen.as_ref());
            robust.amend(&self.asked, &self.errors, drawn, &mut evaluation);
        }
        evaluation
    }

    /// The nearest vector on the workshop's grid inside the ranges; clamped only, without a grid.
    pub fn round(&self, vector: &[f64]) -> Vec<f64> {
        self.job
            .freedoms
            .iter()
            .zip(vector)
            .map(|(f, x)| moves::round(&self.job, f, *x))
            .collect()
    }

    /// The machine of a vector, holds solved, and the offsets of the holds.
    fn machine(&self, vector: &[f64]) -> Result<(Machine, holds::Offsets), Apart> {
        let mut machine = self.base;
        if vector.len() != self.freedoms.len() || vector.iter().any(|x| !x.is_finite()) {
            return Err(Apart::Design(DesignFault::NotFinite));
        }
        for (freedom, offset) in self.freedoms.iter().zip(vector) {
            freedom.apply(&mut machine, *offset);
        }
        for freedom in &self.freedoms {
            freedom.tidy(&mut machine);
        }
        let offsets = self.holds.solve(&mut machine).map_err(Apart::Hold)?;
        Ok((machine, offsets))
    }

    fn linkage(&self, vector: &[f64]) -> Result<Linkage, Apart> {
        let (machine, _) = self.machine(vector)?;
        Linkage::new(&machine).map_err(Apart::Design)
    }

    fn answer(&self, vector: &[f64], scratch: &mut Scratch) -> Result<Linkage, Apart> {
        let (machine, _) = self.machine(vector)?;
        self.set_choice(vector, scratch);
        self.answer_machine(&machine, scratch)
    }

    fn answer_machine(&self, machine: &Machine, scratch: &mut Scratch) -> Result<Linkage, Apart> {
        let linkage = Linkage::new(machine).map_err(Apart::Design)?;
        self.plan
            .evaluate(&linkage, &mut scratch.plan, &mut scratch.answers);
        Ok(linkage)
    }
}
