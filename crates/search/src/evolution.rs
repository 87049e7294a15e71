//! An evolution strategy that learns scales and correlations, for one goal or one cost.
//!
//! H.-G. Beyer, B. Sendhoff, "Simplify your covariance matrix adaptation evolution strategy", IEEE
//! Trans. Evol. Comput. 21 (2017): a matrix M turns standard normal steps z into steps d = M z, and
//! is adapted directly; the learning rates are those of Hansen's tutorial, the negative ones of the
//! worse half of a batch too ("The CMA evolution strategy: a tutorial", arXiv:1604.00772). Ranks
//! follow the rules of constrained dominance. Steps that leave the unit box are folded back at its
//! border: cut there, the children beside a bound would differ in no coordinate that points outward,
//! and the strategy would take the outward draws for progress. A strategy that has shrunk to nothing
//! or stands still begins again, in turn around the best known point and anywhere.

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
        let moved = |i: usize| problem.snap(i, fold(self.mean[i] + self.step * step[i]));
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
        let draws: Vec<Vec<f64>> = order
            .iter()
            .map(|i| self.normal(&mut children[*i].1.clone()))
            .collect();
        self.adapt(&rates, &draws);
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

    /// Learns from the draws of a whole batch, the best first.
    fn adapt(&mut self, rates: &Rates, draws: &[Vec<f64>]) {
        let d = self.mean.len();
        let steps: Vec<Vec<f64>> = draws.iter().map(|z| self.turned(z)).collect();
        let weighted = |of: &[Vec<f64>], i: usize| -> f64 {
            of.iter().zip(&rates.weights).map(|(v, w)| w * v[i]).sum()
        };
        let damping = (rates.path * (2.0 - rates.path) * rates.mass).sqrt();
        for i in 0..d {
            self.mean[i] = (self.mean[i] + self.step * weighted(&steps, i)).clamp(0.0, 1.0);
            self.path[i] = (1.0 - rates.path) * self.path[i] + damping * weighted(draws, i);
        }
        let turned_path = self.turned(&self.path);
        let shares = rates.shares(draws);
        let total: f64 = rates.weights.iter().chain(&rates.against).sum();
        for i in 0..d {
            for j in 0..d {
                let old = self.matrix[i * d + j];
                let many: f64 = (0..draws.len())
                    .map(|k| shares[k] * steps[k][i] * draws[k][j])
                    .sum();
                self.matrix[i * d + j] = old
                    + 0.5 * rates.one * (turned_path[i] * self.path[j] - old)
                    + 0.5 * rates.many * (many - total * old);
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

/// Reflects a coordinate back into 0…1 as often as needed.
pub(crate) fn fold(x: f64) -> f64 {
    let within = x - 2.0 * (0.5 * x).floor();
    if within > 1.0 { 2.0 - within } else { within }
}

/// Learning rates for `d` coordinates and batches of `count`.
struct Rates {
    /// Weights of the better half, the best first; they add up to 1.
    weights: Vec<f64>,
    /// Weights of the others, none positive.
    against: Vec<f64>,
    mass: f64,
    path: f64,
    one: f64,
    many: f64,
    damping: f64,
    expected: f64,
}

impl Rates {
    fn new(d: usize, count: usize) -> Self {
        let raw = |i: usize| libm::log(0.5 * (count as f64 + 1.0)) - libm::log(i as f64);
        let weights = scaled((1..=count / 2).map(raw).collect(), 1.0);
        let mass = mass(&weights);
        let n = d as f64;
        let one = 2.0 / ((n + 1.3) * (n + 1.3) + mass);
        let many = 2.0 * (mass - 2.0 + 1.0 / mass) / ((n + 2.0) * (n + 2.0) + mass);
        let many = many.min(1.0 - one);
        let path = (mass + 2.0) / (n + mass + 5.0);
        Self {
            against: against(
                (count / 2 + 1..=count).map(raw).collect(),
                n,
                mass,
                one,
                many,
            ),
            mass,
            path,
            one,
            many,
            damping: 1.0 + path + 2.0 * (((mass - 1.0) / (n + 1.0)).sqrt() - 1.0).max(0.0),
            expected: n.sqrt() * (1.0 - 0.25 / n + 1.0 / (21.0 * n * n)),
            weights,
        }
    }

    /// The weight of each draw in the matrix. Those against are for draws of one length, so that no
    /// single long one takes a direction away altogether.
    fn shares(&self, draws: &[Vec<f64>]) -> Vec<f64> {
        let (for_these, others) = draws.split_at(self.weights.len());
        let fitted = |(z, weight): (&Vec<f64>, &f64)| {
            let square: f64 = z.iter().map(|z| z * z).sum();
            weight * z.len() as f64 / square.max(f64::MIN_POSITIVE)
        };
        let against = others.iter().zip(&self.against).map(fitted);
        let weights = self.weights.iter().take(for_these.len()).copied();
        weights.chain(against).collect()
    }
}

/// Weights whose sizes add up to `sum`.
fn scaled(raw: Vec<f64>, sum: f64) -> Vec<f64> {
    let sizes: f64 = raw.iter().map(|w| w.abs()).sum();
    raw.iter().map(|w| w * sum / sizes).collect()
}

/// How many draws of one weight count as much as these.
fn mass(weights: &[f64]) -> f64 {
    let sum: f64 = weights.iter().sum();
    sum * sum / weights.iter().map(|w| w * w).sum::<f64>()
}

/// Weights of the worse half: the least of three bounds on their sum (equations 49 to 53 of the
/// tutorial), of which the last keeps the matrix regular.
fn against(raw: Vec<f64>, n: f64, mass_for: f64, one: f64, many: f64) -> Vec<f64> {
    let raw: Vec<f64> = raw.iter().map(|w| w.min(0.0)).collect();
    let low = mass(&raw);
    let most = (1.0 + one / many)
        .min(1.0 + 2.0 * low / (mass_for + 2.0))
        .min((1.0 - one - many) / (n * many));
    scaled(raw, most)
}
