//! Walking the crank at one lean: to a curvature, and to what stops it.

mod meet;

use crate::Stop;
use crate::candidate::{Candidate, SIDES, Sample, stop_of, tighten};
use crate::set_up::outward;
use crate::steering::mean_curvature;
use kinematics::{Drive, Pose, Side, Target};

pub(crate) use meet::Met;

/// A walk of the crank at one lean in one turn direction, from straight outwards. `u` is the
/// crank angle in the sense that turns into the turn, `s` the curvature into the turn.
pub(crate) struct Walk<'c, 'a> {
    candidate: &'c Candidate<'a>,
    lean: f64,
    lean_sine: f64,
    lean_cosine: f64,
    /// +1 for a turn to the left, −1 to the right.
    turn: f64,
    /// Sign of the crank angle that turns into the turn.
    sense: f64,
    /// ds/du, last known.
    slope: f64,
    /// Crank angle and curvature of the curvature met before the last.
    earlier: Option<(f64, f64)>,
    /// `last` stands at the end of more (true) or less (false) curvature.
    stopped: Option<bool>,
    /// A wheel that turns back counts as a stop.
    watch_reversal: bool,
    /// The furthest step so far.
    pub last: Step,
}

/// A pose of a walk.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    pub u: f64,
    pub s: f64,
    pub sample: Sample,
    /// Room left before the stop, and what it would be.
    pub room: (f64, Stop),
}

/// How an attempt at a crank angle ended.
pub(crate) enum Tried {
    /// Short of the stop.
    Within(Step),
    /// The pose stands, but beyond the stop.
    Beyond(Step),
    /// No pose at this crank angle.
    Nowhere(f64, Stop),
}

impl<'c, 'a> Walk<'c, 'a> {
    /// Starts from a solved pose with a straight crank.
    pub fn new(candidate: &'c Candidate<'a>, straight: &Sample, turn: Side) -> Walk<'c, 'a> {
        let turn = outward(turn);
        let rate = candidate.curvature_rate;
        Walk {
            candidate,
            lean: straight.lean,
            lean_sine: libm::sin(straight.lean),
            lean_cosine: libm::cos(straight.lean),
            turn,
            sense: if rate * turn < 0.0 { -1.0 } else { 1.0 },
            slope: rate.abs(),
            earlier: None,
            stopped: None,
            watch_reversal: false,
            last: Step {
                u: 0.0,
                s: turn * mean_curvature(&straight.pose),
                sample: *straight,
                room: candidate.steering_room(&straight.pose),
            },
        }
    }

    /// The same walk, for which a wheel that turns back counts as a stop.
    pub fn watching_reversal(mut self) -> Self {
        self.watch_reversal = true;
        self
    }

    fn drive(&self, u: f64) -> Drive<f64> {
        let crank = u * self.sense;
        Drive {
            lean_sin: self.lean_sine,
            lean_cos: self.lean_cosine,
            steer_sin: libm::sin(crank),
            steer_cos: libm::cos(crank),
            steer: crank,
            mean_travel: self.candidate.travel.unwrap_or(0.0),
            rocker: self.candidate.travel.is_none(),
        }
    }

    fn target(&self, u: f64) -> Target {
        self.candidate.target(self.lean, u * self.sense)
    }

    /// The pose at `u`, from a solved one nearby: in one go, else followed in small steps.
    pub fn attempt(&self, u: f64, near: &Step) -> Tried {
        let linkage = self.candidate.linkage;
        let drive = self.drive(u);
        let mut pose = linkage.solve(&drive, &near.sample.pose);
        if !pose.solved {
            let (from, to) = (self.target(near.u), self.target(u));
            match linkage.advance(&near.sample.pose, &from, &to) {
                Ok(found) => pose = found,
                Err(failure) => return Tried::Nowhere(u, stop_of(failure)),
            }
        }
        self.judged(u, pose, &drive)
    }

    /// The pose at `u` in one go: enough where the stop is already between close neighbours.
    pub fn attempt_once(&self, u: f64, near: &Step) -> Tried {
        let drive = self.drive(u);
        let pose = self.candidate.linkage.solve(&drive, &near.sample.pose);
        match pose.failure() {
            None => self.judged(u, pose, &drive),
            Some(failure) => Tried::Nowhere(u, stop_of(failure)),
        }
    }

    fn judged(&self, u: f64, pose: Pose<f64>, drive: &Drive<f64>) -> Tried {
        let step = self.step(u, pose, drive);
        match step.room.0 >= 0.0 {
            true => Tried::Within(step),
            false => Tried::Beyond(step),
        }
    }

    fn step(&self, u: f64, pose: Pose<f64>, drive: &Drive<f64>) -> Step {
        let candidate = self.candidate;
        let mut room = candidate.steering_room(&pose);
        if self.watch_reversal {
            let rates = candidate.linkage.steer_rates(&pose, drive);
            for side in SIDES {
                let share = rates[side as usize] / candidate.rates[side as usize];
                tighten(&mut room, share, Stop::Reversal(side));
            }
        }
        Step {
            u,
            s: self.turn * mean_curvature(&pose),
            sample: Sample {
                lean: self.lean,
                crank: u * self.sense,
                travel: candidate.travel.unwrap_or(0.0),
                pose,
            },
            room,
        }
    }
}
