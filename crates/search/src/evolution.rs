//! An evolution strategy that learns scales and correlations, for one goal or one cost.
//!
//! H.-G. Beyer, B. Sendhoff, "Simplify your covariance matrix adaptation evolution strategy", IEEE
//! Trans. Evol. Comput. 21 (2017): a matrix M turns standard normal steps z into steps d = M z, and
//! is adapted directly; the learning rates are those of Hansen's tutorial. Ranks follow the rules of
//! constrained dominance. Steps that leave the unit box are cut at its border. A strategy that has
//! shrunk to nothing or stands still begins again, in turn around the best known point and anywhere.

use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::problem::Problem;
use crate::random::Stream;
use crate::standing::Member;

const NEAR_STEP: f64 = 0.15;
const FAR_STEP: f64 = 0.3;
const LEAST_STEP: f64 = 1e-11;
const MOST_STEP: f64 = 1.0;
/// Generations without a better point, beside a few per coordinate.
const PATIENCE: u32 = 30;

/// One running strategy.
#[derive(Clone, Debug)]
pub(crate) struct Evolution {
    mean: Vec<f64>,
    step: f64,
    path: Vec<f64>,
    /// M, row by row.
    matrix: Vec<f64>,
    best: Option<Member>,
    idle: u32,
    restarts: u32,
}

impl Evolution {
    /// A strategy around a point.
    pub fn around(unit: &[f64]) -> Self {
        Self::begin(unit.to_vec(), NEAR_STEP, 0)
    }

    /// A strategy around a point with a first step of that length.
    pub fn near(unit: &[f64], step: f64) -> Self {
        Self::begin(unit.to_vec(), step, 0)
    }

    fn begin(mean: Vec<f64>, step: f64, restarts: u32) -> Self {
        let d = mean.len();
        let mut matrix = vec![0.0; d * d];
        (0..d).for_each(|i| matrix[i * d + i] = 1.0);
        Self {
            mean,
            step,
            path: vec![0.0; d],
            matrix,
            best: None,
            idle: 0,
            restarts,
        }
    }

    /// The standard normal step of a child: two draws per coordinate from its stream.
    fn normal(&self, stream: &mut Stream) -> Vec<f64> {
        self.mean.iter().map(|_| stream.normal()).collect()
    }

    fn turned(&self, z: &[f64]) -> Vec<f64> {
        let d = self.mean.len();
        let row = |i: usize| {
            self.matrix[i * d..(i + 1) * d]
                .iter()
                .zip(z)
                .map(|(m, z)| m * z)
                .sum()
        };
        (0..d).map(row).collect()
    }

    /// The child of a stream, within the box and on the variables' values.
    pub fn child(&self, problem: &Problem, stream: &mut Stream) -> Vec<f64> {
        let step = self.turned(&self.normal(stream));
        let moved = |i: usize| problem.snap(i, self.mean[i] + self.step * step[i]);
        (0..self.mean.len()).map(moved).collect()
    }

    /// Learns from a batch: each child with the stream that made it, in index order. `known` is
    /// the best point of the whole island, `anywhere` a stream for a fresh start.
    pub fn learn(&mut self, children: &[(&Member, Stream)], known: &[f64], anywhere: &mut Stream) {
        let mut order: Vec<usize> = (0..children.len()).collect();
        let key = |i: usize| children[i].0;
        order.sort_by(|a, b| compare(key(*a), key(*b)).then(a.cmp(b)));
        self.note(key(order[0]));
        let rates = Rates::new(self.mean.len(), children.len());
        let chosen: Vec<Vec<f64>> = order[..rates.weights.len()]
            .iter()
            .map(|i| self.normal(&mut children[*i].1.clone()))
            .collect();
        self.adapt(&rates, &chosen);
        if self.is_spent() {
            self.restart(known, anywhere);
        }
    }

    fn note(&mut self, member: &Member) {
        if self
            .best
            .as_ref()
            .is_none_or(|best| compare(member, best).is_lt())
        {
            self.best = Some(member.clone());
            self.idle = 0;
        } else {
            self.idle += 1;
        }
    }

