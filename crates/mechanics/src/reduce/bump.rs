//! Slope, even part and odd part of toe against travel.

use super::Worst;
use crate::Answer;
use crate::candidate::{Candidate, SIDES};
use crate::plan::{View, travel_zero};
use crate::set_up::outward;
use crate::steering::turn_between;
use crate::sweep::{Axis, Node};
use kinematics::{Pose, Side};

/// Half step of the central difference, mm.
const HALF_STEP: f64 = 0.5;

/// Toe-in gained from one pose to another, radians.
fn toe_gain(from: &Pose<f64>, to: &Pose<f64>, side: Side) -> f64 {
    -outward(side) * turn_between(from.corner(side).heading, to.corner(side).heading)
}

/// Slope of toe at zero travel, degrees per mm; of both sides the one of larger magnitude.
pub(super) fn slope(view: &View) -> Answer {
    let candidate: &Candidate = view.candidate;
    let zero = travel_zero(candidate);
    let [low, high] = [-HALF_STEP, HALF_STEP].map(|at| {
        let node = Node::new(Axis::Travel, at);
        candidate.linkage.solve(&node.drive, &zero.pose)
    });
    if !low.solved || !high.solved {
        return Worst::largest().answer(1.0, |v| v);
    }
    let slopes = SIDES.map(|s| toe_gain(&low, &high, s) / (2.0 * HALF_STEP));
    let side = match slopes[1].abs() > slopes[0].abs() {
        true => Side::Right,
        false => Side::Left,
    };
    let mut place = view.candidate.place(&zero);
    place.side = Some(side);
    Answer {
        value: slopes[side as usize].to_degrees(),
        shortfall: 0.0,
        worst: place,
    }
}

/// The even (`sign` +1) or odd (−1) part of the change of toe with travel.
pub(super) fn part(view: &View, sign: f64) -> Answer {
    let zero = travel_zero(view.candidate);
    let mut worst = Worst::largest();
    worst.see(0.0, || view.candidate.place(&zero));
    for (up, down) in view.travel_pairs() {
        for side in SIDES {
            let (a, b) = (
                toe_gain(&zero.pose, &up.pose, side),
                toe_gain(&zero.pose, &down.pose, side),
            );
            worst.see((0.5 * (a + sign * b)).abs(), || {
                let mut place = view.candidate.place(up);
                place.side = Some(side);
                place
            });
        }
    }
    worst.answer(view.shortfall(), f64::to_degrees)
}
