//! Lean and travel sweeps outward from zero, along one branch, with warm starts.

use crate::Stop;
use crate::candidate::{Candidate, SIDES, Sample, stop_of};
use kinematics::{Drive, Pose, Target};

/// A ball joint that moves further in one step than this, in half tracks per radian of lean or in
/// mm per mm of travel, and `LEAST_LEAP` (mm) on top, has leapt to another branch. Next to a
/// singularity joints move fast, but then the steps are short.
const FASTEST: f64 = 8.0;
const LEAST_LEAP: f64 = 3.0;
/// Strides towards a place that is not reached in one, and the part of the way to which the
/// end is found.
const MOST_STRIDES: usize = 100;
const END_MET: f64 = 1e-7;

/// What a sweep runs along. The drive of the steering stays where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Axis {
    Lean { crank: f64 },
    Travel,
}

impl Axis {
    /// Travel is counted from the mean travel that the candidate holds.
    pub fn target(self, candidate: &Candidate, at: f64) -> Target {
        match self {
            Axis::Lean { crank } => candidate.target(at, crank),
            Axis::Travel => Target {
                mean_travel: Some(at + candidate.travel.unwrap_or(0.0)),
                ..candidate.target(0.0, 0.0)
            },
        }
    }

    pub fn sample(self, candidate: &Candidate, at: f64, pose: Pose<f64>) -> Sample {
        let target = self.target(candidate, at);
        Sample {
            lean: target.lean,
            crank: target.steer,
            travel: target.mean_travel.unwrap_or(0.0),
            pose,
        }
    }

    /// The drive of a place of a machine that holds no mean travel of its own.
    fn drive(self, at: f64) -> Drive<f64> {
        let (lean, steer, mean_travel) = match self {
            Axis::Lean { crank } => (at, crank, None),
            Axis::Travel => (0.0, 0.0, Some(at)),
        };
        Drive::new(&Target {
            lean,
            steer,
            mean_travel,
        })
    }

    /// How far a ball joint may move per unit of this axis, mm.
    fn fastest(self, candidate: &Candidate) -> f64 {
        match self {
            Axis::Lean { .. } => FASTEST * candidate.half_track,
            Axis::Travel => FASTEST,
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
            drive: axis.drive(at),
        }
    }
}

/// One half of a sweep: the samples that were reached, in order from zero outwards.
#[derive(Clone, Debug, Default)]
pub(crate) struct Half {
    pub samples: Vec<Sample>,
    /// The last pose, where the sweep ends before its last node.
    pub limit: Option<Limit>,
}

/// The end of a half that cannot be swept to its last node.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limit {
    /// The last pose.
    pub last: Sample,
    /// Its distance from zero.
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
            let drive = settled(candidate, &node.drive);
            let guess = match &before {
                Some((at, pose)) => {
                    let ahead = (node.at - near.0) / (near.0 - at);
                    linkage.solve_ahead(&drive, pose, &near.1, ahead)
                }
                None => linkage.solve(&drive, &near.1),
            };
            let pose = match checked(candidate, axis, &near, (node.at, guess)) {
                Ok(pose) => pose,
                Err(_) => {
                    let path = follow(candidate, axis, near, node.at);
                    let (end, pose) = path.last;
                    if path.lost.is_some() {
                        self.limit = Some(Limit {
                            last: axis.sample(candidate, end, pose),
                            end: end.abs(),
                        });
                        return;
                    }
                    pose
                }
            };
            self.samples.push(axis.sample(candidate, node.at, pose));
            before = Some(near);
            near = (node.at, pose);
        }
    }
}

/// A drive at the mean travel that the candidate holds.
fn settled(candidate: &Candidate, drive: &Drive<f64>) -> Drive<f64> {
    match candidate.travel {
        Some(travel) => Drive {
            mean_travel: drive.mean_travel + travel,
            rocker: false,
            ..*drive
        },
        None => *drive,
    }
}

/// How far a path was followed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Path {
    /// The last place and its pose.
    pub last: (f64, Pose<f64>),
    /// Why there is no pose beyond, if the place was not reached.
    pub lost: Option<Stop>,
}

/// Follows the path from a solved pose to a place, in strides that are halved where they fail and
/// doubled where two in a row succeed.
pub(crate) fn follow(candidate: &Candidate, axis: Axis, near: (f64, Pose<f64>), to: f64) -> Path {
    let (mut last, mut stride, mut again) = (near, to - near.0, false);
    let smallest = END_MET * stride.abs();
    let mut why = Stop::Singular;
    for _ in 0..MOST_STRIDES {
        let left = to - last.0;
        let at = match stride.abs() >= left.abs() {
            true => to,
            false => last.0 + stride,
        };
        match once(candidate, axis, &last, at) {
            Ok(pose) => {
                last = (at, pose);
                if at == to {
                    return Path { last, lost: None };
                }
                stride *= if again { 2.0 } else { 1.0 };
                again = true;
            }
            Err(stop) => {
                (why, again) = (stop, false);
                stride = 0.5 * (at - last.0);
                if stride.abs() < smallest {
                    break;
                }
            }
        }
    }
    Path {
        last,
        lost: Some(why),
    }
}

/// One pose from a solved neighbour in one go.
pub(crate) fn once(
    candidate: &Candidate,
    axis: Axis,
    near: &(f64, Pose<f64>),
    at: f64,
) -> Result<Pose<f64>, Stop> {
    let drive = Drive::new(&axis.target(candidate, at));
    let pose = candidate.linkage.solve(&drive, &near.1);
    checked(candidate, axis, near, (at, pose))
}

/// The pose, if it stands and lies on the branch of its neighbour.
fn checked(
    candidate: &Candidate,
    axis: Axis,
    near: &(f64, Pose<f64>),
    (at, pose): (f64, Pose<f64>),
) -> Result<Pose<f64>, Stop> {
    if let Some(failure) = pose.failure() {
        return Err(stop_of(failure));
    }
    let most = axis.fastest(candidate) * (at - near.0).abs() + LEAST_LEAP;
    let leapt = SIDES.iter().any(|&side| {
        let (from, to) = (near.1.corner(side), pose.corner(side));
        let moved = (to.lower - from.lower)
            .norm2()
            .max((to.upper - from.upper).norm2());
        moved > most * most
    });
    if leapt { Err(Stop::Singular) } else { Ok(pose) }
}
