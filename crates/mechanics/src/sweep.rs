//! Lean and travel sweeps outward from zero, along one branch, with warm starts.

use crate::candidate::{Candidate, Sample};
use kinematics::{Drive, Pose, Target};

/// Halvings that find where a sweep that cannot go on ends.
const HALVINGS: usize = 24;

/// What a sweep runs along. The crank angle (radians) stays where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Axis {
    Lean { crank: f64 },
    Travel,
}

impl Axis {
    pub fn target(self, at: f64) -> Target {
        match self {
            Axis::Lean { crank } => Target {
                lean: at,
                steer: crank,
                mean_travel: None,
            },
            Axis::Travel => Target {
                lean: 0.0,
                steer: 0.0,
                mean_travel: Some(at),
            },
        }
    }

    pub fn sample(self, at: f64, pose: Pose<f64>) -> Sample {
        let target = self.target(at);
        Sample {
            lean: target.lean,
            crank: target.steer,
            travel: target.mean_travel.unwrap_or(0.0),
            pose,
        }
    }
}

/// A place of a sweep, with the drive that leads there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Node {
    pub at: f64,
    pub drive: Drive<f64>,
}

impl Node {
    pub fn new(axis: Axis, at: f64) -> Node {
        Node {
            at,
            drive: Drive::new(&axis.target(at)),
        }
    }
}

/// One half of a sweep: the samples that were reached, in order from zero outwards.
#[derive(Clone, Debug, Default)]
pub(crate) struct Half {
    pub samples: Vec<Sample>,
    /// Where poses end, if not at the last node.
    pub limit: Option<Limit>,
}

/// The end of a half that cannot be swept to its last node.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limit {
    /// The last pose.
    pub last: Sample,
    /// Distance from zero at which poses end.
    pub end: f64,
}

impl Half {
    /// How much of the way from zero to `to` (≥ 0) is missing.
    pub fn missing(&self, to: f64) -> f64 {
        self.limit.map_or(0.0, |limit| (to - limit.end).max(0.0))
    }

    /// Solves the nodes (all on one side of zero, ordered outwards) from `zero`.
    pub fn solve(&mut self, candidate: &Candidate, axis: Axis, zero: &Sample, nodes: &[Node]) {
        self.samples.clear();
        self.limit = None;
        let mut near = (0.0, zero.pose);
        let mut before: Option<(f64, Pose<f64>)> = None;
        for node in nodes {
            let linkage = candidate.linkage;
            let guess = match &before {
                Some((at, pose)) => {
                    let ahead = (node.at - near.0) / (near.0 - at);
                    linkage.solve_ahead(&node.drive, pose, &near.1, ahead)
                }
                None => linkage.solve(&node.drive, &near.1),
            };
            let (from, to) = (axis.target(near.0), axis.target(node.at));
            let pose = match guess.solved {
                true => Ok(guess),
                false => linkage.advance(&near.1, &from, &to),
            };
            let Ok(pose) = pose else {
                let (last, end) = last_of(candidate, axis, near, node.at);
                self.limit = Some(Limit { last, end });
                return;
            };
            self.samples.push(axis.sample(node.at, pose));
            before = Some(near);
            near = (node.at, pose);
        }
    }
}

/// The last pose between a solved one and a place that cannot be reached, and the distance from
/// zero at which the least margin would vanish.
fn last_of(candidate: &Candidate, axis: Axis, near: (f64, Pose<f64>), bad: f64) -> (Sample, f64) {
    let (mut good, mut before, mut bad) = (near, near, bad);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (good.0 + bad);
        let drive = Drive::new(&axis.target(middle));
        let pose = candidate.linkage.solve(&drive, &good.1);
        if pose.solved {
            (before, good) = (good, (middle, pose));
        } else {
            bad = middle;
        }
    }
    let (m1, m2) = (least_margin(&before.1), least_margin(&good.1));
    let slope = (m1 - m2) / (good.0 - before.0);
    let ahead = if m1 > m2 { m2 / slope } else { 0.0 };
    let end = (good.0 + ahead).abs().clamp(good.0.abs(), bad.abs());
    (axis.sample(good.0, good.1), end)
}

/// The smallest of a pose's margins.
pub(crate) fn least_margin(pose: &Pose<f64>) -> f64 {
    let m = &pose.margins;
    [
        m.upper[0], m.upper[1], m.rod[0], m.rod[1], m.rocker, m.idler, m.fold,
    ]
    .into_iter()
    .fold(f64::INFINITY, f64::min)
}
