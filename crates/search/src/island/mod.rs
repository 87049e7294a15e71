//! One island: a population that is asked for batches and told what they gave.

mod credit;
mod mating;
mod settings;
mod snapshot;
mod survival;
mod variation;

pub use settings::{MOST_STARTS, Settings, StartFault};

use crate::archive::progress;
use crate::batch::Batch;
use crate::blocks::{Blocks, Tally};
use crate::elite::{Elite, extremes};
use crate::evaluation::{Evaluation, TellFault, check_all};
use crate::problem::Problem;
use crate::progress::{Progress, Scales};
use crate::random::Stream;
use crate::standing::{Member, Standing, fronts, padded};
use crate::subset;
use credit::{Credit, Operator, pick};
use mating::Mating;
use survival::{Cut, survive};
use thiserror::Error;

/// Every multiple of this many evaluations is a batch border.
pub const BORDER: u64 = 100;

const POPULATION: usize = 100;
/// Batch sizes divide [`BORDER`].
const WIDE_BATCH: usize = 25;
const FINE_BATCH: usize = 25;
/// Places for infeasible members while the front is still being approached.
const RESERVE: usize = 10;
/// The fine phase begins after this many batches in a row whose survivors were all feasible and
/// none dominated another.
const CALM: u32 = 5;
/// Children made by recombination in the wide phase, at least.
const RECOMBINED: f64 = 0.5;
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
    /// None for a start point.
    operator: Option<Operator>,
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
    population: Vec<Member>,
    /// The population's fronts of constrained dominance, derived from it.
    fronts: Vec<Vec<usize>>,
    calm: u32,
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
            population: Vec::new(),
            fronts: Vec::new(),
            calm: 0,
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

    fn next(&self) -> Waiting {
        let children = if self.generation == 0 {
            self.first()
        } else {
            self.children()
        };
        let mut values = Vec::with_capacity(children.len() * self.problem.variables().len());
        children
            .iter()
            .for_each(|child| self.problem.write_vector(&child.unit, &mut values));
        Waiting {
            children,
            batch: Batch::new(self.problem.variables().len(), values),
        }
    }

    fn first(&self) -> Vec<Child> {
        let fill = POPULATION - self.starts.len();
        let spread = variation::hypercube(&self.problem, self.seed, self.number, fill);
        let units = self.starts.iter().cloned().chain(spread);
        units
            .map(|unit| Child {
                unit,
                operator: None,
            })
            .collect()
    }

    fn children(&self) -> Vec<Child> {
        let parents = Mating::new(&self.population, &self.fronts, self.problem.goals());
        let least_first = if self.is_fine() { 0.0 } else { RECOMBINED };
        let shares = self.credit.shares(self.number, least_first);
        let count = if self.is_fine() {
            FINE_BATCH
        } else {
            WIDE_BATCH
        };
        (0..count as u32)
            .map(|child| {
                let mut stream = Stream::new(self.seed, self.number, self.generation, child);
                let operator = pick(&shares, stream.unit());
                let unit = variation::child(&self.problem, &parents, operator, &mut stream);
                Child {
                    unit,
                    operator: Some(operator),
                }
            })
            .collect()
    }

    fn is_fine(&self) -> bool {
        self.calm >= CALM
    }

    /// Takes one evaluation per vector of the batch, in index order.
    ///
    /// # Errors
    /// When no batch is waiting, the count is wrong, or a value is not a number or too large.
    /// Then nothing has changed, and the same batch can be told again.
    pub fn tell(&mut self, told: &[Evaluation]) -> Result<(), TellFault> {
        let expected = self
            .waiting
            .as_ref()
            .ok_or(TellFault::NothingAsked)?
            .children
            .len();
        check_all(&self.problem, expected, told)?;
        let children = self
            .waiting
            .take()
            .map_or_else(Vec::new, |waiting| waiting.children);
        let parents = self.population.len();
        let makers: Vec<Option<Operator>> = children.iter().map(|child| child.operator).collect();
        for (child, evaluation) in children.into_iter().zip(told) {
            self.take(child.unit, evaluation);
        }
        let fronts = fronts(&self.population);
        self.harvest(&fronts, parents, &makers);
        self.select(fronts);
        self.settle();
        self.generation += 1;
        if self.scales.is_none() {
            self.scales = Scales::freeze(&self.elite, self.problem.goals(), self.tally.evaluations);
        }
        Ok(())
    }

    fn take(&mut self, unit: Vec<f64>, told: &Evaluation) {
        let standing = Standing::of(told);
        self.tally.count(&unit, told, standing);
        let goals = padded(&told.goals);
        self.population.push(Member {
            unit,
            goals,
            standing,
        });
    }

    /// Puts the children that nothing in the population dominates into the archive, and credits
    /// the operators. Children are the members from position `parents` on.
    fn harvest(&mut self, fronts: &[Vec<usize>], parents: usize, makers: &[Option<Operator>]) {
        let mut entered = vec![false; makers.len()];
        let first = fronts.first().map_or(&[][..], Vec::as_slice);
        for i in first.iter().copied().filter(|i| *i >= parents) {
            let child = &self.population[i];
            entered[i - parents] = child.standing.is_feasible() && self.elite.insert(child);
        }
        for (maker, entered) in makers.iter().zip(entered) {
            if let Some(operator) = maker {
                self.credit.count(*operator, entered);
            }
        }
        self.credit.fade(makers.len());
        self.elite.tidy();
    }

    fn select(&mut self, fronts: Vec<Vec<usize>>) {
        let goals = self.problem.goals();
        let cut = match (self.is_fine(), goals) {
            (true, 2..=4) => Cut::Hypervolume,
            (_, 5..) => Cut::Epsilon,
            _ => Cut::Crowding,
        };
        let reserve = if self.is_fine() { 0 } else { RESERVE };
        let members = std::mem::take(&mut self.population);
        (self.population, self.fronts) = survive(members, fronts, goals, POPULATION, reserve, cut);
    }

    /// Counts calm batches; the fine phase, once begun, stays.
    fn settle(&mut self) {
        if self.is_calm() {
            self.calm = self.calm.saturating_add(1);
        } else if !self.is_fine() {
            self.calm = 0;
        }
    }

    /// Whether every survivor met the requirements, the reserve aside, and none dominates another.
    fn is_calm(&self) -> bool {
        let feasible = |front: &Vec<usize>| self.population[front[0]].standing.is_feasible();
        let mut fronts = self.fronts.iter();
        let full = fronts
            .next()
            .is_some_and(|f| feasible(f) && f.len() + RESERVE >= POPULATION);
        full && !fronts.next().is_some_and(feasible)
    }

    /// A few of the island's best for its neighbour: a good spread over its archive and the best of
    /// each goal, or the least violated while nothing feasible is known.
    pub fn migrants(&self) -> Vec<Migrant> {
        if self.elite.values().is_empty() {
            let mut order: Vec<&Member> = self.population.iter().collect();
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
            if !self.population.contains(member) {
                self.population.push(member.clone());
            }
        }
        self.elite.tidy();
        self.select(fronts(&self.population));
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
