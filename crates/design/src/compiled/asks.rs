//! Goals and requirements as asks of one plan, and their judgement.

use crate::answer::{GoalInfo, Limit, Role};
use crate::convert;
use crate::fault::{Fault, figure};
use crate::job::{Job, Over, Requirement};
use crate::tolerance::At;
use mechanics::{Answer, Ask, PlanFault, Quantity, Unit};
use search::{Evaluation, ProblemFault};

/// A missing share of the poses of this size counts like one tolerance of a requirement.
pub(super) const SHORTFALL_TOLERANCE: f64 = 0.01;

/// What is asked of every candidate.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    /// Each quantity and range once.
    pub asks: Vec<Ask>,
    /// Goals as columns name them.
    pub goals: Vec<GoalInfo>,
    /// Per goal: its ask, and −1 where it is made large.
    goal_asks: Vec<(usize, f64)>,
    /// The requirements.
    pub limits: Vec<Limited>,
}

/// A requirement.
#[derive(Clone, Debug)]
pub(super) struct Limited {
    /// Its ask.
    pub ask: usize,
    /// Taken over the machines built.
    pub at: Option<At>,
    low: f64,
    high: f64,
    tolerance: f64,
}

impl Limited {
    /// How far beyond the limit, in tolerances; at most 0 where it is met.
    pub(super) fn violation(&self, value: f64) -> f64 {
        (self.low - value).max(value - self.high) / self.tolerance
    }

    /// Lower and upper limit; infinite where there is none.
    pub(super) fn ends(&self) -> [f64; 2] {
        [self.low, self.high]
    }

    /// The limits as the job states them.
    pub(super) fn limit(&self) -> Limit {
        let finite = |x: f64| x.is_finite().then_some(x);
        Limit {
            at_least: finite(self.low),
            at_most: finite(self.high),
            origin: "the job's requirement".into(),
        }
    }

    /// How the requirement is put.
    pub(super) fn role(&self) -> Role {
        match (self.low.is_finite(), self.high.is_finite()) {
            (false, _) => Role::AtMost,
            (true, false) => Role::AtLeast,
            (true, true) => Role::Within,
        }
    }
}

impl Asked {
    /// Looks the quantities up.
    pub(super) fn new(job: &Job) -> Result<Asked, Vec<Fault>> {
        let mut asks = Vec::new();
        let mut goals = Vec::new();
        let mut goal_asks = Vec::new();
        for (i, goal) in job.goals.iter().enumerate() {
            let (name, role, sign) = match (&goal.minimise, &goal.maximise) {
                (Some(name), _) => (name.as_str(), Role::Minimise, 1.0),
                (None, name) => (name.as_deref().unwrap_or(""), Role::Maximise, -1.0),
            };
            let ask = ask(name, goal.over.as_ref(), &format!("/goals/{i}"))?;
            goal_asks.push((place(&mut asks, ask), sign));
            goals.push(GoalInfo {
                quantity: name.to_owned(),
                unit: unit(ask.quantity).to_owned(),
                role,
                over: convert::over_wire(ask.over),
                at: goal.at,
                aspiration: goal.aspiration,
            });
        }
        let mut limits = Vec::new();
        for (i, requirement) in job.requirements.iter().enumerate() {
            let over = requirement.over.as_ref();
            let ask = ask(&requirement.quantity, over, &format!("/requirements/{i}"))?;
            limits.push(limited(requirement, place(&mut asks, ask), ask.quantity));
        }
        Ok(Asked {
            asks,
            goals,
            goal_asks,
            limits,
        })
    }

    /// Violations of an evaluation: one per requirement, then one per ask for its missing poses.
    pub(super) fn violations(&self) -> usize {
        self.limits.len() + self.asks.len()
    }

    /// What each violation of an evaluation stands for, in words.
    pub(super) fn named(&self) -> Vec<String> {
        let of = |ask: usize| self.asks[ask].quantity;
        let limits = self.limits.iter().map(|limit| {
            let bound = |word: &str, x: f64| {
                x.is_finite()
                    .then(|| format!("{word} {} {}", figure(x), unit(of(limit.ask))))
            };
            let bounds: Vec<String> = [bound("at least", limit.low), bound("at most", limit.high)]
                .into_iter()
                .flatten()
                .collect();
            let at = limit.at.map_or("", |_| " in 95 % of the machines built");
            format!("{} {}{at}", of(limit.ask).name(), bounds.join(" and "))
        });
        let reached = self.asks.iter().map(|ask| {
            format!(
                "every pose that {} is taken over is reached",
                ask.quantity.name()
            )
        });
        limits.chain(reached).collect()
    }

