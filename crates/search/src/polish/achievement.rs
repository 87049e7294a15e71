//! The one cost that a polish brings down.

use crate::progress::Scales;
use crate::standing::{Frame, Goals, Member, Standing, padded};

/// The weight of the sum of goals beside the largest.
const SUM_WEIGHT: f64 = 1e-3;
/// The penalty per tolerance of violation, in extents of the front.
const PENALTY: f64 = 10.0;
/// What a candidate without numbers costs before its distance is added.
const APART: f64 = 1e6;
pub(super) const LARGEST_COST: f64 = 1e200;

/// The achievement of a member against a point one extent better than `aim` in every goal, plus
/// the exact penalty.
pub(super) fn cost(member: &Member, aim: &Goals, scales: &Scales) -> f64 {
    let penalty = match member.standing {
        Standing::Feasible => 0.0,
        Standing::Violated(excess) => PENALTY * excess,
        Standing::Apart(distance) => return (APART + distance).min(LARGEST_COST),
    };
    let frame = Frame::new(&padded(&scales.ideal), &padded(&scales.nadir));
    let (own, aim) = (frame.map(&member.goals), frame.map(aim));
    let above = || (0..scales.ideal.len()).map(|i| own[i] - aim[i] + 1.0);
    let worst = above().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = above().sum();
    (worst + SUM_WEIGHT * sum + penalty).clamp(-LARGEST_COST, LARGEST_COST)
}
