//! One island: a population that is asked for batches and told what they gave.

mod credit;
mod crowd;
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
use crate::standing::{Member, Standing, padded};
use crate::subset;
use credit::{Credit, Operator, pick};
use crowd::Crowd;
use mating::Mating;
use thiserror::Error;

/// Every multiple of this many evaluations is a batch border.
pub const BORDER: u64 = 100;

/// Vectors of the first batch, the start points among them.
const FIRST: usize = MOST_STARTS;
/// Vectors of every other batch; a divisor of [`BORDER`].
const BATCH: usize = 25;
/// Once the main population is fine, and has had twice the evaluations that this took, every so
/// many batches one goes to the scouts: a population that begins anew elsewhere, and joins the
/// main one when it is fine itself. The interval doubles with every other joining, up to four times.
const SCOUT_TURN: u32 = 4;
const MOST_DOUBLINGS: u32 = 4;
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
    main: Crowd,
    scouts: Crowd,
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

    fn next(&self) -> Waiting {
        let children = if self.generation == 0 {
            self.first()
        } else if !self.is_scouting() {
            self.children(&self.main)
        } else if self.scouts.spent < FIRST as u64 {
            self.spread(BATCH)
        } else {
            self.children(&self.scouts)
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

    /// Whether the batch at hand is one of the scouts'.
    fn is_scouting(&self) -> bool {
        let turn = SCOUT_TURN << (self.joined / 2).min(MOST_DOUBLINGS);
        let ready = self.main.is_fine() && self.main.spent >= self.took.saturating_mul(2);
        ready && self.generation % turn == turn - 1
    }

    fn first(&self) -> Vec<Child> {
        let starts = self.starts.iter().cloned().map(|unit| Child {
            unit,
            operator: None,
        });
        starts
            .chain(self.spread(FIRST - self.starts.len()))
            .collect()
    }

    fn spread(&self, count: usize) -> Vec<Child> {
        let key = [self.number, self.generation];
        let units = variation::hypercube(&self.problem, self.seed, key, count);
        units
            .into_iter()
            .map(|unit| Child {
                unit,
                operator: None,
            })
            .collect()
    }

    fn children(&self, crowd: &Crowd) -> Vec<Child> {
        let parents = Mating::new(&crowd.members, &crowd.fronts, self.problem.goals());
        let least_first = if crowd.is_fine() { 0.0 } else { RECOMBINED };
        let shares = self.credit.shares(self.number, least_first);
        (0..BATCH as u32)
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
        let scouting = self.is_scouting();
        let mut crowd = std::mem::take(if scouting {
            &mut self.scouts
        } else {
            &mut self.main
        });
        let parents = crowd.members.len();
        let makers: Vec<Option<Operator>> = children.iter().map(|child| child.operator).collect();
        for (child, evaluation) in children.into_iter().zip(told) {
            crowd.members.push(self.take(child.unit, evaluation));
        }
        crowd.rank();
        let entered = self.harvest(&crowd, parents);
        if !scouting {
            self.reward(&makers, &entered);
        }
        crowd.spent += told.len() as u64;
        crowd.select(self.problem.goals());
        crowd.settle();
        *(if scouting {
            &mut self.scouts
        } else {
            &mut self.main
        }) = crowd;
        self.join();
        self.generation += 1;
        if self.scales.is_none() {
            self.scales = Scales::freeze(&self.elite, self.problem.goals(), self.tally.evaluations);
        }
        Ok(())
    }

    fn take(&mut self, unit: Vec<f64>, told: &Evaluation) -> Member {
        let standing = Standing::of(told);
        self.tally.count(&unit, told, standing);
        Member {
            unit,
            goals: padded(&told.goals),
            standing,
        }
    }

    /// Puts the children that nothing in their population dominates into the archive and says
    /// which came in. Children are the members from position `parents` on.
    fn harvest(&mut self, crowd: &Crowd, parents: usize) -> Vec<bool> {
        let mut entered = vec![false; crowd.members.len() - parents];
        let first = crowd.fronts.first().map_or(&[][..], Vec::as_slice);
        for i in first.iter().copied().filter(|i| *i >= parents) {
            let child = &crowd.members[i];
            entered[i - parents] = child.standing.is_feasible() && self.elite.insert(child);
        }
        self.elite.tidy();
        entered
    }

    fn reward(&mut self, makers: &[Option<Operator>], entered: &[bool]) {
        for (maker, entered) in makers.iter().zip(entered) {
            if let Some(operator) = maker {
                self.credit.count(*operator, *entered);
            }
        }
        self.credit.fade(makers.len());
    }

    /// Lets scouts join when they are fine, or have had twice what the main population needed.
    fn join(&mut self) {
        if self.main.is_fine() && self.took == 0 {
            self.took = self.main.spent;
        }
        if self.scouts.is_fine() || self.scouts.spent > self.took.saturating_mul(2) {
            let scouts = std::mem::take(&mut self.scouts);
            self.joined = self.joined.saturating_add(1);
            self.main.members.extend(scouts.members);
            self.main.rank();
            self.main.select(self.problem.goals());
        }
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
