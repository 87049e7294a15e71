//! Refining one point of a front.
//!
//! The goals become one figure by an achievement scalarising function (Wierzbicki 1980): with w
//! the front's extent per goal and z one extent better than the start in every goal, the largest
//! (f − z)/w plus a small part of their sum. Violations are added as an exact penalty. Up to ten free
//! variables the simplex of Nelder & Mead searches, in coordinates that are folded back at the
//! bounds; beyond, an evolution strategy.

mod achievement;
mod engine;
mod simplex;

use crate::archive::{Archive, Point, progress};
use crate::batch::Batch;
use crate::blocks::Tally;
use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::elite::Elite;
use crate::evaluation::{Evaluation, LARGEST, TellFault, check_all};
use crate::problem::Problem;
use crate::progress::{Progress, Scales};
use crate::standing::{Goals, Member, Standing, padded};
use achievement::{LARGEST_COST, cost};
use engine::Engine;
use thiserror::Error;

const KIND: u8 = b'p';
const VERSION: u8 = 2;

const MOST_EVALUATIONS: u32 = 1_000_000;
/// Why a polish can't start.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PolishFault {
    /// The start doesn't fit the archive's problem.
    #[error("point: {found} {what}, must be {expected}")]
    Width {
        /// "values" or "goals".
        what: &'static str,
        /// As the problem states.
        expected: usize,
        /// As given.
        found: usize,
    },
    /// A value or goal that is not finite or too large.
    #[error("point: a value is {value}, must be finite and at most {LARGEST} in magnitude")]
    Value {
        /// As given.
        value: f64,
    },
    /// A budget out of range.
    #[error("budget is {found}, must be from 1 to {MOST_EVALUATIONS}")]
    Budget {
        /// As given.
        found: u32,
    },
}

/// A step machine that refines one point: asked and told like an island, with a budget of its
/// own. A snapshot holds the costs told so far and replays them.
#[derive(Clone)]
pub struct Polish {
    problem: Problem,
    budget: u32,
    start: Vec<f64>,
    aim: Goals,
    scales: Scales,
    engine: Engine,
    /// The best cost so far, and where (folded back).
    best: (f64, Vec<f64>),
    costs: Vec<f64>,
    elite: Elite,
    tally: Tally,
    waiting: Option<Waiting>,
    finished: bool,
}

#[derive(Clone)]
struct Waiting {
    units: Vec<Vec<f64>>,
    batch: Batch,
}

impl Polish {
    /// Starts from a point of the archive's problem, with at most `budget` evaluations (1 to
    /// 1,000,000).
    ///
    /// # Errors
    /// When the point or the budget doesn't fit.
    pub fn start(archive: &Archive, from: &Point, budget: u32) -> Result<Self, PolishFault> {
        let problem = archive.problem();
        check_width("values", problem.variables().len(), from.vector.len())?;
        check_width("goals", problem.goals(), from.goals.len())?;
        let fits = |v: &f64| (-LARGEST..=LARGEST).contains(v);
        if let Some(value) = from.vector.iter().chain(&from.goals).find(|v| !fits(v)) {
            return Err(PolishFault::Value { value: *value });
        }
        if !(1..=MOST_EVALUATIONS).contains(&budget) {
            return Err(PolishFault::Budget { found: budget });
        }
        let (start, aim) = (problem.unit(&from.vector), padded(&from.goals));
        Ok(Self::new(problem, budget, start, aim, archive.extent()))
    }

    fn new(problem: &Problem, budget: u32, start: Vec<f64>, aim: Goals, scales: Scales) -> Self {
        Self {
            problem: problem.clone(),
            budget,
            engine: Engine::around(problem, &start),
            best: (f64::INFINITY, start.clone()),
            // Without a free variable there is nothing to refine.
            finished: start.is_empty(),
            start,
            aim,
            scales,
            costs: Vec::new(),
            elite: Elite::new(problem.goals()),
            tally: Tally::new(problem),
            waiting: None,
        }
    }

    /// The vectors to evaluate next; `None` when the budget is spent or nothing improves any more.
    /// Asking again before telling gives the same batch.
    pub fn ask(&mut self) -> Option<&Batch> {
        if self.waiting.is_none() && !self.finished {
            self.waiting = self.next();
            self.finished = self.waiting.is_none();
        }
        self.waiting.as_ref().map(|waiting| &waiting.batch)
    }

    fn next(&mut self) -> Option<Waiting> {
        let left = self.budget as usize - self.costs.len();
        let mut units = if left == 0 {
            Vec::new()
        } else {
            self.engine.wanted(&self.problem, &self.best.1)
        };
        units.truncate(left);
        if units.is_empty() {
            return None;
        }
        let mut values = Vec::new();
        units
            .iter()
            .for_each(|unit| self.problem.write_vector(unit, &mut values));
        let batch = Batch::new(self.problem.variables().len(), values);
        Some(Waiting { units, batch })
    }

