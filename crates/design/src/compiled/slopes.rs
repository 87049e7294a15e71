//! Slopes of every quantity along every freedom, by differences of whole evaluations.

use super::Compiled;
use super::asks::unit;
use crate::answer::Role;
use crate::convert::over_wire;
use crate::job::Freedom;
use crate::sensitivity::{FreedomName, QuantitySlopes, Sensitivities, Slope};
use mechanics::{Answer, Ask, Plan, TABLE};

/// Distance of the near neighbours, mm. The holds are solved to 1e-9, so that differences over
/// it are good to some 1e-6 of a unit per mm.
const STEP: f64 = 0.005;
/// The far neighbours stand so many steps away; they tell a kink from a bend.
const FAR: f64 = 4.0;
/// Sides that differ by less than this share of the steeper one are the same.
const SAME_SHARE: f64 = 0.01;
/// Slopes that differ by less are the same: the noise of the differences, in units per mm.
const NOISE: f64 = 1e-5;
const KINK: &str = "a kink: another pose, side, joint or stop is the worst one beyond this place, \
    so that the two directions have slopes of their own";

/// The answers at one neighbour, or why there are none.
type Seen = Result<Vec<Answer>, String>;

/// The neighbours on one side, the near one first.
struct Side {
    sign: f64,
    near: Seen,
    far: Seen,
}

impl Compiled {
    /// Changes of every quantity per mm of every freedom at a vector, each by the same path as
    /// [`Compiled::evaluate`]: point moved, holds solved, rods set to the toe of the drawing,
    /// poses solved, worst case taken. The grid of the workshop does not count here; the ranges
    /// do: at their ends slopes are one-sided. Zeros stand for the submitted vehicle with its
    /// holds met. Four evaluations of all quantities per freedom, about a millisecond.
    ///
    /// Worst cases over poses and sides are not smooth: where the worst one changes, both
    /// one-sided slopes are given instead of one.
    pub fn sensitivities(&self, vector: &[f64]) -> Sensitivities {
        let rows = self.rows();
        let mut found = Sensitivities {
            vector: vector.to_vec(),
            step_mm: STEP,
            failure: None,
            freedoms: self.job.freedoms.iter().map(name).collect(),
            quantities: Vec::new(),
        };
        let asks: Vec<Ask> = rows.iter().map(|row| row.of).collect();
        let plan = match Plan::new(&asks, self.plan.settings()) {
            Ok(plan) => plan,
            Err(why) => return failed(found, why.to_string()),
        };
        let scratch = plan.scratch();
        let mut look = Look {
            compiled: self,
            plan,
            scratch,
        };
        let here = match look.at(vector) {
            Ok(answers) => answers,
            Err(why) => return failed(found, why),
        };
        found.quantities = rows.iter().map(|row| row.empty(&here)).collect();
        for (i, freedom) in self.job.freedoms.iter().enumerate() {
            let sides = [1.0, -1.0].map(|sign| look.side(vector, i, freedom, sign));
            for (row, out) in rows.iter().zip(&mut found.quantities) {
                out.slopes.push(slope(&here[row.ask], row.ask, &sides));
            }
        }
        found
    }

    /// Goals, requirements, and what else the table holds.
    pub(super) fn rows(&self) -> Vec<Row> {
        let mut rows = Vec::new();
        for (g, goal) in self.asked.goals.iter().enumerate() {
            rows.push(Row::new(self.asked.asks[self.asked.goal_ask(g)], goal.role));
        }
        for limit in &self.asked.limits {
            rows.push(Row::new(self.asked.asks[limit.ask], limit.role()));
        }
        let weighed = self.job.vehicle.masses.is_some();
        let settings = self.plan.settings();
        let rest = TABLE.iter().filter(|i| weighed || !i.needs.masses());
        for ask in rest.map(|info| Ask::usual(info.quantity)) {
            let fresh = rows.iter().all(|row| row.of != ask);
            if fresh && Plan::new(&[ask], settings).is_ok() {
                rows.push(Row::new(ask, Role::Report));
            }
        }
        for (i, row) in rows.iter_mut().enumerate() {
            row.ask = i;
        }
        rows
    }
}

/// One row of the table of slopes.
pub(super) struct Row {
    /// What is asked.
    pub of: Ask,
    /// What the job wants of it.
    pub role: Role,
    /// Its place in the plan.
    ask: usize,
}

impl Row {
    fn new(of: Ask, role: Role) -> Row {
        Row { of, role, ask: 0 }
    }

    fn empty(&self, here: &[Answer]) -> QuantitySlopes {
        let answer = &here[self.ask];
        QuantitySlopes {
            quantity: self.of.quantity.name().to_owned(),
            unit: unit(self.of.quantity).to_owned(),
            role: self.role,
            over: over_wire(self.of.over),
            value: (answer.shortfall < 1.0).then_some(answer.value),
            slopes: Vec::new(),
        }
    }
}

