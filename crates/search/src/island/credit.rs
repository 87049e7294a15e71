//! Which operator makes the next child: shares that follow success, with a floor for each.

use crate::bytes::{Reader, SnapshotFault, Writer};

/// The ways to make a child; `variation` tells what each does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Operator {
    Recombine,
    Differential,
    Line,
    Neighbours,
    Step,
    Place,
    Outward,
}

pub(super) const OPERATORS: [Operator; 7] = [
    Operator::Recombine,
    Operator::Differential,
    Operator::Line,
    Operator::Neighbours,
    Operator::Step,
    Operator::Place,
    Operator::Outward,
];
const COUNT: usize = OPERATORS.len();

/// Every operator keeps at least this share of the children.
const FLOOR: f64 = 0.06;
/// What an old success still counts after another hundred evaluations.
const MEMORY: f64 = 0.8;

/// Islands differ in what they start from and lean to, so that they don't all fail alike.
const LEANINGS: [[f64; COUNT]; 4] = [
    [1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
    [2.0, 0.5, 1.0, 1.0, 1.0, 1.0, 1.0],
    [0.5, 2.0, 1.0, 1.5, 1.0, 1.0, 1.0],
    [1.0, 1.0, 1.5, 0.5, 2.0, 1.0, 1.0],
];

/// Decayed counts of children and of those that came into the archive, per operator.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Credit {
    tried: [f64; COUNT],
    won: [f64; COUNT],
}

impl Credit {
    pub fn new() -> Self {
        Self {
            tried: [0.0; COUNT],
            won: [0.0; COUNT],
        }
    }

    /// Counts one child.
    pub fn count(&mut self, operator: Operator, success: bool) {
        let i = operator as usize;
        self.tried[i] += 1.0;
        self.won[i] += f64::from(u8::from(success));
    }

    /// Lets old counts fade; `evaluations` since the last time.
    pub fn fade(&mut self, evaluations: usize) {
        // Batches are divisors of a hundred, so this is a product of few factors.
        let keep = 1.0 - (1.0 - MEMORY) * evaluations as f64 / 100.0;
        self.tried
            .iter_mut()
            .chain(&mut self.won)
            .for_each(|count| *count *= keep);
    }

    /// The share of each operator; they add up to 1. `least_first` is a lower bound for the first.
    pub fn shares(&self, island: u32, least_first: f64) -> [f64; COUNT] {
        let leaning = LEANINGS[island as usize % LEANINGS.len()];
        let rate = |i: usize| leaning[i] * (self.won[i] + 1.0) / (self.tried[i] + 4.0);
        let sum: f64 = (0..COUNT).map(rate).sum();
        let free = 1.0 - FLOOR * COUNT as f64;
        let mut shares: [f64; COUNT] = std::array::from_fn(|i| FLOOR + free * rate(i) / sum);
        if shares[0] < least_first {
            let shrink = (1.0 - least_first) / (1.0 - shares[0]);
            shares.iter_mut().for_each(|share| *share *= shrink);
            shares[0] = least_first;
        }
        shares
    }

    pub fn write(&self, out: &mut Writer) {
        out.floats(&self.tried);
        out.floats(&self.won);
    }

    pub fn read(from: &mut Reader) -> Result<Self, SnapshotFault> {
        let mut counts = || -> Result<[f64; COUNT], SnapshotFault> {
            let read = from.floats(COUNT, "operator credit", 0.0, 1e6)?;
            Ok(std::array::from_fn(|i| read[i]))
        };
        Ok(Self {
            tried: counts()?,
            won: counts()?,
        })
    }
}

/// The operator at `draw`, uniform in 0…1, when each has its share.
pub(super) fn pick(shares: &[f64; COUNT], draw: f64) -> Operator {
    let mut left = draw;
    for (operator, share) in OPERATORS.iter().zip(shares) {
        left -= share;
        if left < 0.0 {
            return *operator;
        }
    }
    OPERATORS[COUNT - 1]
}
