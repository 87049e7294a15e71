//! The reach map: which steer × lean corners a rider meets, and the poses there.

use crate::candidate::{Candidate, Sample};
use crate::settings::{Reach, Steps};
use crate::walk::Walk;
use kinematics::Side;

/// Standard acceleration of free fall, m/s².
pub(crate) const GRAVITY: f64 = 9.806_65;

/// One lean of the map, for one turn direction.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    /// Lean into the turn, degrees, ≥ 0.
    pub lean_deg: f64,
    /// Curvatures at the rear contact, 1/mm, rising; ≥ 0.
    pub curvatures: Vec<f64>,
    /// Trapezoid weights of the curvatures, summing to 1.
    pub weights: Vec<f64>,
    /// Weight of the row among the rows; they sum to 1.
    pub share: f64,
}

/// The rows of the map; empty when no corner needs so little lean.
pub(crate) fn rows(reach: &Reach, steps: &Steps) -> Vec<Row> {
    let [slow, fast] = reach.speed_mps;
    let [tight, wide] = reach.radius_m;
    let balanced = |v: f64, r: f64| libm::atan(v * v / (GRAVITY * r)).to_degrees();
    let most = reach.lean_limit_deg.min(balanced(fast, tight));
    let least = balanced(slow, wide);
    let mut rows = Vec::new();
    if reach.parking {
        let curvatures = even(0.0, 1e-3 / tight, steps.reach_columns);
        rows.push(row(0.0, curvatures));
    }
    let moving = steps.reach_rows - rows.len();
    let leans = match () {
        () if most < least || most <= 0.0 => Vec::new(),
        () if least > 0.0 => even(least, most, moving - 1),
        () => even(0.0, most, moving).split_off(1),
    };
    for lean in leans {
        let need = GRAVITY * libm::tan(lean.to_radians());
        let low = (need / (fast * fast)).max(1.0 / wide);
        let high = if slow > 0.0 {
            (need / (slow * slow)).min(1.0 / tight)
        } else {
            1.0 / tight
        };
        let curvatures = even(1e-3 * low, 1e-3 * high.max(low), steps.reach_columns - 1);
        rows.push(row(lean, curvatures));
    }
    let leans: Vec<f64> = rows.iter().map(|r| r.lean_deg).collect();
    for (row, share) in rows.iter_mut().zip(trapezoid(&leans)) {
        row.share = share;
    }
    rows
}

fn row(lean_deg: f64, curvatures: Vec<f64>) -> Row {
    let weights = trapezoid(&curvatures);
    Row {
        lean_deg,
        curvatures,
        weights,
        share: 0.0,
    }
}

/// `parts` + 1 even places; one alone (the far end) for no parts or no width.
fn even(from: f64, to: f64, parts: usize) -> Vec<f64> {
    if parts == 0 || to <= from {
        return vec![to];
    }
    (0..=parts)
        .map(|i| from + (to - from) * (i as f64 / parts as f64))
        .collect()
}

/// Weights of the trapezoid rule, summing to 1.
fn trapezoid(at: &[f64]) -> Vec<f64> {
    let n = at.len();
    if n < 2 {
        return vec![1.0; n];
    }
    let span = at[n - 1] - at[0];
    (0..n)
        .map(|i| {
            let (a, b) = (at[i.saturating_sub(1)], at[(i + 1).min(n - 1)]);
            0.5 * (b - a) / span
        })
        .collect()
}

/// A pose of the map.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corner {
    pub sample: Sample,
    /// Index of the row's straight pose in the list of rows that were walked.
    pub straight: usize,
    /// Weight in means over reach.
    pub weight: f64,
}

/// The poses of the map that were reached.
#[derive(Clone, Debug, Default)]
pub(crate) struct Map {
    pub corners: Vec<Corner>,
    /// The straight pose of every row that was walked.
    pub straights: Vec<Sample>,
    /// Missing share of reach.
    pub shortfall: f64,
}

impl Map {
    pub fn clear(&mut self) {
        self.corners.clear();
        self.straights.clear();
        self.shortfall = 0.0;
    }

    /// Walks one row into a turn. `missing_lean` is the share of the row's lean by which
    /// `straight` leans less than the row asks; its steer is walked all the same. `share` is the
    /// row's weight among all walks.
    pub fn walk(
        &mut self,
        candidate: &Candidate,
        row: &Row,
        straight: &Sample,
        missing_lean: f64,
        turn: Side,
        share: f64,
    ) {
        let index = self.straights.len();
        self.straights.push(*straight);
        let mut walk = Walk::new(candidate, straight, turn);
        let last = row.curvatures.len() - 1;
        let end = row.curvatures[last];
        for (&s, &weight) in row.curvatures.iter().zip(&row.weights) {
            let reached = walk.reach_curvature(s);
            self.corners.push(Corner {
                sample: walk.last.sample,
                straight: index,
                weight: weight * share,
            });
            if !reached {
                let missing = ((end - walk.last.s) / end).clamp(0.0, 1.0);
                // Out of reach, however little is missing.
                self.shortfall += share * missing.max(f64::EPSILON);
                break;
            }
        }
        self.shortfall += share * missing_lean;
    }
}