    /// The value of a goal as the search minimises it.
    pub(super) fn goal(&self, goal: usize, answers: &[Answer]) -> f64 {
        self.signed(goal, answers[self.goal_asks[goal].0].value)
    }

    /// A value of a goal's quantity as the search minimises it.
    pub(super) fn signed(&self, goal: usize, value: f64) -> f64 {
        self.goal_asks[goal].1 * value
    }

    /// The ask of a goal.
    pub(super) fn goal_ask(&self, goal: usize) -> usize {
        self.goal_asks[goal].0
    }

    /// Goals and violations of the answers.
    pub(super) fn judge(&self, answers: &[Answer]) -> Evaluation {
        let goals = (0..self.goals.len())
            .map(|g| self.goal(g, answers))
            .collect();
        let mut violations = Vec::with_capacity(self.violations());
        violations.extend(
            self.limits
                .iter()
                .map(|l| l.violation(answers[l.ask].value)),
        );
        violations.extend(answers.iter().map(|a| a.shortfall / SHORTFALL_TOLERANCE));
        Evaluation::assembled(goals, violations)
    }
}

fn place(asks: &mut Vec<Ask>, ask: Ask) -> usize {
    asks.iter()
        .position(|known| *known == ask)
        .unwrap_or_else(|| {
            asks.push(ask);
            asks.len() - 1
        })
}

fn ask(name: &str, over: Option<&Over>, pointer: &str) -> Result<Ask, Vec<Fault>> {
    let unknown = || {
        vec![Fault {
            pointer: pointer.to_owned(),
            message: "no quantity has this name".into(),
            value: name.to_owned(),
            allowed: "a name of the table of quantities".into(),
        }]
    };
    let quantity = Quantity::from_name(name).ok_or_else(unknown)?;
    Ok(Ask {
        quantity,
        over: convert::over(quantity, over),
    })
}

fn limited(requirement: &Requirement, ask: usize, quantity: Quantity) -> Limited {
    let [low, high] = requirement.within.unwrap_or([
        requirement.at_least.unwrap_or(f64::NEG_INFINITY),
        requirement.at_most.unwrap_or(f64::INFINITY),
    ]);
    let tolerance = requirement
        .tolerance
        .unwrap_or(usual_tolerance(quantity.info().unit));
    Limited {
        ask,
        at: requirement.at,
        low,
        high,
        tolerance,
    }
}

/// The miss that counts as 1 when misses of different requirements are added up.
fn usual_tolerance(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetre => 1.0,
        Unit::Metre => 0.05,
        Unit::Degree => 0.1,
        Unit::DegreePerMillimetre => 0.002,
        Unit::NewtonMetre => 0.5,
        Unit::NewtonMetrePerKilonewton => 1.0,
        Unit::NewtonMetrePerDegree => 0.02,
        Unit::Newton => 50.0,
        Unit::Kilogram => 0.01,
        Unit::Gravity => 0.01,
        Unit::MetrePerSecond => 0.1,
        Unit::One => 0.02,
    }
}

/// The unit as files write it.
pub(crate) fn unit(quantity: Quantity) -> &'static str {
    match quantity.info().unit {
        Unit::Millimetre => "mm",
        Unit::Metre => "m",
        Unit::Degree => "deg",
        Unit::DegreePerMillimetre => "deg/mm",
        Unit::NewtonMetre => "N·m",
        Unit::NewtonMetrePerKilonewton => "N·m/kN",
        Unit::NewtonMetrePerDegree => "N·m/deg",
        Unit::Newton => "N",
        Unit::Kilogram => "kg",
        Unit::Gravity => "g",
        Unit::MetrePerSecond => "m/s",
        Unit::One => "",
    }
}

/// What kinds of refusal there are beyond the checks of the files.
pub(super) trait Refusal: core::fmt::Display {
    /// Where the fault stands in the job.
    fn pointer(&self) -> &'static str;
}

impl Refusal for PlanFault {
    fn pointer(&self) -> &'static str {
        match self {
            PlanFault::EmptyReach => "/reach",
            _ => "",
        }
    }
}

impl Refusal for ProblemFault {
    fn pointer(&self) -> &'static str {
        "/freedoms"
    }
}

/// A refusal as a fault of the job.
pub(super) fn refused(why: &impl Refusal) -> Vec<Fault> {
    vec![Fault {
        pointer: why.pointer().to_owned(),
        message: why.to_string(),
        value: String::new(),
        allowed: String::new(),
    }]
}