fn failed(found: Sensitivities, why: String) -> Sensitivities {
    Sensitivities {
        failure: Some(why),
        ..found
    }
}

fn name(freedom: &Freedom) -> FreedomName {
    match freedom {
        Freedom::Point(f) => FreedomName {
            point: f.point.clone(),
            axis: Some(f.axis),
        },
        Freedom::Choice(f) => FreedomName {
            point: f.parameter.clone(),
            axis: None,
        },
        Freedom::Joint(f) => FreedomName {
            point: f.parameter.clone(),
            axis: None,
        },
        Freedom::Direction(f) => FreedomName {
            point: f.direction.clone(),
            axis: Some(f.about),
        },
    }
}

/// Evaluations of all rows.
struct Look<'a> {
    compiled: &'a Compiled,
    plan: Plan,
    scratch: mechanics::Scratch,
}

impl Look<'_> {
    fn at(&mut self, vector: &[f64]) -> Seen {
        let linkage = self.compiled.linkage(vector).map_err(|a| a.to_string())?;
        self.scratch.set_bars(self.compiled.bars(vector));
        let chosen = self.compiled.chosen(vector);
        self.scratch.set_choice(&self.plan, chosen.as_ref());
        let mut answers = vec![Answer::default(); self.plan.asks().count()];
        self.plan
            .evaluate(&linkage, &mut self.scratch, &mut answers);
        Ok(answers)
    }

    /// The neighbours of a vector along one freedom, as far as its range goes.
    fn side(&mut self, vector: &[f64], i: usize, freedom: &Freedom, sign: f64) -> Side {
        let [from, to] = freedom.offsets_mm(&self.compiled.job.vehicle);
        let mut near = |steps: f64| {
            let mut there = vector.to_vec();
            there[i] += sign * steps * STEP;
            let beyond = match sign > 0.0 {
                true => there[i] > to,
                false => there[i] < from,
            };
            match beyond {
                true => Err("the range of this freedom ends here".to_owned()),
                false => self.at(&there),
            }
        };
        Side {
            sign,
            near: near(1.0),
            far: near(FAR),
        }
    }
}

impl Side {
    /// Change per mm of the freedom over so many steps.
    fn slope(&self, here: &Answer, ask: usize, steps: f64) -> Result<f64, String> {
        let seen = if steps > 1.0 { &self.far } else { &self.near };
        let there = seen.as_ref().map_err(Clone::clone)?[ask];
        if there.shortfall >= 1.0 {
            return Err("no pose that it is taken over is reached there".to_owned());
        }
        Ok((there.value - here.value) / (self.sign * steps * STEP))
    }
}

fn slope(here: &Answer, ask: usize, sides: &[Side; 2]) -> Slope {
    if here.shortfall >= 1.0 {
        return note("no pose that it is taken over is reached");
    }
    let [up, down] = [0, 1].map(|k| sides[k].slope(here, ask, 1.0));
    let mut found = match (up, down) {
        (Ok(up), Ok(down)) => both(here, ask, sides, up, down),
        (Ok(one), Err(why)) => one_sided(one, "upwards", &why),
        (Err(why), Ok(one)) => one_sided(one, "downwards", &why),
        (Err(why), Err(other)) if why == other => note(&why),
        (Err(why), Err(other)) => note(&format!("upwards: {why}; downwards: {other}")),
    };
    if here.shortfall > 0.0 {
        let note = found.note.get_or_insert_default();
        let joint = if note.is_empty() { "" } else { "; " };
        note.push_str(joint);
        note.push_str("taken over the part of its poses that is reached");
    }
    found
}

/// A bend shrinks with the distance of the neighbours, a kink stays.
fn both(here: &Answer, ask: usize, sides: &[Side; 2], up: f64, down: f64) -> Slope {
    let size = up.abs().max(down.abs());
    let apart = (up - down).abs();
    let stays = match [0, 1].map(|k| sides[k].slope(here, ask, FAR)) {
        [Ok(up), Ok(down)] => apart > 0.5 * (up - down).abs(),
        _ => true,
    };
    if stays && apart > (SAME_SHARE * size).max(NOISE) {
        return Slope {
            upwards_per_mm: Some(up + 0.0),
            downwards_per_mm: Some(down + 0.0),
            ..note(KINK)
        };
    }
    Slope {
        per_mm: Some(0.5 * (up + down) + 0.0),
        ..Slope::default()
    }
}

fn one_sided(slope: f64, side: &str, why: &str) -> Slope {
    Slope {
        per_mm: Some(slope + 0.0),
        ..note(&format!("{side} only; the other way: {why}"))
    }
}

fn note(text: &str) -> Slope {
    Slope {
        note: Some(text.to_owned()),
        ..Slope::default()
    }
}
