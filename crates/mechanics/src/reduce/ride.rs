//! Quantities of the ride envelope.

use super::Worst;
use crate::candidate::{SIDES, Sample};
use crate::loads::Stance;
use crate::plan::View;
use crate::{Answer, Masses, Quantity, Where, lean_lock, ride};
use kinematics::Side;

/// The answer of a quantity of the ride envelope; `None` for any other.
pub(super) fn answer(view: &View) -> Option<Answer> {
    match view.ask().quantity {
        Quantity::LiftAcceleration
        | Quantity::StandingShare
        | Quantity::ParkedShare
        | Quantity::BrakingLimit
        | Quantity::PitchOver
        | Quantity::LeanLockMoment
        | Quantity::RightingLocked
        | Quantity::RightingFree => Some(over_poses(view)),
        Quantity::LeanStopSpeed | Quantity::LiftSpeed => Some(at_lean_ends(view)),
        _ => None,
    }
}

fn over_poses(view: &View) -> Answer {
    let quantity = view.ask().quantity;
    let mut worst = match quantity {
        Quantity::LeanLockMoment => Worst::largest(),
        _ => Worst::smallest(),
    };
    view.each(|sample, _| {
        for (state, masses) in ride::states(view.candidate) {
            if let Some((value, side)) = one(view, quantity, sample, masses) {
                worst.see(value, || Where {
                    side,
                    state: Some(state),
                    ..view.candidate.place(sample)
                });
            }
        }
    });
    worst.answer(view.shortfall(), |value| value)
}

/// The value of one pose and state, and the side where one is meant.
fn one(
    view: &View,
    quantity: Quantity,
    sample: &Sample,
    masses: &Masses,
) -> Option<(f64, Option<Side>)> {
    let candidate = view.candidate;
    let stance = || Stance::of(&sample.pose, masses);
    let value = match quantity {
        Quantity::LiftAcceleration => ride::bounded(ride::lift_acceleration(sample, masses)),
        Quantity::BrakingLimit => {
            let (most, wheel) = ride::braking_limit(sample, masses);
            return Some((ride::bounded(most), SIDES.get(wheel).copied()));
        }
        Quantity::PitchOver => ride::bounded(ride::pitch_over(sample, masses)),
        Quantity::LeanLockMoment => lean_lock::moment(candidate, sample, masses)?,
        Quantity::RightingLocked => ride::righting_locked(sample, masses),
        // Upright the moment is 0 on either way out.
        Quantity::RightingFree if sample.lean == 0.0 => return None,
        Quantity::RightingFree => ride::righting_free(candidate, sample, masses)?,
        Quantity::ParkedShare => {
            let slope = candidate.inner.parts.slope_deg.to_radians();
            stance().parked(slope).0
        }
        _ => stance().shares([0.0; 2]).into_iter().fold(1.0, f64::min),
    };
    Some((value, None))
}

fn at_lean_ends(view: &View) -> Answer {
    let candidate = view.candidate;
    let radius = candidate.inner.tightest_m;
    let senses: &[f64] = if candidate.symmetric {
        &[1.0]
    } else {
        &[1.0, -1.0]
    };
    let mut worst = Worst::smallest();
    for &sense in senses {
        let end = ride::lean_end(candidate, sense);
        if view.ask().quantity == Quantity::LeanStopSpeed {
            worst.see(ride::stop_speed(&end, radius), || {
                ride::place(candidate, &end)
            });
            continue;
        }
        for (state, masses) in ride::states(candidate) {
            worst.see(ride::lift_speed(&end, masses, radius, sense), || Where {
                state: Some(state),
                ..ride::place(candidate, &end)
            });
        }
    }
    worst.answer(0.0, |value| value)
}
