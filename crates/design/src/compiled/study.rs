//! The tolerance study of one machine.

use super::Compiled;
use super::asks::unit;
use super::errors::{Built, Errors};
use super::percentile::{Ranked, Worse};
use super::robust::{SHARE, counts, worse};
use super::slopes::Row;
use crate::answer::Role;
use crate::convert::over_wire;
use crate::notes::{CAUTIONS, NOTES, STUDY_NOTES};
use crate::study::{Cause, Jig, QuantityStudy, Study, WorseValues};
use crate::tolerance::Tolerance;
use kinematics::{DesignFault, Linkage};
use mechanics::{Answer, Ask, Plan, settled_toe};

/// Causes named for each quantity.
const CAUSES: usize = 3;
/// Factors on all errors at which requirements are tried.
const FACTORS: [f64; 6] = [0.125, 0.25, 0.5, 1.0, 2.0, 4.0];

impl Compiled {
    /// Builds machines of a vector within the job's tolerance and takes every quantity of each:
    /// percentiles, the errors that matter, and how exact the workshop must be for each
    /// requirement. A pure function of job and vector, without stops to resume from: about a
    /// thousand evaluations of all quantities at 64 samples, some tenths of a second.
    pub fn study(&self, vector: &[f64]) -> Study {
        self.study_within(vector, &self.job.tolerance)
    }

    /// The same within another tolerance, which [`crate::check_tolerance`] has let pass.
    pub fn study_within(&self, vector: &[f64], tolerance: &Tolerance) -> Study {
        let errors = Errors::new(tolerance, &self.base);
        let mut study = Study {
            vector: vector.to_vec(),
            failure: None,
            sigma_mm: tolerance.sigma_mm,
            distribution: tolerance.distribution,
            method: tolerance.method,
            seed: tolerance.seed,
            samples: tolerance.samples,
            unassembled: 0,
            errors: errors.spots().len() as u32,
            quantities: Vec::new(),
            notes: NOTES
                .iter()
                .chain(&STUDY_NOTES)
                .map(|n| (*n).to_owned())
                .collect(),
            cautions: CAUTIONS.map(String::from).to_vec(),
        };
        let rows = self.rows();
        let asks: Vec<Ask> = rows.iter().map(|row| row.of).collect();
        let made = self.linkage(vector).map_err(|apart| apart.to_string());
        let plan = Plan::new(&asks, &self.settings_at(vector)).map_err(|why| why.to_string());
        match made.and_then(|linkage| Ok((linkage, plan?))) {
            Ok((linkage, plan)) => {
                let workshop = Workshop::new(&errors, &linkage, plan);
                let (unassembled, quantities) = workshop.study(&rows, self.ends(), tolerance);
                study.unassembled = unassembled;
                study.quantities = quantities;
            }
            Err(why) => study.failure = Some(why),
        }
        study
    }

    /// Limits of the requirements, in order.
    fn ends(&self) -> Vec<[f64; 2]> {
        self.asked.limits.iter().map(|l| l.ends()).collect()
    }
}

/// What builds machines and measures them.
struct Workshop<'a> {
    errors: &'a Errors,
    drawn: &'a Linkage,
    toe: [f64; 2],
    plan: Plan,
}

/// Answers of all asks, or nothing from a machine that does not assemble.
type Measured = Option<Vec<Answer>>;