    fn adapt(&mut self, rates: &Rates, chosen: &[Vec<f64>]) {
        let d = self.mean.len();
        let steps: Vec<Vec<f64>> = chosen.iter().map(|z| self.turned(z)).collect();
        let weighted = |of: &[Vec<f64>], i: usize| -> f64 {
            of.iter().zip(&rates.weights).map(|(v, w)| w * v[i]).sum()
        };
        let damping = (rates.path * (2.0 - rates.path) * rates.mass).sqrt();
        for i in 0..d {
            self.mean[i] = (self.mean[i] + self.step * weighted(&steps, i)).clamp(0.0, 1.0);
            self.path[i] = (1.0 - rates.path) * self.path[i] + damping * weighted(chosen, i);
        }
        let turned_path = self.turned(&self.path);
        for i in 0..d {
            for j in 0..d {
                let old = self.matrix[i * d + j];
                let many: f64 = (0..chosen.len())
                    .map(|k| rates.weights[k] * steps[k][i] * chosen[k][j])
                    .sum();
                self.matrix[i * d + j] = old
                    + 0.5 * rates.one * (turned_path[i] * self.path[j] - old)
                    + 0.5 * rates.many * (many - old);
            }
        }
        let length = self.path.iter().map(|p| p * p).sum::<f64>().sqrt();
        let change = rates.path / rates.damping * (length / rates.expected - 1.0);
        self.step = (self.step * libm::exp(change.min(1.0))).min(MOST_STEP);
    }

    fn is_spent(&self) -> bool {
        let d = self.mean.len();
        let size = self.matrix.iter().fold(0.0f64, |most, m| most.max(m.abs()));
        let reach = self.step * size;
        // A matrix that has grown without bounds says nothing any more.
        !(reach >= LEAST_STEP && size < 1e12) || self.idle > PATIENCE + 10 * d as u32
    }

    fn restart(&mut self, known: &[f64], anywhere: &mut Stream) {
        let restarts = self.restarts.saturating_add(1);
        *self = if restarts.is_multiple_of(2) {
            Self::begin(known.to_vec(), NEAR_STEP, restarts)
        } else {
            let mean = known.iter().map(|_| anywhere.unit()).collect();
            Self::begin(mean, FAR_STEP, restarts)
        };
    }

    pub fn write(&self, out: &mut Writer) {
        out.floats(&self.mean);
        out.f64(self.step);
        out.floats(&self.path);
        out.floats(&self.matrix);
        out.u32(self.idle);
        out.u32(self.restarts);
        out.u8(u8::from(self.best.is_some()));
        if let Some(best) = &self.best {
            out.member(best, 1);
        }
    }

    pub fn read(from: &mut Reader, problem: &Problem) -> Result<Self, SnapshotFault> {
        let (d, any) = (problem.free(), f64::MAX);
        let mean = from.floats(d, "mean", 0.0, 1.0)?;
        let step = from.f64("step", 0.0, MOST_STEP)?;
        let path = from.floats(d, "path", -any, any)?;
        let matrix = from.floats(d * d, "matrix", -any, any)?;
        let idle = from.u32("idle generations")?;
        let restarts = from.u32("restarts")?;
        let best = if from.flag("best flag")? {
            Some(from.member(problem)?)
        } else {
            None
        };
        Ok(Self {
            mean,
            step,
            path,
            matrix,
            best,
            idle,
            restarts,
        })
    }
}

/// The better first: by the rules of constrained dominance, then by the goal.
pub(crate) fn compare(a: &Member, b: &Member) -> std::cmp::Ordering {
    a.standing
        .order(b.standing)
        .then(a.goals[0].total_cmp(&b.goals[0]))
}

/// Learning rates for `d` coordinates and batches of `count`.
struct Rates {
    weights: Vec<f64>,
    mass: f64,
    path: f64,
    one: f64,
    many: f64,
    damping: f64,
    expected: f64,
}

impl Rates {
    fn new(d: usize, count: usize) -> Self {
        let raw: Vec<f64> = (1..=count / 2)
            .map(|i| libm::log(0.5 * (count as f64 + 1.0)) - libm::log(i as f64))
            .collect();
        let sum: f64 = raw.iter().sum();
        let weights: Vec<f64> = raw.iter().map(|w| w / sum).collect();
        let mass = 1.0 / weights.iter().map(|w| w * w).sum::<f64>();
        let n = d as f64;
        let one = 2.0 / ((n + 1.3) * (n + 1.3) + mass);
        let many = 2.0 * (mass - 2.0 + 1.0 / mass) / ((n + 2.0) * (n + 2.0) + mass);
        let path = (mass + 2.0) / (n + mass + 5.0);
        Self {
            mass,
            path,
            one,
            many: many.min(1.0 - one),
            damping: 1.0 + path + 2.0 * (((mass - 1.0) / (n + 1.0)).sqrt() - 1.0).max(0.0),
            expected: n.sqrt() * (1.0 - 0.25 / n + 1.0 / (21.0 * n * n)),
            weights,
        }
    }
}
