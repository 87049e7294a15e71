//! What the handlebar takes: rise of the weight, side force at the contacts, tyres scrubbed while
//! parked, friction.
//!
//! The rise is virtual work, W · dz / d(handlebar) at constant lean. A side force on a contact turns
//! the knuckle about its kingpin by its arm there, trail and inclined kingpin included. A parked
//! tyre is taken as a patch that turns on the ground about the kingpin's foot: μ N √(b²/8 + e²)
//! with b the patch's diameter and e the foot's distance from it, a formula of handbooks for the
//! steering torque of a wheel that is held (from memory; without a source at hand). Left out: the
//! tyres' own aligning and camber forces, and the speed of the hands.

use crate::candidate::{Candidate, SIDES, Sample};
use crate::loads::Stance;
use crate::reach::GRAVITY;
use crate::steering::mean_curvature;
use crate::{Effort, Masses};
use kinematics::{Drive, Pose, Side, V3};

/// Half step of the central difference over the drive, radians or mm.
const HALF_STEP: f64 = 2e-3;
/// The same for slopes of torques, as a part of a sweep's step: a height that changes by less than
/// the solver's tolerance has no second difference.
const SLOPE_STEP: f64 = 0.25;
/// Curvatures below this, 1/mm, turn at no speed that a lean could balance.
const STRAIGHT: f64 = 1e-6;

/// Height of the centre of gravity, mm; 0 where no masses are given.
fn height(candidate: &Candidate, sample: &Sample) -> f64 {
    let masses = candidate.inner.fittings.masses;
    masses.map_or(0.0, |m| sample.height_of(m.centre_of_gravity))
}

/// Rise of the centre of gravity against straight at the same lean, mm.
pub(crate) fn rise(candidate: &Candidate, sample: &Sample, straight: &Sample) -> f64 {
    height(candidate, sample) - height(candidate, straight)
}

/// The sample with the drive a step further at constant lean, and the step; at the very edge of
/// what assembles itself and no step.
fn moved(candidate: &Candidate, sample: &Sample, step: f64) -> (Sample, f64) {
    let crank = sample.crank + step;
    let target = candidate.target(sample.lean, crank);
    let pose = candidate.linkage.solve(&Drive::new(&target), &sample.pose);
    match pose.solved {
        true => (
            Sample {
                crank,
                pose,
                ..*sample
            },
            step,
        ),
        false => (*sample, 0.0),
    }
}

/// Rate of a figure per unit of the drive, by a central difference.
fn rate(candidate: &Candidate, sample: &Sample, step: f64, f: impl Fn(&Sample) -> f64) -> f64 {
    let [(high, ahead), (low, behind)] = [step, -step].map(|step| moved(candidate, sample, step));
    match ahead - behind {
        width if width > 0.0 => (f(&high) - f(&low)) / width,
        _ => 0.0,
    }
}

/// Handlebar torque from the weight's rise, N·m, against a positive turn of the drive.
fn against_crank(candidate: &Candidate, sample: &Sample) -> f64 {
    let Some(masses) = candidate.inner.fittings.masses else {
        return 0.0;
    };
    let per_drive = rate(candidate, sample, HALF_STEP, |at| height(candidate, at));
    masses.total_kg * GRAVITY * 1e-3 * per_drive / candidate.handlebar_per_drive(sample)
}

/// +1 where turning away from straight turns the crank on right-handed.
fn away(sample: &Sample) -> f64 {
    if sample.crank < 0.0 { -1.0 } else { 1.0 }
}

/// Handlebar torque from the weight's rise, N·m, positive where it resists turning the crank
/// further away from straight.
pub(crate) fn torque(candidate: &Candidate, sample: &Sample) -> f64 {
    away(sample) * against_crank(candidate, sample)
}

/// How strongly the weight turns the steering further away from straight, N·m; straight ahead
/// there is no such way.
pub(crate) fn flop(candidate: &Candidate, sample: &Sample) -> f64 {
    if sample.crank == 0.0 {
        return 0.0;
    }
    -torque(candidate, sample)
}

/// Sideways acceleration to the left that a lean balances, as a part of gravity; none where the
/// machine turns the other way, which it does slowly.
fn balanced(sample: &Sample) -> f64 {
    // Leaned to the right (positive) the machine turns right.
    let left = -libm::tan(sample.lean);
    match left * mean_curvature(&sample.pose) > 0.0 {
        true => left,
        false => 0.0,
    }
}

