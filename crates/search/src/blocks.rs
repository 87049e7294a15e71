//! Counts over everything evaluated: how far it got, and which requirements stood in the way.

use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::evaluation::{Evaluation, LARGEST};
use crate::problem::Problem;
use crate::standing::Standing;

/// What stands between the search and a feasible candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct Blocks {
    /// Candidates evaluated.
    pub evaluations: u64,
    /// Of these, how many met every requirement.
    pub feasible: u64,
    /// Of these, how many had no numbers at all.
    pub apart: u64,
    /// One entry per violation, the one that failed most often first; of two that failed equally
    /// often, the one that failed by more on average.
    pub failing: Vec<Failing>,
    /// The best infeasible candidate by the rules of constrained dominance; `None` once a feasible
    /// one is known.
    pub least: Option<LeastViolated>,
}

/// How one requirement failed, among the candidates that have numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Failing {
    /// Position among the violations of an evaluation.
    pub violation: usize,
    /// How many candidates failed it.
    pub count: u64,
    /// How many failed it and nothing else.
    pub alone: u64,
    /// The mean violation of those that failed it, in its tolerances; 0 when none did.
    pub mean: f64,
    /// The least violation seen (≤ 0 when it was met); `None` when no candidate had numbers.
    pub least: Option<f64>,
}

/// The infeasible candidate nearest to being feasible.
#[derive(Clone, Debug, PartialEq)]
pub struct LeastViolated {
    /// One value per variable.
    pub vector: Vec<f64>,
    /// Its violations; empty when it has no numbers.
    pub violations: Vec<f64>,
    /// Its distance from assembling when it has no numbers.
    pub apart: Option<f64>,
}

#[derive(Clone, Debug, PartialEq, Default)]
struct Row {
    count: u64,
    alone: u64,
    sum: f64,
    least: Option<f64>,
}

#[derive(Clone, Debug, PartialEq)]
struct Nearest {
    unit: Vec<f64>,
    standing: Standing,
    violations: Vec<f64>,
}

/// The running counts of one island, one polish, or a merged archive.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tally {
    pub evaluations: u64,
    pub feasible: u64,
    apart: u64,
    rows: Vec<Row>,
    nearest: Option<Nearest>,
}

impl Tally {
    pub fn new(problem: &Problem) -> Self {
        let rows = vec![Row::default(); problem.violations()];
        Self {
            evaluations: 0,
            feasible: 0,
            apart: 0,
            rows,
            nearest: None,
        }
    }

    pub fn count(&mut self, unit: &[f64], told: &Evaluation, standing: Standing) {
        self.evaluations += 1;
        match standing {
            Standing::Feasible => {
                self.feasible += 1;
                self.nearest = None;
            }
            Standing::Apart(_) => self.apart += 1,
            Standing::Violated(_) => {}
        }
        let failed = told.violations.iter().filter(|v| **v > 0.0).count();
        for (row, violation) in self.rows.iter_mut().zip(&told.violations) {
            if *violation > 0.0 {
                row.count += 1;
                row.alone += u64::from(failed == 1);
                row.sum += violation;
            }
            row.least = Some(row.least.map_or(*violation, |least| least.min(*violation)));
        }
        let nearer = |n: &Nearest| standing.order(n.standing).is_lt();
        if self.feasible == 0 && self.nearest.as_ref().is_none_or(nearer) {
            let (unit, violations) = (unit.to_vec(), told.violations.clone());
            self.nearest = Some(Nearest {
                unit,
                standing,
                violations,
            });
        }
    }

    /// Adds another tally of the same problem.
    pub fn merge(&mut self, other: &Self) {
        self.evaluations += other.evaluations;
        self.feasible += other.feasible;
        self.apart += other.apart;
        for (row, more) in self.rows.iter_mut().zip(&other.rows) {
            row.count += more.count;
            row.alone += more.alone;
            row.sum += more.sum;
            row.least = match (row.least, more.least) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
        }
        if self.feasible > 0 {
            self.nearest = None;
        } else if let Some(theirs) = &other.nearest {
            let nearer = |n: &Nearest| theirs.standing.order(n.standing).is_lt();
            if self.nearest.as_ref().is_none_or(nearer) {
                self.nearest = Some(theirs.clone());
            }
        }
    }

    pub fn blocks(&self, problem: &Problem) -> Blocks {
        let mut failing: Vec<Failing> = self
            .rows
            .iter()
            .enumerate()
            .map(|(violation, row)| Failing {
                violation,
                count: row.count,
                alone: row.alone,
                mean: if row.count == 0 {
                    0.0
                } else {
                    row.sum / row.count as f64
                },
                least: row.least,
            })
            .collect();
        failing.sort_by(|a, b| b.count.cmp(&a.count).then(b.mean.total_cmp(&a.mean)));
        let least = self.nearest.as_ref().map(|nearest| LeastViolated {
            vector: problem.vector(&nearest.unit),
            violations: nearest.violations.clone(),
            apart: match nearest.standing {
                Standing::Apart(distance) => Some(distance),
                _ => None,
            },
        });
        let Self {
            evaluations,
            feasible,
            apart,
            ..
        } = *self;
        Blocks {
            evaluations,
            feasible,
            apart,
            failing,
            least,
        }
    }

    pub fn write(&self, out: &mut Writer) {
        [self.evaluations, self.feasible, self.apart]
            .iter()
            .for_each(|n| out.u64(*n));
        for row in &self.rows {
            out.u64(row.count);
            out.u64(row.alone);
            out.f64(row.sum);
            out.option(row.least);
        }
        out.u8(u8::from(self.nearest.is_some()));
        if let Some(nearest) = &self.nearest {
            out.floats(&nearest.unit);
            out.standing(nearest.standing);
            out.floats(&nearest.violations);
        }
    }

    pub fn read(from: &mut Reader, problem: &Problem) -> Result<Self, SnapshotFault> {
        let mut tally = Self::new(problem);
        tally.evaluations = from.u64("evaluations")?;
        tally.feasible = from.u64("feasible count")?;
        tally.apart = from.u64("apart count")?;
        for row in &mut tally.rows {
            row.count = from.u64("failure count")?;
            row.alone = from.u64("failure count")?;
            row.sum = from.f64("violation sum", 0.0, f64::MAX)?;
            row.least = from.option("least violation", -LARGEST, LARGEST)?;
        }
        if from.flag("least violated flag")? {
            let unit = from.floats(problem.free(), "coordinates", 0.0, 1.0)?;
            let standing = from.standing()?;
            let violations = match standing {
                Standing::Apart(_) => 0,
                _ => problem.violations(),
            };
            let violations = from.floats(violations, "violations", -LARGEST, LARGEST)?;
            tally.nearest = Some(Nearest {
                unit,
                standing,
                violations,
            });
        }
        Ok(tally)
    }
}
