//! One island: a population that is asked for batches and told what they gave.

mod credit;
mod crowd;
mod mating;
mod settings;
mod slack;
mod snapshot;
mod survival;
mod tell;
mod turn;
mod variation;

pub use settings::{MOST_STARTS, Settings, StartFault, deal_starts};

use crate::archive::progress;
use crate::batch::Batch;
use crate::blocks::{Blocks, Tally};
use crate::elite::{Elite, extremes};
use crate::evolution::Evolution;
use crate::problem::Problem;
use crate::progress::{Progress, Scales};
use crate::standing::Member;
use crate::subset;
use credit::{Credit, Operator};
use crowd::Crowd;
use thiserror::Error;

/// Every multiple of this many evaluations is a batch border.
pub const BORDER: u64 = 100;

const MIGRANTS: usize = 10;

/// A candidate that moves from one island to the next, with its figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Migrant(Member);

/// Why migrants were refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum ReceiveFault {
    /// A batch was asked for and not told yet.
    #[error("a batch is waiting to be told; migrants come in at batch borders only")]
    BatchWaiting,
    /// Migrants of a problem of another shape.
    #[error("migrant {index} belongs to another problem")]
    OtherProblem {
        /// Which migrant.
        index: usize,
    },
}

#[derive(Clone, Debug)]
struct Child {
    unit: Vec<f64>,
    /// None for one that no operator of the main population made.
    operator: Option<Operator>,
}

impl Child {
    fn plain(unit: Vec<f64>) -> Self {
        Self {
            unit,
            operator: None,
        }
    }
}

#[derive(Clone, Debug)]
struct Waiting {
    children: Vec<Child>,
    batch: Batch,
}

/// The state of one island. The same problem, settings, evaluations and migrants give the same
/// batches to the last bit.
#[derive(Clone, Debug)]
pub struct Island {
    problem: Problem,
    seed: u64,
    number: u32,
    starts: Vec<Vec<f64>>,
    generation: u32,
    main: Crowd,
    scouts: Crowd,
    /// Runs beside the main population when there is one goal.
    evolution: Option<Evolution>,
    /// Evaluations after which the main population became fine.
    took: u64,
    /// How often scouts have joined.
    joined: u32,
    credit: Credit,
    elite: Elite,
    tally: Tally,
    scales: Option<Scales>,
    waiting: Option<Waiting>,
}

impl Island {
    /// A new island.
    ///
    /// # Errors
    /// When there are too many start points, or one has the wrong length or a value that is not
    /// finite.
    pub fn start(problem: &Problem, settings: &Settings) -> Result<Self, StartFault> {
        settings::check(problem, settings)?;
        Ok(Self {
            problem: problem.clone(),
            seed: settings.seed,
            number: settings.island,
            starts: settings
                .starts
                .iter()
                .map(|start| problem.unit(start))
                .collect(),
            generation: 0,
            main: Crowd::default(),
            scouts: Crowd::default(),
            evolution: None,
            took: 0,
            joined: 0,
            credit: Credit::new(),
            elite: Elite::new(problem.goals()),
            tally: Tally::new(problem),
            scales: None,
            waiting: None,
        })
    }

    /// The vectors to evaluate next. Asking again before telling gives the same batch.
    pub fn ask(&mut self) -> &Batch {
        if self.waiting.is_none() {
            self.waiting = Some(self.next());
        }
        &self.waiting.as_ref().expect("just made").batch
    }

    /// A few of the island's best for its neighbour: a good spread over its archive and the best of
    /// each goal, or the least violated while nothing feasible is known.
    pub fn migrants(&self) -> Vec<Migrant> {
        if self.elite.values().is_empty() {
            let mut order: Vec<&Member> = self.main.members.iter().collect();
            order.sort_by(|a, b| a.standing.order(b.standing));
            return order
                .into_iter()
                .take(MIGRANTS)
                .cloned()
                .map(Migrant)
                .collect();
        }
        let goals = self.problem.goals();
        let mut flags = extremes(self.elite.values(), goals);
        for i in subset::best(self.elite.values(), goals, MIGRANTS) {
            flags[i] = true;
        }
        let chosen = self.elite.members().iter().zip(flags);
        chosen
            .filter(|(_, chosen)| *chosen)
            .map(|(member, _)| Migrant(member.clone()))
            .collect()
    }

    /// Takes in a neighbour's migrants, at a batch border. They are not counted as evaluations.
    ///
    /// # Errors
    /// While a batch is waiting, or when a migrant has another number of coordinates. Then
    /// nothing has changed.
    pub fn receive(&mut self, migrants: &[Migrant]) -> Result<(), ReceiveFault> {
        if self.waiting.is_some() {
            return Err(ReceiveFault::BatchWaiting);
        }
        let strange = |m: &Migrant| m.0.unit.len() != self.problem.free();
        if let Some(index) = migrants.iter().position(strange) {
            return Err(ReceiveFault::OtherProblem { index });
        }
        for Migrant(member) in migrants {
            if member.standing.is_feasible() {
                self.elite.insert(member);
            }
            if !self.main.members.contains(member) {
                self.main.members.push(member.clone());
            }
        }
        self.elite.tidy();
        self.main.rank();
        self.main.select(self.problem.goals());
        Ok(())
    }

    /// Candidates told so far.
    pub fn evaluations(&self) -> u64 {
        self.tally.evaluations
    }

    /// The figures of progress.
    pub fn progress(&self) -> Progress {
        progress(
            &self.problem,
            &self.elite,
            &self.tally,
            self.scales.as_ref(),
        )
    }

    /// What stands between the island and a feasible candidate.
    pub fn blocks(&self) -> Blocks {
        self.tally.blocks(&self.problem)
    }

    /// The frozen scales of the hypervolume: the extent of this island's front at the first batch
    /// border at or behind 1,000 evaluations at which the front has at least five points.
    pub fn scales(&self) -> Option<&Scales> {
        self.scales.as_ref()
    }

    pub(crate) fn elite(&self) -> &Elite {
        &self.elite
    }

    pub(crate) fn tally(&self) -> &Tally {
        &self.tally
    }
}
