//! Goals and requirements at the 95th percentile of the machines built.

use super::asks::{Asked, SHORTFALL_TOLERANCE};
use super::errors::Errors;
use super::percentile::{Ranked, Worse};
use crate::answer::{QuantityValue, Role};
use crate::tolerance::At;
use kinematics::Linkage;
use mechanics::{Answer, Ask, Bars, Plan, PlanFault, Settings, settled_toe};
use search::Evaluation;

/// The share of machines that a p95 wish is about.
pub(super) const SHARE: f64 = 0.95;
/// What counts against a candidate whose drawing itself breaks a requirement, so that no candidate
/// gains by staying just outside of where machines are built.
const UNBUILT: f64 = 1e3;

/// The wishes at a percentile, with the errors that they are about.
#[derive(Clone, Debug)]
pub(super) struct Robust {
    plan: Plan,
    wishes: Vec<Wish>,
}

#[derive(Clone, Copy, Debug)]
struct Wish {
    /// Its place in the plan.
    place: usize,
    worse: Worse,
    of: Of,
    /// Its ask among all that the job asks.
    ask: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Of {
    Goal(usize),
    Limit(usize),
}

/// A wish's value over the machines built.
struct Found {
    value: Option<f64>,
    /// Share of the machines that do not assemble or reach a part of the poses only.
    missing: f64,
}

impl Robust {
    /// The wishes at a percentile; nothing where a job has none.
    pub(super) fn new(asked: &Asked, settings: &Settings) -> Result<Option<Robust>, PlanFault> {
        let mut asks: Vec<Ask> = Vec::new();
        let mut wishes = Vec::new();
        let mut add = |of, ask: usize, worse| {
            let wanted = asked.asks[ask];
            let known = asks.iter().position(|a| *a == wanted);
            let place = known.unwrap_or_else(|| {
                asks.push(wanted);
                asks.len() - 1
            });
            wishes.push(Wish {
                place,
                worse,
                of,
                ask,
            });
        };
        for (g, goal) in asked.goals.iter().enumerate() {
            if goal.at.is_some() {
                add(Of::Goal(g), asked.goal_ask(g), worse(goal.role, [0.0; 2]));
            }
        }
        for (l, limit) in asked.limits.iter().enumerate() {
            if limit.at.is_some() {
                add(Of::Limit(l), limit.ask, worse(limit.role(), limit.ends()));
            }
        }
        if wishes.is_empty() {
            return Ok(None);
        }
        Plan::new(&asks, settings).map(|plan| Some(Robust { plan, wishes }))
    }

    /// What the additional violation of an evaluation stands for.
    pub(super) const NAMED: &str = "every requirement is met as drawn before machines are built";

    /// Builds machines of a feasible drawing and puts percentiles in the place of its own values.
    /// An infeasible drawing keeps its own.
    pub(super) fn amend(
        &self,
        asked: &Asked,
        errors: &Errors,
        drawn: Drawn,
        evaluation: &mut Evaluation,
    ) {
        if evaluation.violations.iter().any(|v| *v > 0.0) {
            return evaluation.violations.push(UNBUILT);
        }
        for (wish, found) in self.wishes.iter().zip(self.found(errors, drawn, |_| true)) {
            let beyond = (found.missing - (1.0 - SHARE)).max(0.0);
            let poses = asked.limits.len() + wish.ask;
            let missed = beyond / SHORTFALL_TOLERANCE;
            evaluation.violations[poses] = evaluation.violations[poses].max(missed);
            let Some(value) = found.value else { continue };
            match wish.of {
                Of::Goal(g) => evaluation.goals[g] = asked.signed(g, value),
                Of::Limit(l) => evaluation.violations[l] = asked.limits[l].violation(value),
            }
        }
        evaluation.violations.push(0.0);
    }

    /// Puts percentiles in the place of the readings of a drawing, which they keep beside them.
    pub(super) fn read(
        &self,
        errors: &Errors,
        drawn: Drawn,
        goals: &mut [QuantityValue],
        requirements: &mut [QuantityValue],
    ) {
        let whole = |wish: &Wish| match wish.of {
            Of::Goal(g) => goals[g].shortfall <= 0.0,
            Of::Limit(l) => requirements[l].shortfall <= 0.0,
        };
        let found = self.found(errors, drawn, whole);
        for (wish, found) in self.wishes.iter().zip(found) {
            let reading = match wish.of {
                Of::Goal(g) => &mut goals[g],
                Of::Limit(l) => &mut requirements[l],
            };
            reading.at = Some(At::P95);
            reading.as_drawn = reading.value;
            reading.set(found.value);
            let beyond = (found.missing - (1.0 - SHARE)).max(0.0);
            reading.shortfall = reading.shortfall.max(beyond);
        }
    }

    /// The percentile of every wish; `whole` says whether the drawing reaches all its poses.
    fn found(
        &self,
        errors: &Errors,
        (linkage, bars, chosen): Drawn,
        whole: impl Fn(&Wish) -> bool,
    ) -> Vec<Found> {
        let count = errors.samples();
        let (machine, toe) = (linkage.machine(), settled_toe(linkage));
        let mut scratch = self.plan.scratch();
        scratch.set_bars(bars.cloned());
        scratch.set_choice(&self.plan, chosen);
        let mut answers = vec![Answer::default(); self.plan.asks().count()];
        let mut values = vec![Vec::with_capacity(count); self.wishes.len()];
        let whole: Vec<bool> = self.wishes.iter().map(whole).collect();
        for sample in 0..count {
            let Ok(built) = errors.built(machine, toe, sample, 1.0) else {
                continue;
            };
            self.plan
                .evaluate_built(&built.linkage, &built.tilts, &mut scratch, &mut answers);
            for ((wish, whole), values) in self.wishes.iter().zip(&whole).zip(&mut values) {
                let answer = &answers[wish.place];
                if counts(answer, *whole) {
                    values.push(answer.value);
                }
            }
        }
        let one = |(wish, values): (&Wish, Vec<f64>)| {
            let ranked = Ranked::new(wish.worse, values, count);
            Found {
                value: ranked.at(SHARE),
                missing: ranked.missing() as f64 / count as f64,
            }
        };
        self.wishes.iter().zip(values).map(one).collect()
    }
}

/// The drawing that machines are built of, its bars where the job chooses their sizes, and its
/// settings where the job chooses joints or directions.
pub(super) type Drawn<'a> = (&'a Linkage, Option<&'a Bars>, Option<&'a Settings>);

/// A machine as built has a value where it reaches all poses; where the drawing itself doesn't,
/// the part that is reached counts.
pub(super) fn counts(answer: &Answer, whole: bool) -> bool {
    match whole {
        true => answer.shortfall <= 0.0,
        false => answer.shortfall < 1.0,
    }
}

/// Which values are worse for a role; `ends` are the limits of a requirement.
pub(super) fn worse(role: Role, ends: [f64; 2]) -> Worse {
    match role {
        Role::Maximise | Role::AtLeast => Worse::Smaller,
        Role::Within => Worse::Away(0.5 * (ends[0] + ends[1])),
        _ => Worse::Larger,
    }
}
