//! The ride envelope in a pose or at the end of the lean.

use crate::candidate::{Candidate, Sample};
use crate::lean_limit::lean_stop;
use crate::loads::Stance;
use crate::reach::GRAVITY;
use crate::sweep::{Axis, follow};
use crate::{Masses, Stop, Where};
use kinematics::{Drive, Pose};

/// Half step of the central difference over lean, radians.
pub(crate) const HALF_STEP: f64 = 1e-3;

/// The states of loading that share these poses.
pub(crate) fn states<'a>(candidate: &'a Candidate) -> impl Iterator<Item = (usize, &'a Masses)> {
    let states = candidate.inner.group.states.iter();
    states.map(|(index, masses)| (*index, masses))
}

/// Sideways acceleration (g) at which a wheel lifts, pushed away from the lean; upright the
/// smaller of both ways.
pub(crate) fn lift_acceleration(sample: &Sample, masses: &Masses) -> f64 {
    let stance = Stance::of(&sample.pose, masses);
    let to = |left: f64| stance.lift([0.0; 2], [0.0, left]).0;
    // Leaned to the right (positive) inertia pushes to the left.
    match sample.lean {
        0.0 => to(1.0).min(to(-1.0)),
        lean => to(1.0_f64.copysign(lean)),
    }
}

/// Deceleration (g) at which a wheel lifts while the lean balances the turn, and which (left,
/// right, rear).
pub(crate) fn braking_limit(sample: &Sample, masses: &Masses) -> (f64, usize) {
    let stance = Stance::of(&sample.pose, masses);
    let balance = libm::tan(sample.lean);
    let (most, wheel) = stance.lift([0.0, balance], [1.0, 0.0]);
    (most.max(0.0), wheel)
}

/// Deceleration (g) at which the rear wheel lifts, the same way.
pub(crate) fn pitch_over(sample: &Sample, masses: &Masses) -> f64 {
    let stance = Stance::of(&sample.pose, masses);
    let balance = libm::tan(sample.lean);
    stance.lift_of(2, [0.0, balance], [1.0, 0.0]).max(0.0)
}

/// Moment with which the weight rights a machine that is free to lean, N·m: W·dz/dφ, positive
/// where leaning further raises it. `None` at the very end of the lean.
pub(crate) fn righting_free(
    candidate: &Candidate,
    sample: &Sample,
    masses: &Masses,
) -> Option<f64> {
    let height = |step: f64| {
        let pose = leaned(candidate, sample, step)?;
        Some(Sample { pose, ..*sample }.height_of(masses.centre_of_gravity))
    };
    let rate = (height(HALF_STEP)? - height(-HALF_STEP)?) / (2.0 * HALF_STEP);
    let away = 1.0_f64.copysign(sample.lean);
    Some(away * masses.total_kg * GRAVITY * 1e-3 * rate)
}

/// The pose a small step of lean (radians) on; `None` beyond the end of the lean.
pub(crate) fn leaned(candidate: &Candidate, sample: &Sample, step: f64) -> Option<Pose<f64>> {
    let target = candidate.target(sample.lean + step, sample.crank);
    let pose = candidate.linkage.solve(&Drive::new(&target), &sample.pose);
    pose.solved.then_some(pose)
}

/// Moment of the weight against tipping, lean locked, N·m.
pub(crate) fn righting_locked(sample: &Sample, masses: &Masses) -> f64 {
    1e-3 * Stance::of(&sample.pose, masses).tipping_moment()
}

/// The end of the lean in one direction (+1 right): at its stop or at the lean limit of reach.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LeanEnd {
    pub sample: Sample,
    pub stop: Option<Stop>,
}

pub(crate) fn lean_end(candidate: &Candidate, sense: f64) -> LeanEnd {
    let limit = candidate.inner.reach_lean;
    let ended = lean_stop(candidate, &candidate.zero, sense);
    if ended.sample.lean.abs() <= limit {
        return LeanEnd {
            sample: ended.sample,
            stop: Some(ended.stop),
        };
    }
    let axis = Axis::Lean { crank: 0.0 };
    let mut near = (0.0, candidate.zero.pose);
    let steps = (limit.to_degrees() / 2.0).ceil() as usize;
    for step in 1..=steps {
        let at = sense * limit * (step as f64 / steps as f64);
        near = follow(candidate, axis, near, at).last;
    }
    LeanEnd {
        sample: axis.sample(candidate, near.0, near.1),
        stop: None,
    }
}

/// Speed (m/s) at which the balanced lean of a turn reaches an end, radius in m.
pub(crate) fn stop_speed(end: &LeanEnd, radius_m: f64) -> f64 {
    (GRAVITY * radius_m * libm::tan(end.sample.lean.abs())).sqrt()
}

/// Speed (m/s) at which a wheel lifts in a turn, leaned to its end.
pub(crate) fn lift_speed(end: &LeanEnd, masses: &Masses, radius_m: f64, sense: f64) -> f64 {
    let stance = Stance::of(&end.sample.pose, masses);
    let (most, _) = stance.lift([0.0; 2], [0.0, sense]);
    (GRAVITY * radius_m * most.clamp(0.0, MOST_G)).sqrt()
}

/// Accelerations end here, g, so that every answer is finite.
const MOST_G: f64 = 100.0;

/// A value that never passes 100 g.
pub(crate) fn bounded(g: f64) -> f64 {
    g.clamp(-MOST_G, MOST_G)
}

/// Where an end of the lean stands.
pub(crate) fn place(candidate: &Candidate, end: &LeanEnd) -> Where {
    Where {
        stop: end.stop,
        ..candidate.place(&end.sample)
    }
}
