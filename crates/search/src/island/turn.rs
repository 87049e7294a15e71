//! Whose turn it is, and the batch of that turn.

use super::credit::pick;
use super::crowd::Crowd;
use super::mating::Mating;
use super::settings::MOST_STARTS;
use super::{BORDER, Child, Island, Waiting, variation};
use crate::batch::Batch;
use crate::evolution::Evolution;
use crate::random::Stream;

/// Vectors of the first batch, the start points among them.
const FIRST: usize = MOST_STARTS;
/// Vectors of every other batch; a divisor of [`super::BORDER`].
const BATCH: usize = 25;
/// Once the main population is fine, and has had twice the evaluations that this took, every so
/// many batches one goes to the scouts: a population that begins anew elsewhere, and joins the
/// main one when it is fine itself. The interval doubles with every joining, up to four times.
const SCOUT_TURN: u32 = 4;
const MOST_DOUBLINGS: u32 = 4;
/// With one goal, of a hundred evaluations behind the first batch, so many go to the population;
/// the evolution strategy has the rest, in batches of 10, or of 20 beyond 15 free variables.
const POPULATION_OF_ONE_GOAL: usize = 20;
/// Children made by recombination in the wide phase, at least, and in the fine phase, where its
/// mutations are what leaves a local front.
const RECOMBINED: f64 = 0.5;
const RECOMBINED_FINE: f64 = 0.4;

/// Who makes a batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turn {
    First,
    Main,
    Scouts,
    /// Members of the main population with coordinates of scouts, which join then.
    Exchange,
    Evolution,
}

impl Island {
    pub(super) fn turn(&self) -> Turn {
        let interval = SCOUT_TURN << self.joined.min(MOST_DOUBLINGS);
        let alone = self.evolution.is_none();
        let ready = alone && self.main.is_fine() && self.main.spent >= self.took.saturating_mul(2);
        if self.generation == 0 {
            Turn::First
        } else if self.evolution.is_some() && !(self.generation - 1).is_multiple_of(self.cycle()) {
            Turn::Evolution
        } else if self.scouts.is_fine() || self.scouts.spent > self.took.saturating_mul(2) {
            Turn::Exchange
        } else if ready && self.generation % interval == interval - 1 {
            Turn::Scouts
        } else {
            Turn::Main
        }
    }

    /// Children of the evolution strategy per batch.
    fn brood(&self) -> usize {
        if self.problem.free() <= 15 { 10 } else { 20 }
    }

    /// Batches in a hundred evaluations with one goal.
    fn cycle(&self) -> u32 {
        1 + ((BORDER as usize - POPULATION_OF_ONE_GOAL) / self.brood()) as u32
    }

    pub(super) fn next(&self) -> Waiting {
        let children = match self.turn() {
            Turn::First => self.first(),
            Turn::Main => self.children(&self.main),
            Turn::Scouts if self.scouts.spent < FIRST as u64 => self.spread(BATCH),
            Turn::Scouts => self.children(&self.scouts),
            Turn::Exchange => self.exchanged(),
            Turn::Evolution => self.evolved(),
        };
        let width = self.problem.variables().len();
        let mut values = Vec::with_capacity(children.len() * width);
        for child in &children {
            self.problem.write_vector(&child.unit, &mut values);
        }
        Waiting {
            children,
            batch: Batch::new(width, values),
        }
    }

    pub(super) fn stream(&self, child: u32) -> Stream {
        Stream::new(self.seed, self.number, self.generation, child)
    }

    fn first(&self) -> Vec<Child> {
        let mut children: Vec<Child> = self.starts.iter().cloned().map(Child::plain).collect();
        children.extend(self.spread(FIRST - self.starts.len()));
        children
    }

    fn spread(&self, count: usize) -> Vec<Child> {
        let key = [self.number, self.generation];
        let units = variation::hypercube(&self.problem, self.seed, key, count);
        units.into_iter().map(Child::plain).collect()
    }

    fn children(&self, crowd: &Crowd) -> Vec<Child> {
        let parents = Mating::new(&crowd.members, &crowd.fronts, self.problem.goals());
        let least_first = if crowd.is_fine() {
            RECOMBINED_FINE
        } else {
            RECOMBINED
        };
        let shares = self.credit.shares(self.number, least_first);
        let child = |child: u32| {
            let mut stream = self.stream(child);
            let operator = pick(&shares, stream.unit());
            let unit = variation::child(&self.problem, &parents, operator, &mut stream);
            Child {
                unit,
                operator: Some(operator),
            }
        };
        let count = if self.evolution.is_some() {
            POPULATION_OF_ONE_GOAL
        } else {
            BATCH
        };
        (0..count as u32).map(child).collect()
    }

    fn exchanged(&self) -> Vec<Child> {
        let scouts = &self.scouts.members;
        let parents = Mating::new(&self.main.members, &self.main.fronts, self.problem.goals());
        let child = |child: u32| {
            let mut stream = self.stream(child);
            let scout = &scouts[stream.below(scouts.len())].unit;
            Child::plain(variation::exchange(
                &self.problem,
                &parents,
                scout,
                &mut stream,
            ))
        };
        (0..BATCH as u32).map(child).collect()
    }

    fn evolved(&self) -> Vec<Child> {
        let child = |strategy: &Evolution, child: u32| {
            Child::plain(strategy.child(&self.problem, &mut self.stream(child)))
        };
        let strategy = self.evolution.iter();
        strategy
            .flat_map(|strategy| (0..self.brood() as u32).map(move |i| child(strategy, i)))
            .collect()
    }
}
