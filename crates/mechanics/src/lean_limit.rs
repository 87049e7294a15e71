//! What stops the lean at a crank angle.

use crate::Stop;
use crate::bracket::Bracket;
use crate::candidate::{Candidate, Sample, stop_of};
use crate::sweep::Axis;
use kinematics::{Drive, Pose};

/// Lean steps of the search for the limit, radians (3°).
const STEP: f64 = 0.052_359_877_559_829_88;
/// The limit is found to this lean, radians.
const LIMIT_MET: f64 = 1e-8;
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
    let ended = |at: f64, pose: Pose<f64>, stop| LeanStop {
        sample: axis.sample(sense * at, pose),
        stop,
    };
    let (room, stop) = candidate.lean_room(&upright.pose);
    if room <= 0.0 {
        return ended(0.0, upright.pose, stop);
    }
    let end = candidate.inner.lean_end;
    let mut good = (0.0, upright.pose, room);
    let beyond = loop {
        if good.0 >= end {
            return ended(good.0, good.1, Stop::SweepEnd);
        }
        let at = (good.0 + STEP).min(end);
        match attempt(candidate, axis, sense, at, &good, true) {
            Ok((pose, room, _)) if room >= 0.0 => good = (at, pose, room),
            other => break (at, other),
        }
    };
    let (far, mut cause) = split(&beyond.1);
    let mut bracket = Bracket::new(good.0, good.2, beyond.0, far);
    for _ in 0..MOST_REFINEMENTS {
        if bracket.width() < LIMIT_MET || good.2 < ROOM_MET {
            break;
        }
        let at = bracket.next();
        match attempt(candidate, axis, sense, at, &good, false) {
            Ok((pose, room, _)) if room >= 0.0 => {
                good = (at, pose, room);
                bracket.within(at, room);
            }
            other => {
                let (far, why) = split(&other);
                bracket.beyond(at, far);
                cause = why;
            }
        }
    }
    ended(good.0, good.1, cause)
}

/// A pose with the room left and what would stop it, or what stopped it for want of a pose.
type Tried = Result<(Pose<f64>, f64, Stop), Stop>;

/// One pose from a solved neighbour: in one go, else (patient) followed in small steps.
fn attempt(
    candidate: &Candidate,
    axis: Axis,
    sense: f64,
    at: f64,
    near: &(f64, Pose<f64>, f64),
    patient: bool,
) -> Tried {
    let (from, to) = (axis.target(sense * near.0), axis.target(sense * at));
    let guess = candidate.linkage.solve(&Drive::new(&to), &near.1);
    let pose = match guess.failure() {
        None => guess,
        Some(why) if !patient => return Err(stop_of(why)),
        Some(_) => candidate
            .linkage
            .advance(&near.1, &from, &to)
            .map_err(stop_of)?,
    };
    let (room, stop) = candidate.lean_room(&pose);
    Ok((pose, room, stop))
}

fn split(tried: &Tried) -> (Option<f64>, Stop) {
    match tried {
        Ok((_, room, stop)) => (Some(*room), *stop),
        Err(stop) => (None, *stop),
    }
}
