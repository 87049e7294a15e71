//! What a batch's figures change.

use super::turn::Turn;
use super::{Child, Crowd, Island, Operator};
use crate::evaluation::{Evaluation, TellFault, check_all};
use crate::evolution::{Evolution, compare};
use crate::progress::Scales;
use crate::random::WHOLE;
use crate::standing::{Goals, Member, Standing, padded};

/// Beyond so many free variables the evolution strategy's matrix costs more than it brings.
const MOST_EVOLVED: usize = 200;

impl Island {
    /// Takes one evaluation per vector of the batch, in index order.
    ///
    /// # Errors
    /// When no batch is waiting, the count is wrong, or a value is not a number or too large.
    /// Then nothing has changed, and the same batch can be told again.
    pub fn tell(&mut self, told: &[Evaluation]) -> Result<(), TellFault> {
        let waiting = self.waiting.take().ok_or(TellFault::NothingAsked)?;
        if let Err(fault) = check_all(&self.problem, waiting.children.len(), told) {
            self.waiting = Some(waiting);
            return Err(fault);
        }
        let turn = self.turn();
        let makers: Vec<_> = waiting
            .children
            .iter()
            .map(|child| child.operator)
            .collect();
        let counted = waiting.children.into_iter().zip(told);
        let members: Vec<Member> = counted
            .map(|(child, told)| self.count(child, told))
            .collect();
        match turn {
            Turn::First | Turn::Main => {
                let mut crowd = std::mem::take(&mut self.main);
                let entered = self.grow(&mut crowd, members);
                self.main = crowd;
                self.reward(&makers, &entered);
            }
            Turn::Scouts => {
                let mut crowd = std::mem::take(&mut self.scouts);
                self.grow(&mut crowd, members);
                self.scouts = crowd;
            }
            Turn::Exchange => self.join(members),
            Turn::Evolution => self.evolve(members),
        }
        if self.main.is_fine() && self.took == 0 {
            self.took = self.main.spent;
        }
        self.begin_evolution();
        self.generation += 1;
        if self.scales.is_none() {
            self.scales = Scales::freeze(&self.elite, self.problem.goals(), self.tally.evaluations);
        }
        Ok(())
    }

    fn count(&mut self, child: Child, told: &Evaluation) -> Member {
        let standing = Standing::of(told);
        self.tally.count(&child.unit, told, standing);
        Member {
            unit: child.unit,
            goals: padded(&told.goals),
            standing,
        }
    }

    /// Adds evaluated members to a population, and feasible ones to the archive, unless something in
    /// the population dominates them; says which came into the archive.
    fn grow(&mut self, crowd: &mut Crowd, members: Vec<Member>) -> Vec<bool> {
        let parents = crowd.members.len();
        crowd.spent += members.len() as u64;
        crowd.members.extend(members);
        crowd.rank();
        let mut entered = vec![false; crowd.members.len() - parents];
        let first = crowd.fronts.first().map_or(&[][..], Vec::as_slice);
        // A feasible child can stand behind an infeasible one that passes by the slack.
        let all: Vec<usize> = if crowd.slack() > 0.0 {
            (parents..crowd.members.len()).collect()
        } else {
            first.iter().copied().filter(|i| *i >= parents).collect()
        };
        for i in all {
            let child = &crowd.members[i];
            entered[i - parents] = child.standing.is_feasible() && self.elite.insert(child);
        }
        self.elite.tidy();
        let told: Vec<_> = crowd.members[parents..].iter().map(|m| m.goals).collect();
        crowd.select(self.problem.goals());
        crowd.settle();
        if crowd.is_fine() {
            let stays = |goals: &Goals| {
                crowd
                    .members
                    .iter()
                    .any(|m| m.goals == *goals && m.standing.is_feasible())
            };
            entered
                .iter_mut()
                .zip(&told)
                .for_each(|(entered, goals)| *entered = stays(goals));
        }
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

    /// Lets scouts join, with what came of mixing them with the main population.
    fn join(&mut self, mixed: Vec<Member>) {
        let scouts = std::mem::take(&mut self.scouts);
        self.joined = self.joined.saturating_add(1);
        let mut crowd = std::mem::take(&mut self.main);
        crowd.members.extend(scouts.members);
        self.grow(&mut crowd, mixed);
        self.main = crowd;
    }

    fn begin_evolution(&mut self) {
        let fits = self.problem.goals() == 1 && (1..=MOST_EVOLVED).contains(&self.problem.free());
        if fits && self.evolution.is_none() {
            self.evolution = self.leader().map(|leader| Evolution::around(&leader.unit));
        }
    }

    /// The best member of the main population for one goal.
    fn leader(&self) -> Option<&Member> {
        self.main.members.iter().min_by(|a, b| compare(a, b))
    }

    /// Lets the strategy learn from its batch; the best of the batch joins the main population.
    fn evolve(&mut self, members: Vec<Member>) {
        let known = self
            .leader()
            .map_or_else(Vec::new, |leader| leader.unit.clone());
        if let Some(mut strategy) = self.evolution.take() {
            let streams = (0..).map(|child| self.stream(child));
            let children: Vec<_> = members.iter().zip(streams).collect();
            strategy.learn(&children, &known, &mut self.stream(WHOLE));
            self.evolution = Some(strategy);
        }
        let best = members.into_iter().min_by(compare);
        if let Some(best) = best {
            if best.standing.is_feasible() {
                self.elite.insert(&best);
            }
            self.main.members.push(best);
            self.main.rank();
            self.main.select(self.problem.goals());
        }
    }
}