impl<'a> Workshop<'a> {
    fn new(errors: &'a Errors, drawn: &'a Linkage, plan: Plan) -> Workshop<'a> {
        Workshop {
            errors,
            drawn,
            toe: settled_toe(drawn),
            plan,
        }
    }

    fn study(
        &self,
        rows: &[Row],
        limits: Vec<[f64; 2]>,
        tolerance: &Tolerance,
    ) -> (u32, Vec<QuantityStudy>) {
        let mut scratch = self.plan.scratch();
        let mut nominal = vec![Answer::default(); rows.len()];
        self.plan.evaluate(self.drawn, &mut scratch, &mut nominal);
        let samples = self.samples(&self.plan, 1.0);
        let unassembled = samples.iter().filter(|s| s.is_none()).count();
        let pairs: Vec<[Measured; 2]> = (0..self.errors.spots().len())
            .map(|spot| [1.0, -1.0].map(|by| self.one(&mut scratch, spot, by)))
            .collect();
        let first = rows.iter().position(Row::is_requirement).unwrap_or(0);
        let mut jigs = self.jigs(&rows[first..], &nominal[first..], &limits, tolerance);
        let quantities = rows.iter().enumerate().map(|(i, row)| {
            let limit = i.checked_sub(first).and_then(|l| limits.get(l));
            let worse = row.worse(limit, nominal[i].value);
            let ranked = ranked(worse, &samples, i, &nominal[i]);
            let reached = nominal[i].shortfall < 1.0;
            QuantityStudy {
                quantity: row.of.quantity.name().to_owned(),
                unit: unit(row.of.quantity).to_owned(),
                role: row.role,
                over: over_wire(row.of.over),
                worse: worse.into(),
                nominal: reached.then_some(nominal[i].value),
                p50: ranked.at(0.5),
                p95: ranked.at(SHARE),
                p95_between: ranked.between(SHARE),
                worst: ranked.worst(),
                deviation: ranked.deviation(),
                missing: ranked.missing() as u32,
                causes: self.causes(&pairs, i),
                jig: limit.and_then(|_| jigs.next()),
            }
        });
        (unassembled as u32, quantities.collect())
    }

    fn samples(&self, plan: &Plan, factor: f64) -> Vec<Measured> {
        let mut scratch = plan.scratch();
        let machine = self.drawn.machine();
        (0..self.errors.samples())
            .map(|sample| {
                let built = self.errors.built(machine, self.toe, sample, factor);
                measured(plan, &mut scratch, built)
            })
            .collect()
    }

    fn one(&self, scratch: &mut mechanics::Scratch, spot: usize, by: f64) -> Measured {
        let built = self
            .errors
            .with_one(self.drawn.machine(), self.toe, spot, by);
        measured(&self.plan, scratch, built)
    }

    fn causes(&self, pairs: &[[Measured; 2]], ask: usize) -> Vec<Cause> {
        let change = |pair: &[Measured; 2]| match pair {
            [Some(up), Some(down)] if up[ask].shortfall < 1.0 && down[ask].shortfall < 1.0 => {
                0.5 * (up[ask].value - down[ask].value)
            }
            _ => 0.0,
        };
        let mut all: Vec<(usize, f64)> = pairs.iter().map(change).enumerate().collect();
        let sum: f64 = all.iter().map(|(_, x)| x * x).sum();
        all.retain(|(_, x)| x.abs() > 1e-9);
        all.sort_by(|(i, a), (j, b)| b.abs().total_cmp(&a.abs()).then(i.cmp(j)));
        let strong = all.into_iter().take(CAUSES);
        strong
            .filter_map(|(i, change)| {
                let spot = self.errors.spots().nth(i)?;
                Some(Cause {
                    of: spot.name(),
                    axis: spot.axis(),
                    change,
                    share: change * change / sum,
                })
            })
            .collect()
    }

    /// How exact the workshop must be for each requirement.
    fn jigs(
        &self,
        rows: &[Row],
        nominal: &[Answer],
        limits: &[[f64; 2]],
        tolerance: &Tolerance,
    ) -> std::vec::IntoIter<Jig> {
        let asks: Vec<Ask> = rows.iter().take(limits.len()).map(|row| row.of).collect();
        let plan = Plan::new(&asks, self.plan.settings()).ok();
        let tried = plan
            .filter(|_| !limits.is_empty())
            .map(|plan| FACTORS.map(|factor| (factor, self.samples(&plan, factor))));
        let one = |l: usize| {
            let worse = rows[l].worse(limits.get(l), nominal[l].value);
            let allowed = allowed(worse, limits[l]);
            let mut before = (0.0, worse.badness(nominal[l].value));
            if nominal[l].shortfall > 0.0 || before.1 > allowed {
                return noted("the machine as drawn does not keep it");
            }
            for (factor, samples) in tried.iter().flatten() {
                let ranked = ranked(worse, samples, l, &nominal[l]);
                let unbuilt = ranked.missing() as f64 > (1.0 - SHARE) * samples.len() as f64;
                let bad = ranked.at(SHARE).map_or(f64::INFINITY, |v| worse.badness(v));
                if unbuilt {
                    let kept = before.0 * tolerance.sigma_mm;
                    return Jig {
                        sigma_mm: (kept > 0.0).then_some(kept),
                        ..noted("beyond it more than 5 % do not assemble or miss poses")
                    };
                }
                if bad > allowed {
                    let part = (allowed - before.1) / (bad - before.1);
                    let kept = before.0 + part * (factor - before.0);
                    return Jig {
                        sigma_mm: Some(kept * tolerance.sigma_mm),
                        note: None,
                    };
                }
                before = (*factor, bad);
            }
            Jig {
                sigma_mm: Some(before.0 * tolerance.sigma_mm),
                ..noted("kept even here, the largest error tried")
            }
        };
        let all: Vec<Jig> = (0..limits.len()).map(one).collect();
        all.into_iter()
    }
}

fn noted(note: &str) -> Jig {
    Jig {
        sigma_mm: None,
        note: Some(note.to_owned()),
    }
}

fn measured(
    plan: &Plan,
    scratch: &mut mechanics::Scratch,
    built: Result<Built, DesignFault>,
) -> Measured {
    let built = built.ok()?;
    let mut answers = vec![Answer::default(); plan.asks().count()];
    plan.evaluate_built(&built.linkage, &built.tilts, scratch, &mut answers);
    Some(answers)
}

fn ranked(worse: Worse, samples: &[Measured], ask: usize, nominal: &Answer) -> Ranked {
    let whole = nominal.shortfall <= 0.0;
    let values = samples.iter().flatten();
    let values = values.filter(|a| counts(&a[ask], whole));
    Ranked::new(worse, values.map(|a| a[ask].value).collect(), samples.len())
}

/// The badness that a requirement still takes.
fn allowed(worse: Worse, [low, high]: [f64; 2]) -> f64 {
    match worse {
        Worse::Larger => high,
        Worse::Smaller => -low,
        Worse::Away(_) => 0.5 * (high - low),
    }
}

impl Row {
    fn is_requirement(&self) -> bool {
        matches!(self.role, Role::AtMost | Role::AtLeast | Role::Within)
    }

    fn worse(&self, limit: Option<&[f64; 2]>, nominal: f64) -> Worse {
        match (self.role, self.of.quantity.info().worse) {
            (Role::Report, mechanics::Worse::Smaller) => Worse::Smaller,
            (Role::Report, mechanics::Worse::Away) => Worse::Away(nominal),
            (role, _) => worse(role, limit.copied().unwrap_or_default()),
        }
    }
}

impl From<Worse> for WorseValues {
    fn from(worse: Worse) -> WorseValues {
        match worse {
            Worse::Larger => WorseValues::Larger,
            Worse::Smaller => WorseValues::Smaller,
            Worse::Away(_) => WorseValues::Away,
        }
    }
}
