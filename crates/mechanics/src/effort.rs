//! Rise of the centre of gravity with steer, and the handlebar torque that it takes.

use crate::candidate::{Candidate, Sample};
use crate::reach::GRAVITY;
use kinematics::{Drive, Target};

/// Half step of the central difference over the drive, radians or mm.
const HALF_STEP: f64 = 2e-3;

/// Height of the centre of gravity, mm; 0 where no masses are given.
fn height(candidate: &Candidate, sample: &Sample) -> f64 {
    let masses = candidate.inner.fittings.masses;
    masses.map_or(0.0, |m| sample.height_of(m.centre_of_gravity))
}

/// Rise of the centre of gravity against straight at the same lean, mm.
pub(crate) fn rise(candidate: &Candidate, sample: &Sample, straight: &Sample) -> f64 {
    height(candidate, sample) - height(candidate, straight)
}

/// Handlebar torque from the weight's rise by virtual work, N·m, against a right-handed turn of
/// the crank: W · dz / d(handlebar), central difference at constant lean.
fn against_crank(candidate: &Candidate, sample: &Sample) -> f64 {
    let Some(masses) = candidate.inner.fittings.masses else {
        return 0.0;
    };
    let at = |step: f64| {
        let target = Target {
            lean: sample.lean,
            steer: sample.crank + step,
            mean_travel: None,
        };
        let pose = candidate.linkage.solve(&Drive::new(&target), &sample.pose);
        // At the very edge of what assembles, the difference is one-sided.
        let (pose, step) = match pose.solved {
            true => (pose, step),
            false => (sample.pose, 0.0),
        };
        (height(candidate, &Sample { pose, ..*sample }), step)
    };
    let ((high, ahead), (low, behind)) = (at(HALF_STEP), at(-HALF_STEP));
    let width = ahead - behind;
    if width <= 0.0 {
        return 0.0;
    }
    let per_crank = masses.total_kg * GRAVITY * 1e-3 * (high - low) / width;
    per_crank / candidate.handlebar_per_drive()
}

/// The same, positive where it resists turning the crank further away from straight.
pub(crate) fn torque(candidate: &Candidate, sample: &Sample) -> f64 {
    let away = if sample.crank < 0.0 { -1.0 } else { 1.0 };
    away * against_crank(candidate, sample)
}

/// How strongly the weight turns the steering further away from straight, N·m; straight ahead
/// there is no such way.
pub(crate) fn flop(candidate: &Candidate, sample: &Sample) -> f64 {
    if sample.crank == 0.0 {
        return 0.0;
    }
    -torque(candidate, sample)
}
