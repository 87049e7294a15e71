//! Steering correctness of one pose: curvatures, error, slips.
//!
//! Origin at the rear contact, x along the rear heading. A front wheel at (x, y) with heading
//! δ implies the curvature κ = sin δ / (x cos δ + y sin δ) of the point on the rear wheel's
//! sideways line; rolling is free of scrub exactly when both wheels imply the same.

use crate::candidate::SIDES;
use kinematics::{Pose, Side};

/// Smallest part of x that the denominator of a curvature may fall to: the wheel then points
/// almost along the line to the rear contact's sideways line.
const SMALLEST_REACH: f64 = 1e-3;

/// Front contact against the rear contact on the ground, mm.
pub(crate) fn contact(pose: &Pose<f64>, side: Side) -> [f64; 2] {
    let (front, rear) = (pose.corner(side).contact_ground, pose.rear_contact_ground);
    [front[0] - rear[0], front[1] - rear[1]]
}

/// Curvature that one front wheel implies at the rear contact, 1/mm, positive to the left.
pub(crate) fn curvature(pose: &Pose<f64>, side: Side) -> f64 {
    let [x, y] = contact(pose, side);
    let [cosine, sine] = pose.corner(side).heading;
    sine / (x * cosine + y * sine).max(SMALLEST_REACH * x.abs())
}

/// K, the mean of both implied curvatures, 1/mm.
pub(crate) fn mean_curvature(pose: &Pose<f64>) -> f64 {
    0.5 * (curvature(pose, Side::Left) + curvature(pose, Side::Right))
}

/// d(K) / d(crank) from the steer rates of both wheels: dκ/dδ = x / (x cos δ + y sin δ)².
pub(crate) fn curvature_rate(pose: &Pose<f64>, rates: [f64; 2]) -> f64 {
    let one = |side: Side| {
        let [x, y] = contact(pose, side);
        let [cosine, sine] = pose.corner(side).heading;
        let reach = (x * cosine + y * sine).max(SMALLEST_REACH * x.abs());
        x / (reach * reach) * rates[side as usize]
    };
    0.5 * (one(Side::Left) + one(Side::Right))
}

/// Direction (cosine, sine times the same length) of scrub-free rolling about curvature `k`.
fn ideal(pose: &Pose<f64>, side: Side, k: f64) -> [f64; 2] {
    let [x, y] = contact(pose, side);
    [1.0 - k * y, k * x]
}

/// a · b̄ of two directions taken as complex numbers: the direction of angle a − b.
fn turned_back(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] * b[0] + a[1] * b[1], a[1] * b[0] - a[0] * b[1]]
}

/// a · b of two directions taken as complex numbers: the direction of angle a + b.
fn turned_on(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] * b[0] - a[1] * b[1], a[1] * b[0] + a[0] * b[1]]
}

/// The steering error e, radians: δR − δL beyond what rolling about the mean curvature needs;
/// positive is too parallel or too much toe-in.
pub(crate) fn error(pose: &Pose<f64>) -> f64 {
    let k = mean_curvature(pose);
    let [left, right] = SIDES.map(|s| turned_back(pose.corner(s).heading, ideal(pose, s, k)));
    let [cosine, sine] = turned_back(right, left);
    libm::atan2(sine, cosine)
}

/// The slip angles of both wheels, radians, about the turn centre on the rear wheel's sideways
/// line that makes the larger of them smallest. Each falls as the curvature grows, so the best
/// centre is where they are opposite and equal: a root found by three Newton steps from K.
pub(crate) fn slips(pose: &Pose<f64>) -> [f64; 2] {
    let mut k = mean_curvature(pose);
    for _ in 0..3 {
        let [left, right] = SIDES.map(|s| turned_back(pose.corner(s).heading, ideal(pose, s, k)));
        let [cosine, sine] = turned_on(left, right);
        let slope: f64 = SIDES
            .iter()
            .map(|&s| {
                let [c, d] = ideal(pose, s, k);
                contact(pose, s)[0] / (c * c + d * d).max(1e-12)
            })
            .sum();
        k += libm::atan2(sine, cosine) / slope.abs().max(1e-9);
    }
    SIDES.map(|s| {
        let [cosine, sine] = turned_back(pose.corner(s).heading, ideal(pose, s, k));
        libm::atan2(sine, cosine)
    })
}

/// Angle from one heading to another, radians, positive to the left.
pub(crate) fn turn_between(from: [f64; 2], to: [f64; 2]) -> f64 {
    let [cosine, sine] = turned_back(to, from);
    libm::atan2(sine, cosine)
}
