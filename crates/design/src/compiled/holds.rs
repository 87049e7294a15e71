//! Holds: quantities of the static set-up kept at a value by solving one coordinate each.

use super::moves::{self, Move};
use crate::fault::Fault;
use crate::job::{Job, SideName};
use crate::paths::Path;
use kinematics::{Machine, Side};
use mechanics::{Quantity, static_setup};

/// Most holds of a job.
const MOST: usize = crate::tables::job::MOST_HOLDS;
/// A hold is met within this much of its unit (mm or degree).
const MET: f64 = 1e-9;
/// Step of the numerical slopes, mm.
const STEP: f64 = 1e-3;
/// Longest step of one iteration, mm.
const LONGEST: f64 = 50.0;
/// Farthest solution from the submitted vehicle, mm.
const FARTHEST: f64 = 1000.0;
const MOST_ITERATIONS: usize = 40;

/// Offsets of the holds, mm; only the first few are used.
pub(super) type Offsets = [f64; MOST];

/// All holds of a job, solved jointly.
#[derive(Clone, Debug)]
pub(super) struct Holds {
    holds: Vec<Hold>,
    /// The solution on the submitted vehicle, where every candidate's solving starts.
    start: Offsets,
}

/// One hold.
#[derive(Clone, Debug)]
pub(super) struct Hold {
    /// The quantity.
    pub quantity: Quantity,
    /// Its value.
    pub value: f64,
    /// Whose quantity.
    pub side: Side,
    /// What is solved for.
    pub by: Move,
}

impl Hold {
    /// The held quantity of a machine.
    pub(super) fn reading(&self, machine: &Machine) -> f64 {
        static_setup(machine, self.side)
            .get(self.quantity)
            .unwrap_or(f64::NAN)
    }
}

impl Holds {
    /// Looks the holds up and solves them on the submitted vehicle where that can be done.
    pub(super) fn new(job: &Job, base: &Machine) -> Result<Holds, Vec<Fault>> {
        let holds: Vec<Hold> = (0..job.holds.len().min(MOST))
            .map(|i| hold(job, i))
            .collect::<Result<_, _>>()?;
        let mut all = Holds {
            holds,
            start: [0.0; MOST],
        };
        let mut machine = *base;
        if let Ok(start) = all.solve(&mut machine) {
            all.start = start;
        }
        Ok(all)
    }

    /// The holds in the job's order.
    pub(super) fn list(&self) -> &[Hold] {
        &self.holds
    }

    /// Solves all holds jointly by Newton's iteration with numerical slopes and moves the
    /// machine's points. A few iterations of some 100 ns each; nothing is allocated.
    ///
    /// # Errors
    /// The smallest miss that was seen (largest of all holds, in their units), if that is not
    /// met within [`FARTHEST`] of the submitted vehicle.
    pub(super) fn solve(&self, machine: &mut Machine) -> Result<Offsets, f64> {
        let count = self.holds.len();
        let mut at = self.start;
        let mut best = f64::INFINITY;
        for _ in 0..MOST_ITERATIONS {
            let moved = self.moved(machine, &at);
            let misses = self.misses(&moved);
            let worst = misses[..count].iter().fold(0.0, |m: f64, x| m.max(x.abs()));
            if worst.is_nan() {
                return Err(best);
            }
            best = best.min(worst);
            if worst <= MET {
                *machine = moved;
                return Ok(at);
            }
            let step = self.step(machine, &at, &misses).ok_or(best)?;
            let longest = step[..count].iter().fold(0.0, |m: f64, x| m.max(x.abs()));
            let shorter = if longest > LONGEST {
                LONGEST / longest
            } else {
                1.0
            };
            for (x, dx) in at.iter_mut().zip(step) {
                *x -= shorter * dx;
            }
            if at.iter().any(|x| x.abs() > FARTHEST) {
                return Err(best);
            }
        }
        Err(best)
    }

    /// Every hold tried alone on a machine: the smallest miss of each that has no solution.
    pub(super) fn alone(&self, machine: &Machine) -> Vec<Option<f64>> {
        let alone = |hold: &Hold| Holds {
            holds: vec![hold.clone()],
            start: [0.0; MOST],
        };
        self.holds
            .iter()
            .map(|hold| alone(hold).solve(&mut machine.clone()).err())
            .collect()
    }

    fn moved(&self, machine: &Machine, at: &Offsets) -> Machine {
        let mut moved = *machine;
        for (hold, offset) in self.holds.iter().zip(at) {
            hold.by.apply(&mut moved, *offset);
        }
        moved
    }

    fn misses(&self, machine: &Machine) -> Offsets {
        let mut misses = [0.0; MOST];
        for (miss, hold) in misses.iter_mut().zip(&self.holds) {
            *miss = hold.reading(machine) - hold.value;
        }
        misses
    }

    fn step(&self, machine: &Machine, at: &Offsets, misses: &Offsets) -> Option<Offsets> {
        let count = self.holds.len();
        let mut slopes = [[0.0; MOST]; MOST];
        for column in 0..count {
            let mut aside = *at;
            aside[column] += STEP;
            let there = self.misses(&self.moved(machine, &aside));
            for row in 0..count {
                slopes[row][column] = (there[row] - misses[row]) / STEP;
            }
        }
        solve_linear(slopes, *misses, count)
    }
}

/// Gaussian elimination with row pivots; nothing where the slopes are singular.
fn solve_linear(mut a: [Offsets; MOST], mut b: Offsets, count: usize) -> Option<Offsets> {
    for k in 0..count {
        let pivot = (k..count).max_by(|i, j| a[*i][k].abs().total_cmp(&a[*j][k].abs()))?;
        a.swap(k, pivot);
        b.swap(k, pivot);
        if a[k][k].is_nan() || a[k][k].abs() <= 1e-9 {
            return None;
        }
        for i in k + 1..count {
            let factor = a[i][k] / a[k][k];
            let row = a[k];
            for (x, y) in a[i][k..count].iter_mut().zip(&row[k..count]) {
                *x -= factor * y;
            }
            b[i] -= factor * b[k];
        }
    }
    let mut x = [0.0; MOST];
    for k in (0..count).rev() {
        let known: f64 = (k + 1..count).map(|j| a[k][j] * x[j]).sum();
        x[k] = (b[k] - known) / a[k][k];
    }
    Some(x)
}

fn hold(job: &Job, i: usize) -> Result<Hold, Vec<Fault>> {
    let given = &job.holds[i];
    let by = &given.by;
    let pointer = format!("/holds/{i}/by/point");
    let by = moves::read(&job.vehicle, &by.point, &by.carries, by.axis, &pointer)?;
    let quantity = Quantity::from_name(&given.quantity).ok_or_else(|| {
        vec![Fault {
            pointer: format!("/holds/{i}/quantity"),
            message: "no quantity has this name".into(),
            value: given.quantity.clone(),
            allowed: "a quantity of the static set-up".into(),
        }]
    })?;
    let own = |path: &Path| if path.right { Side::Right } else { Side::Left };
    let side = match given.side {
        Some(SideName::Left) => Side::Left,
        Some(SideName::Right) => Side::Right,
        None => by.paths.first().map_or(Side::Left, own),
    };
    Ok(Hold {
        quantity,
        value: given.value,
        side,
        by,
    })
}