/// Handlebar torque of the side forces at both front contacts under a sideways acceleration to
/// the left (g), N·m, against a positive turn of the drive. Each contact carries its share of
/// the load, and of the side force in the same measure.
fn side_against_crank(candidate: &Candidate, sample: &Sample, masses: &Masses, left: f64) -> f64 {
    let stance = Stance::of(&sample.pose, masses);
    // Inertia points away from the turn.
    let shares = stance.shares([0.0, -left]);
    let one = |side: Side| {
        let force = shares[side as usize] * stance.weight * left;
        let moment = about_kingpin(
            &sample.pose,
            side,
            sideways(&sample.pose, side).scale(force),
        );
        -moment * candidate.knuckle_per_drive(&sample.pose, side)
    };
    1e-3 * SIDES.map(one).iter().sum::<f64>() / candidate.handlebar_per_drive(sample)
}

/// Moment about the kingpin of a force at the contact, N·mm.
fn about_kingpin(pose: &Pose<f64>, side: Side, force: V3<f64>) -> f64 {
    let corner = pose.corner(side);
    corner
        .kingpin
        .dot((corner.contact - corner.lower).cross(force))
}

/// The wheel's own direction to the left on the ground, in frame axes.
fn sideways(pose: &Pose<f64>, side: Side) -> V3<f64> {
    let [x, y] = pose.corner(side).heading;
    pose.ground_y.scale(x) - pose.ground_x.scale(y)
}

/// Handlebar torque of the side forces in the turn that the lean balances, N·m, positive where
/// it resists turning further away from straight; 0 without masses.
pub(crate) fn side_torque(candidate: &Candidate, sample: &Sample) -> f64 {
    let masses = candidate.inner.fittings.masses;
    let against = masses.map_or(0.0, |masses| {
        side_against_crank(candidate, sample, &masses, balanced(sample))
    });
    away(sample) * against
}

/// Friction at the handlebar whatever way it turns, N·m: what the fittings give, and the cables'.
/// Cables without a path in a pose add nothing there; their own quantities tell of it.
pub(crate) fn friction(candidate: &Candidate, sample: &Sample) -> f64 {
    let cables = candidate.cables(sample);
    let cables = cables.map_or(0.0, |(state, cables)| state.friction(&cables));
    candidate.inner.fittings.effort.friction_nm + cables
}

/// What the rider holds in a turn and works against to turn further, N·m.
pub(crate) fn riding(candidate: &Candidate, sample: &Sample) -> f64 {
    let held = torque(candidate, sample) + side_torque(candidate, sample);
    held.abs() + friction(candidate, sample)
}

/// Handlebar torque that the tyres of a parked machine take, N·m.
pub(crate) fn scrub(candidate: &Candidate, sample: &Sample) -> f64 {
    let Some(masses) = candidate.inner.fittings.masses else {
        return 0.0;
    };
    let Effort {
        tyre_friction,
        patch_mm,
        ..
    } = candidate.inner.fittings.effort;
    let stance = Stance::of(&sample.pose, &masses);
    let shares = stance.shares([0.0; 2]);
    let one = |side: Side| {
        let arm2 = patch_mm * patch_mm / 8.0 + foot_off_contact(&sample.pose, side);
        let moment = tyre_friction * shares[side as usize].max(0.0) * stance.weight * arm2.sqrt();
        moment * candidate.knuckle_per_drive(&sample.pose, side).abs()
    };
    1e-3 * SIDES.map(one).iter().sum::<f64>() / candidate.handlebar_per_drive(sample)
}

/// Squared distance of the kingpin's foot on the ground from the contact, mm².
fn foot_off_contact(pose: &Pose<f64>, side: Side) -> f64 {
    let corner = pose.corner(side);
    let height = pose.up.dot(corner.lower) + pose.height;
    let foot = corner.lower - corner.kingpin.scale(height / pose.up.dot(corner.kingpin));
    (foot - corner.contact).norm2()
}

/// What turning the handlebar of a parked machine takes, either way, N·m.
pub(crate) fn parking(candidate: &Candidate, sample: &Sample) -> f64 {
    torque(candidate, sample).abs() + scrub(candidate, sample) + friction(candidate, sample)
}

/// Slope of the torque that rise and side force hold against the handlebar, N·m per degree:
/// positive where the steering returns by itself, negative where it flops on. The speed is that
/// which the lean balances; upright it stands still.
pub(crate) fn self_centring(candidate: &Candidate, sample: &Sample) -> f64 {
    let Some(masses) = candidate.inner.fittings.masses else {
        return 0.0;
    };
    let curvature = mean_curvature(&sample.pose);
    let speed2 = match curvature.abs() > STRAIGHT && sample.lean != 0.0 {
        true => balanced(sample) / curvature,
        false => 0.0,
    };
    let held = |at: &Sample| {
        let left = speed2 * mean_curvature(&at.pose);
        against_crank(candidate, at) + side_against_crank(candidate, at, &masses, left)
    };
    let per_drive = rate(candidate, sample, SLOPE_STEP * candidate.drive_step, held);
    (per_drive / candidate.handlebar_per_drive(sample)).to_radians()
}
