//! Where a rocker and its links stand in a solved pose.

use kinematics::{Linkage, Pose, Rocker, Side, V3, Wishbone};

/// The rocker itself and both links, as pairs of end points in frame axes, mm. In a pose with
/// the rocker disconnected nothing is returned: its place is then open.
pub(super) fn rocker(linkage: &Linkage, pose: &Pose<f64>, rocker: &Rocker) -> Vec<[V3<f64>; 2]> {
    let machine = linkage.machine();
    let axis = rocker.axis.direction.unit();
    let arm = V3::new(0.0, rocker.arm, 0.0);
    let feet = [
        turned(
            linkage,
            pose,
            Side::Left,
            &machine.left.lower,
            rocker.left_foot,
        ),
        turned(
            linkage,
            pose,
            Side::Right,
            &machine.right.lower,
            rocker.right_foot,
        ),
    ];
    let length = |end: V3<f64>, foot: V3<f64>| (end - foot).norm();
    let pivot = rocker.axis.point;
    let Some(turn) = swing(
        axis,
        arm,
        feet[0] - pivot,
        length(pivot + arm, rocker.left_foot),
    ) else {
        return Vec::new();
    };
    let (left, right) = (pivot + turn, pivot - turn);
    let wanted = length(pivot - arm, rocker.right_foot);
    if (length(right, feet[1]) - wanted).abs() > 1e-3 {
        return Vec::new();
    }
    vec![[left, right], [left, feet[0]], [right, feet[1]]]
}

/// A point fixed in a lower wishbone, in this pose.
fn turned(linkage: &Linkage, pose: &Pose<f64>, side: Side, arm: &Wishbone, p: V3<f64>) -> V3<f64> {
    let [cosine, sine] = pose.corner(side).lower_turn;
    let from = arm.rear_pivot;
    from + (p - from).rotated(linkage.hinge(side, false), cosine, sine)
}

/// The arm turned about the axis so that its end lies `length` from `foot` (both from the
/// pivot): of both places the one nearer to the design pose.
fn swing(axis: V3<f64>, arm: V3<f64>, foot: V3<f64>, length: f64) -> Option<V3<f64>> {
    let reach = arm.across(axis);
    let along = arm - reach;
    let aside = axis.cross(reach);
    let to = foot - along;
    let (a, b) = (reach.dot(to), aside.dot(to));
    let c = 0.5 * (reach.norm2() + to.norm2() - length * length);
    let size = libm::hypot(a, b);
    if size < c.abs() {
        return None;
    }
    let (middle, half) = (libm::atan2(b, a), libm::acos(c / size));
    let turns = [middle + half, middle - half].map(|t| libm::remainder(t, core::f64::consts::TAU));
    let turn = if turns[0].abs() < turns[1].abs() {
        turns[0]
    } else {
        turns[1]
    };
    Some(along + reach.scale(libm::cos(turn)) + aside.scale(libm::sin(turn)))
}
