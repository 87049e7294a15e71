//! The reach map: which steer × lean corners a rider meets, and the poses there.

use crate::candidate::{Candidate, Sample};
use crate::settings::{Reach, Steps};
use crate::walk::{Met, Walk};
use kinematics::Side;

/// Standard acceleration of free fall, m/s².
pub(crate) const GRAVITY: f64 = 9.806_65;

/// One lean of the map, for one turn direction.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    /// Lean into the turn, degrees; below 0 out of it.
    pub lean_deg: f64,
    /// Curvatures at the rear contact, 1/mm, rising; ≥ 0.
    pub curvatures: Vec<f64>,
    /// Trapezoid weights of the curvatures, summing to 1.
    pub weights: Vec<f64>,
    /// Weight of the row among the rows; they sum to 1.
    pub share: f64,
}

impl Reach {
    /// Curvatures at the rear contact from–to, 1/m, that belong to a lean into the turn, degrees
    /// against the ground (below 0: out of it); `None` where reach holds no corner of that lean.
    pub fn curvatures_per_m(&self, lean_deg: f64) -> Option<[f64; 2]> {
        let [slow, fast] = self.speed_mps;
        let [tight, wide] = self.radius_m;
        if lean_deg == 0.0 && self.parking {
            return Some([0.0, 1.0 / tight]);
        }
        if lean_deg < 0.0 && -lean_deg <= self.lean_out_deg * (1.0 + 1e-9) {
            return Some([1.0 / wide, 1.0 / tight]);
        }
        // Turns that the lean balances on ground that slopes either way.
        let slope = self.side_slope_deg;
        let need = |deg: f64| GRAVITY * libm::tan(deg.max(0.0).to_radians());
        let (least, most) = (need(lean_deg - slope), need(lean_deg + slope));
        let low = match least > 0.0 {
            true => (least / (fast * fast)).max(1.0 / wide),
            false => 1.0 / wide,
        };
        let high = if slow > 0.0 {
            (most / (slow * slow)).min(1.0 / tight)
        } else {
            1.0 / tight
        };
        // Both ends may meet in one corner, which rounding must not lose.
        let stands = low <= high * (1.0 + 1e-9)
            && lean_deg <= self.lean_limit_deg * (1.0 + 1e-9)
            && lean_deg + slope >= -1e-9;
        stands.then_some([low, high.max(low)])
    }

    /// Leans into the turn that moving corners take, from–to, degrees.
    fn moving_leans(&self) -> [f64; 2] {
        let balanced = |v: f64, r: f64| libm::atan(v * v / (GRAVITY * r)).to_degrees();
        let least = balanced(self.speed_mps[0], self.radius_m[1]);
        let most = balanced(self.speed_mps[1], self.radius_m[0]);
        let slope = self.side_slope_deg;
        [
            (least - slope).max(0.0),
            (most + slope).min(self.lean_limit_deg),
        ]
    }

    /// The furthest lean out of a turn, degrees.
    fn furthest_out(&self) -> f64 {
        self.lean_out_deg.max(self.side_slope_deg)
    }
}

/// Rows of the map that lean out of the turn, where it has any.
const OUTWARD_ROWS: usize = 2;

/// The rows of the map; empty when no corner needs so little lean.
pub(crate) fn rows(reach: &Reach, steps: &Steps) -> Vec<Row> {
    let [least, most] = reach.moving_leans();
    let parking = usize::from(reach.parking);
    let moving = steps.reach_rows - parking;
    let mut leans = match () {
        () if most < least || most <= 0.0 => Vec::new(),
        () if least > 0.0 => even(least, most, moving - 1),
        () => even(0.0, most, moving).split_off(1),
    };
    if reach.parking {
        leans.insert(0, 0.0);
    }
    let out = reach.furthest_out();
    if out > 0.0 {
        let mut outwards = even(-out, 0.0, OUTWARD_ROWS);
        outwards.truncate(OUTWARD_ROWS);
        leans.splice(0..0, outwards);
    }
    let shares = trapezoid(&leans);
    let rows = leans.iter().zip(shares).filter_map(|(&lean_deg, share)| {
        let [low, high] = reach.curvatures_per_m(lean_deg)?.map(|k| 1e-3 * k);
        let curvatures = even(
            low,
            high,
            steps.reach_columns - usize::from(lean_deg != 0.0),
        );
        Some(Row {
            lean_deg,
            weights: trapezoid(&curvatures),
            curvatures,
            share,
        })
    });
    rows.collect()
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

    /// Counts a row whose lean is not reached: half of its share, and more the more of the
    /// lean is missing. Its steer is not walked, for poses at the end of a lean are close to a
    /// singularity and say nothing about the machine.
    pub fn miss(&mut self, missing_lean: f64, share: f64) {
        self.shortfall += share * 0.5 * (1.0 + missing_lean);
    }

    /// Walks one row into a turn from its straight pose. `share` is the row's weight among all
    /// walks.
    pub fn walk(
        &mut self,
        candidate: &Candidate,
        row: &Row,
        straight: &Sample,
        turn: Side,
        share: f64,
    ) {
        let index = self.straights.len();
        self.straights.push(*straight);
        let mut walk = Walk::new(candidate, straight, turn);
        let last = row.curvatures.len() - 1;
        let end = row.curvatures[last];
        let short = |s: f64| share * ((end - s) / end).clamp(f64::EPSILON, 1.0);
        if walk.last.room.0 < 0.0 {
            // Beyond the stop already when straight: no steer at all.
            self.shortfall += short(walk.last.s);
            return;
        }
        for (&s, &weight) in row.curvatures.iter().zip(&row.weights) {
            let met = walk.reach_curvature(s);
            self.corners.push(Corner {
                sample: walk.last.sample,
                straight: index,
                weight: weight * share,
            });
            // Out of reach, however little is missing.
            let missing = ((s - walk.last.s).abs() / end).clamp(f64::EPSILON, 1.0);
            match met {
                Met::Yes => {}
                Met::Past => self.shortfall += share * weight * missing,
                Met::Short => {
                    self.shortfall += short(walk.last.s);
                    break;
                }
            }
        }
    }
}