    /// Takes one evaluation per vector of the batch, in index order.
    ///
    /// # Errors
    /// As of [`crate::Island::tell`].
    pub fn tell(&mut self, told: &[Evaluation]) -> Result<(), TellFault> {
        let expected = self
            .waiting
            .as_ref()
            .ok_or(TellFault::NothingAsked)?
            .units
            .len();
        check_all(&self.problem, expected, told)?;
        let units = self
            .waiting
            .take()
            .map_or_else(Vec::new, |waiting| waiting.units);
        let mut costs = Vec::with_capacity(units.len());
        for (unit, evaluation) in units.iter().zip(told) {
            let standing = Standing::of(evaluation);
            self.tally.count(unit, evaluation, standing);
            let unit = unit.clone();
            let member = Member {
                unit,
                goals: padded(&evaluation.goals),
                standing,
            };
            costs.push(cost(&member, &self.aim, &self.scales));
            if standing.is_feasible() {
                self.elite.insert(&member);
            }
        }
        self.elite.tidy();
        self.take_costs(&units, &costs);
        Ok(())
    }

    fn take_costs(&mut self, units: &[Vec<f64>], costs: &[f64]) {
        for (unit, cost) in units.iter().zip(costs) {
            if *cost < self.best.0 {
                self.best = (*cost, unit.clone());
            }
        }
        self.costs.extend(costs);
        self.engine.tell(units, costs, &self.best.1);
    }

    /// Whether [`Polish::ask`] gave `None`.
    pub fn is_finished(&self) -> bool {
        self.finished
    }

    /// Candidates told so far.
    pub fn evaluations(&self) -> u64 {
        self.tally.evaluations
    }

    /// The figures of this polish alone; its hypervolume is on the archive's extent at the start.
    pub fn progress(&self) -> Progress {
        progress(&self.problem, &self.elite, &self.tally, Some(&self.scales))
    }

    pub(crate) fn problem(&self) -> &Problem {
        &self.problem
    }

    pub(crate) fn elite(&self) -> &Elite {
        &self.elite
    }

    pub(crate) fn tally(&self) -> &Tally {
        &self.tally
    }

    /// The whole state as bytes; a batch that waits is asked for again after [`Polish::resume`].
    pub fn snapshot(&self) -> Vec<u8> {
        let mut out = Writer::new(KIND, VERSION);
        out.shape(&self.problem);
        out.u32(self.budget);
        out.floats(&self.start);
        out.floats(&self.aim[..self.problem.goals()]);
        out.floats(&self.scales.ideal);
        out.floats(&self.scales.nadir);
        out.count(self.costs.len());
        out.floats(&self.costs);
        self.tally.write(&mut out);
        self.elite.write(&mut out);
        out.finish()
    }

    /// The polish that wrote `bytes`.
    ///
    /// # Errors
    /// When the bytes are damaged or belong to another problem.
    pub fn resume(problem: &Problem, bytes: &[u8]) -> Result<Self, SnapshotFault> {
        let mut from = Reader::new(bytes, KIND, "a polish", VERSION)?;
        from.shape(problem)?;
        let budget = from.u32("budget")?;
        from.require((1..=MOST_EVALUATIONS).contains(&budget), "budget")?;
        let start = from.floats(problem.free(), "start", 0.0, 1.0)?;
        let aim = padded(&from.floats(problem.goals(), "aim", -LARGEST, LARGEST)?);
        let ideal = from.floats(problem.goals(), "scales", -LARGEST, LARGEST)?;
        let nadir = from.floats(problem.goals(), "scales", -LARGEST, 2.0 * LARGEST)?;
        let count = from.count(budget as usize, 8, "costs")?;
        let costs = from.floats(count, "costs", -LARGEST_COST, LARGEST_COST)?;
        let tally = Tally::read(&mut from, problem)?;
        let elite = Elite::read(&mut from, problem)?;
        from.finish()?;
        let mut polish = Self::new(problem, budget, start, aim, Scales { ideal, nadir });
        polish.replay(&costs);
        (polish.tally, polish.elite) = (tally, elite);
        Ok(polish)
    }

    /// Goes through costs that were told before.
    fn replay(&mut self, costs: &[f64]) {
        let mut left = costs;
        while !left.is_empty() && self.ask().is_some() {
            let units = self
                .waiting
                .take()
                .map_or_else(Vec::new, |waiting| waiting.units);
            let (now, later) = left.split_at(units.len().min(left.len()));
            self.take_costs(&units[..now.len()], now);
            left = later;
        }
    }
}

fn check_width(what: &'static str, expected: usize, found: usize) -> Result<(), PolishFault> {
    if expected == found {
        Ok(())
    } else {
        Err(PolishFault::Width {
            what,
            expected,
            found,
        })
    }
}
