//! A crank sweep to the stop with what its poses say on the way.

use crate::candidate::{Candidate, SIDES, Sample};
use crate::clearance::{Gap, Gaps};
use crate::effort;
use crate::stop::{SteeringStop, steering_stop};
use kinematics::Side;

/// The smallest sine of an angle along a sweep, and where.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Smallest {
    pub sine: f64,
    pub sample: Sample,
    pub side: Option<Side>,
}

/// One crank sweep to the stop.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StopRow {
    pub end: SteeringStop,
    /// Smallest knuckle angle up to the stop.
    pub knuckle: Smallest,
    /// Smallest crank angle margin up to the stop.
    pub crank: Smallest,
    /// Smallest gaps up to the stop, of each kind that is asked for, and where.
    pub gaps: [(Gap, Sample); 5],
    /// Largest torque of the parked machine up to the stop, N·m, if it is asked for, and where.
    pub parking: (f64, Sample),
    /// Smallest angle at an end of the handlebar's drag link; infinite without one.
    pub handlebar: Smallest,
}

impl StopRow {
    pub fn sweep(
        candidate: &Candidate,
        straight: &Sample,
        turn: Side,
        asked: [bool; 5],
        parks: bool,
    ) -> StopRow {
        let none = Smallest {
            sine: f64::INFINITY,
            sample: *straight,
            side: None,
        };
        let (mut knuckle, mut crank, mut handlebar) = (none, none, none);
        let mut gaps = [(Gap::capped(f64::INFINITY), *straight); 5];
        let mut parking = (f64::NEG_INFINITY, *straight);
        let end = steering_stop(candidate, straight, turn, |sample| {
            for gap in Gaps::ALL.into_iter().filter(|g| asked[*g as usize]) {
                let (least, at) = &mut gaps[gap as usize];
                let found = candidate.gap(&sample.pose, gap, least.mm);
                if found.pair.is_some() {
                    (*least, *at) = (found, *sample);
                }
            }
            if parks {
                let torque = effort::parking(candidate, sample);
                if torque > parking.0 {
                    parking = (torque, *sample);
                }
            }
            for side in SIDES {
                let keep = |least: &mut Smallest, sine: f64| {
                    if sine < least.sine {
                        *least = Smallest {
                            sine,
                            sample: *sample,
                            side: Some(side),
                        };
                    }
                };
                keep(
                    &mut knuckle,
                    candidate.angles.knuckle_sine(&sample.pose, side),
                );
                keep(&mut crank, candidate.angles.crank_sine(&sample.pose, side));
            }
            for sine in candidate
                .handlebar_sines(&sample.pose)
                .into_iter()
                .flatten()
            {
                if sine < handlebar.sine {
                    handlebar = Smallest {
                        sine,
                        sample: *sample,
                        side: None,
                    };
                }
            }
        });
        StopRow {
            end,
            knuckle,
            crank,
            gaps,
            parking,
            handlebar,
        }
    }
}
