//! A crank sweep to the stop with what its poses say on the way.

use crate::candidate::{Candidate, SIDES, Sample};
use crate::stop::{SteeringStop, steering_stop};
use kinematics::Side;

/// The smallest sine of an angle along a sweep, and where.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Smallest {
    pub sine: f64,
    pub sample: Sample,
    pub side: Side,
}

/// One crank sweep to the stop.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StopRow {
    pub end: SteeringStop,
    /// Smallest knuckle angle up to the stop.
    pub knuckle: Smallest,
    /// Smallest crank angle margin up to the stop.
    pub crank: Smallest,
}

impl StopRow {
    pub fn sweep(candidate: &Candidate, straight: &Sample, turn: Side) -> StopRow {
        let none = Smallest {
            sine: f64::INFINITY,
            sample: *straight,
            side: Side::Left,
        };
        let (mut knuckle, mut crank) = (none, none);
        let end = steering_stop(candidate, straight, turn, |sample| {
            for side in SIDES {
                let keep = |least: &mut Smallest, sine: f64| {
                    if sine < least.sine {
                        *least = Smallest {
                            sine,
                            sample: *sample,
                            side,
                        };
                    }
                };
                keep(
                    &mut knuckle,
                    candidate.angles.knuckle_sine(&sample.pose, side),
                );
                keep(&mut crank, candidate.angles.crank_sine(&sample.pose, side));
            }
        });
        StopRow {
            end,
            knuckle,
            crank,
        }
    }
}
