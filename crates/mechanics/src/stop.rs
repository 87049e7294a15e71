//! What stops the steering at a lean, found along the crank sweep and refined smoothly.

use crate::Stop;
use crate::bracket::Bracket;
use crate::candidate::{Candidate, Sample};
use crate::walk::{Step, Tried, Walk};
use kinematics::Side;

/// The stop is found to this crank angle, radians, where no pose tells how far it is.
const STOP_MET: f64 = 1e-8;
/// Room (dimensionless) below which a step counts as standing at the stop.
const ROOM_MET: f64 = 1e-12;
/// Room below which a walk starts at a stop.
const NEAR_STOP: f64 = 1e-7;
/// Attempts at the stop.
const MOST_REFINEMENTS: usize = 100;

/// The end of a crank sweep.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SteeringStop {
    /// The last pose before the stop; with a straight crank if that is beyond the stop already.
    pub step: Step,
    /// What stopped it.
    pub stop: Stop,
    /// Which way the sweep turned.
    pub turn: Side,
}

/// Sweeps the crank from a straight pose into a turn up to the first stop. `seen` is shown
/// every pose of the sweep, the straight one and the one at the stop included.
pub(crate) fn steering_stop(
    candidate: &Candidate,
    straight: &Sample,
    turn: Side,
    mut seen: impl FnMut(&Sample),
) -> SteeringStop {
    let mut walk = Walk::new(candidate, straight, turn).watching_reversal();
    seen(straight);
    let ended = |step: Step, stop: Stop| SteeringStop { step, stop, turn };
    if walk.last.room.0 <= 0.0 {
        return ended(walk.last, walk.last.room.1);
    }
    while walk.last.u < candidate.drive_end {
        let u = (walk.last.u + candidate.drive_step).min(candidate.drive_end);
        match walk.attempt(u, &walk.last) {
            Tried::Within(step) => walk.last = step,
            beyond => {
                let step = walk.refine(walk.last, beyond);
                seen(&step.sample);
                return ended(step, step.room.1);
            }
        }
        seen(&walk.last.sample);
    }
    let end = if candidate.inner.stop_fitted {
        Stop::StopAngle
    } else {
        Stop::SweepEnd
    };
    ended(walk.last, end)
}

impl Walk<'_, '_> {
    /// The last step before the stop, between one within and one that is not. The cause is that
    /// of the far side.
    pub fn refine(&self, mut good: Step, beyond: Tried) -> Step {
        let (wall, far, mut cause) = split(beyond);
        let start = good.u;
        // A walk may start at one stop towards the other: the first step then goes half way.
        let near = match good.room.0 < NEAR_STOP {
            true => far.map_or(0.0, f64::abs),
            false => good.room.0,
        };
        let mut bracket = Bracket::new(good.u, near, wall, far);
        for _ in 0..MOST_REFINEMENTS {
            if bracket.width() < STOP_MET || (good.u != start && good.room.0 < ROOM_MET) {
                break;
            }
            match self.attempt_once(bracket.next(), &good) {
                Tried::Within(step) => {
                    good = step;
                    bracket.within(step.u, step.room.0);
                }
                other => {
                    let (wall, far, why) = split(other);
                    bracket.beyond(wall, far);
                    cause = why;
                }
            }
        }
        good.room.1 = cause;
        good
    }
}

/// Crank angle, room (if the pose stands) and cause of an attempt beyond the stop.
fn split(tried: Tried) -> (f64, Option<f64>, Stop) {
    match tried {
        Tried::Within(step) | Tried::Beyond(step) => (step.u, Some(step.room.0), step.room.1),
        Tried::Nowhere(u, why) => (u, None, why),
    }
}
