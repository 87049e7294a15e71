//! What stops the lean at a crank angle.

use crate::Stop;
use crate::bracket::Bracket;
use crate::candidate::{Candidate, Sample};
use crate::sweep::{Axis, follow, once};
use kinematics::Pose;

/// Lean steps of the search for the limit, radians (1°): small enough to stay on one branch.
const STEP: f64 = 0.017_453_292_519_943_295;
/// The limit is found to this lean, radians.
const LIMIT_MET: f64 = 1e-9;
/// Room (dimensionless) below which a pose counts as standing at the limit.
const ROOM_MET: f64 = 1e-13;
/// Attempts at the limit.
const MOST_REFINEMENTS: usize = 60;

/// The last pose of a lean sweep and what stopped it there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LeanStop {
    pub sample: Sample,
    pub stop: Stop,
}

/// Leans from an upright pose (sense +1: to the right) until a joint limit, a loop, a
/// singularity or the end of the sweep stops it.
pub(crate) fn lean_stop(candidate: &Candidate, upright: &Sample, sense: f64) -> LeanStop {
    let axis = Axis::Lean {
        crank: upright.crank,
    };
    let ended = |(at, pose): (f64, Pose<f64>), stop| LeanStop {
        sample: axis.sample(candidate, at, pose),
        stop,
    };
    let (mut room, stop) = candidate.lean_room(&upright.pose);
    let mut last = (0.0, upright.pose);
    if room <= 0.0 {
        return ended(last, stop);
    }
    let end = candidate.inner.lean_end;
    while last.0.abs() < end {
        let at = sense * (last.0.abs() + STEP).min(end);
        let path = follow(candidate, axis, last, at);
        let next = path.last;
        let (left, cause) = candidate.lean_room(&next.1);
        if left < 0.0 {
            return limit_between(candidate, axis, (last, room), (next.0, left, cause));
        }
        (last, room) = (next, left);
        if let Some(why) = path.lost {
            return ended(last, why);
        }
    }
    ended(last, Stop::SweepEnd)
}

/// The last pose within the joints' limits, between one within and one beyond.
fn limit_between(
    candidate: &Candidate,
    axis: Axis,
    (mut good, mut room): ((f64, Pose<f64>), f64),
    (wall, far, mut cause): (f64, f64, Stop),
) -> LeanStop {
    let mut bracket = Bracket::new(good.0, room, wall, Some(far));
    for _ in 0..MOST_REFINEMENTS {
        if bracket.width() < LIMIT_MET || room < ROOM_MET {
            break;
        }
        let at = bracket.next();
        match once(candidate, axis, &good, at) {
            Ok(pose) => {
                let (left, stop) = candidate.lean_room(&pose);
                if left >= 0.0 {
                    (good, room) = ((at, pose), left);
                    bracket.within(at, left);
                } else {
                    cause = stop;
                    bracket.beyond(at, Some(left));
                }
            }
            Err(_) => bracket.beyond(at, None),
        }
    }
    LeanStop {
        sample: axis.sample(candidate, good.0, good.1),
        stop: cause,
    }
}
