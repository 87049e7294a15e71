//! Walking the crank at one lean: to a curvature, and to what stops it.

use crate::Stop;
use crate::candidate::{Candidate, SIDES, Sample, stop_of, tighten};
use crate::set_up::outward;
use crate::steering::mean_curvature;
use kinematics::{Drive, Pose, Side, Target};

/// A curvature counts as met within this, 1/mm: at 2 m of wheelbase a steer of 2e-9 rad.
const CURVATURE_MET: f64 = 1e-12;
/// Slopes of curvature below this, 1/mm per radian, count as no steering at all.
const SMALLEST_SLOPE: f64 = 1e-9;
/// Longest secant step, in steps of the sweep to the stop.
const LONGEST: f64 = 4.0;
/// Steps of the search for a curvature's turning point: 6° shrink to 1e-7 of it.
const GOLDEN_STEPS: usize = 34;
/// Attempts at one curvature before it counts as out of reach.
const MOST_ATTEMPTS: usize = 24;

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

/// How a walk to a curvature ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Met {
    /// There.
    Yes,
    /// The steering stops before so much curvature.
    Short,
    /// The steering does not come back to so little: lean alone steers further.
    Past,
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
            mean_travel: 0.0,
            rocker: true,
        }
    }

    fn target(&self, u: f64) -> Target {
        Target {
            lean: self.lean,
            steer: u * self.sense,
            mean_travel: None,
        }
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
                travel: 0.0,
                pose,
            },
            room,
        }
    }

    /// Walks to the curvature `s` (1/mm, into the turn): secant steps, halved where they leave
    /// the bracket of what was seen. Where the steering stops before it, `last` is the step at
    /// the stop.
    pub fn reach_curvature(&mut self, s: f64) -> Met {
        let (mut below, mut above): (Option<Step>, Option<Step>) = (None, None);
        let mut before = self.last.u;
        for _ in 0..MOST_ATTEMPTS {
            let miss = s - self.last.s;
            if miss.abs() <= CURVATURE_MET {
                return Met::Yes;
            }
            match miss > 0.0 {
                true => below = Some(self.last),
                false => above = Some(self.last),
            }
            let u = self.next(s, &below, &above);
            if u == self.last.u {
                break;
            }
            match self.attempt(u, &self.last) {
                // Further from the curvature than before: it has turned back in between.
                Tried::Within(step) if (s - step.s) * miss > miss * miss => {
                    let found = self.furthest(before, step, miss.signum());
                    let passed = (s - found.s > 0.0) != (miss > 0.0);
                    self.take(found);
                    if !passed {
                        break;
                    }
                }
                Tried::Within(step) => {
                    before = self.last.u;
                    self.take(step);
                }
                beyond => {
                    let found = self.refine(self.last, beyond);
                    let passed = (s - found.s > 0.0) != (miss > 0.0);
                    self.take(found);
                    if !passed {
                        break;
                    }
                }
            }
        }
        match s > self.last.s {
            true => Met::Short,
            false => Met::Past,
        }
    }

    /// Takes a step and learns the slope from it.
    fn take(&mut self, step: Step) {
        let slope = (step.s - self.last.s) / (step.u - self.last.u);
        if slope > 0.0 {
            self.slope = slope;
        }
        self.last = step;
    }

    /// Where to look for the curvature `s` next.
    fn next(&self, s: f64, below: &Option<Step>, above: &Option<Step>) -> f64 {
        let end = self.candidate.drive_end;
        let u = self.last.u + (s - self.last.s) / self.slope.max(SMALLEST_SLOPE);
        if let (Some(a), Some(b)) = (below, above) {
            let (low, high) = (a.u.min(b.u), a.u.max(b.u));
            if u <= low || u >= high {
                return 0.5 * (low + high);
            }
        }
        let most = LONGEST * self.candidate.drive_step;
        let step = (u - self.last.u).clamp(-most, most);
        (self.last.u + step).clamp(-end, end)
    }

    /// Where the curvature lies furthest in a direction (`toward` ±1) between `before` and the
    /// step beyond `last` that lies less far: a golden-section search.
    fn furthest(&self, before: f64, beyond: Step, toward: f64) -> Step {
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let (mut low, mut high) = (before, beyond.u);
        let mut best = self.last;
        let place = |a: f64, b: f64| b - GOLDEN * (b - a);
        let mut see = |u: f64| match self.attempt_once(u, &best) {
            Tried::Within(step) => {
                if toward * (step.s - best.s) > 0.0 {
                    best = step;
                }
                toward * step.s
            }
            _ => f64::NEG_INFINITY,
        };
        let (mut a, mut b) = (place(low, high), place(high, low));
        let (mut at_a, mut at_b) = (see(a), see(b));
        for _ in 0..GOLDEN_STEPS {
            if at_a >= at_b {
                (high, b, at_b) = (b, a, at_a);
                a = place(low, high);
                at_a = see(a);
            } else {
                (low, a, at_a) = (a, b, at_b);
                b = place(high, low);
                at_b = see(b);
            }
        }
        best
    }
}
