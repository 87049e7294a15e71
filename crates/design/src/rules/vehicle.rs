//! Rules of the vehicle's linkage: points that must not coincide.

use super::{Rules, bearings, body, handlebar, joints, parts, steering, wheels};
use crate::fault::Fault;
use kinematics::V3;
use serde_json::Value;

/// Points closer than this coincide, mm.
pub(super) const COINCIDE: f64 = 1.0;
/// Directions closer than this to y count as along it, radians.
const ALONG: f64 = 0.01;

/// Checks all rules of a vehicle that stands at `base`.
pub(crate) fn check(value: &Value, base: &str, faults: &mut Vec<Fault>) {
    let mut rules = Rules {
        value,
        base,
        faults,
    };
    for right in [false, true] {
        if right && value.get("right").is_none() {
            continue;
        }
        let side = Side { right };
        for wishbone in ["lower_wishbone", "upper_wishbone"] {
            hinge(&mut rules, side, wishbone);
        }
        kingpin(&mut rules, side);
        steering::of_side(&mut rules, side);
        wheels::front(&mut rules, side);
        rocker(&mut rules, side);
    }
    steering::of_machine(&mut rules);
    handlebar::check(&mut rules);
    wheels::rear(&mut rules);
    right_coupling(&mut rules);
    bearings::check(&mut rules);
    wheels::centre_of_gravity(&mut rules, "/masses/centre_of_gravity_mm");
    parts::check(&mut rules);
    body::check(&mut rules);
    joints::check(&mut rules);
}

#[derive(Clone, Copy)]
pub(super) struct Side {
    /// The right side.
    pub right: bool,
}

impl Side {
    pub(super) fn name(self) -> &'static str {
        if self.right { "right" } else { "left" }
    }

    /// Where this side's value stands: under `right` if it is given there.
    pub(super) fn pointer(self, rules: &Rules, place: &str) -> String {
        let own = format!("/right/{place}");
        match self.right && rules.value.pointer(&own).is_some() {
            true => own,
            false => format!("/{place}"),
        }
    }

    /// This side's point, mirrored if only the left is given.
    pub(super) fn point(self, rules: &Rules, place: &str) -> Option<V3<f64>> {
        let own = self.pointer(rules, place);
        let point = V3::from(rules.triple(&own)?);
        let mirror = self.right && !own.starts_with("/right/");
        Some(if mirror { point.mirrored() } else { point })
    }

    /// This side's number; that of the left if only it is given.
    pub(super) fn number(self, rules: &Rules, place: &str) -> Option<f64> {
        rules.number(&self.pointer(rules, place))
    }
}

/// Distance of a point from the line through `on` along `along`, mm.
pub(super) fn off_line(point: V3<f64>, on: V3<f64>, along: V3<f64>) -> f64 {
    (point - on).cross(along).norm() / along.norm()
}

fn hinge(rules: &mut Rules, side: Side, wishbone: &str) {
    let point = |rules: &Rules, name: &str| side.point(rules, &format!("{wishbone}/{name}"));
    let (Some(front), Some(rear)) = (
        point(rules, "front_pivot_mm"),
        point(rules, "rear_pivot_mm"),
    ) else {
        return;
    };
    let along = front - rear;
    if along.norm() < COINCIDE {
        let message = format!(
            "the hinge points of the {} {wishbone} coincide",
            side.name()
        );
        let at = side.pointer(rules, &format!("{wishbone}/front_pivot_mm"));
        return rules.fault(
            &at,
            message,
            "at least 1 mm between front_pivot_mm and rear_pivot_mm",
        );
    }
    let ball = point(rules, "ball_joint_mm");
    if ball.is_some_and(|ball| off_line(ball, rear, along) < COINCIDE) {
        let message = format!(
            "the ball joint of the {} {wishbone} lies on its hinge line",
            side.name()
        );
        let at = side.pointer(rules, &format!("{wishbone}/ball_joint_mm"));
        rules.fault(
            &at,
            message,
            "at least 1 mm away from the line through both pivots",
        );
    }
}

fn kingpin(rules: &mut Rules, side: Side) {
    let (Some(lower), Some(upper)) = (
        side.point(rules, "lower_wishbone/ball_joint_mm"),
        side.point(rules, "upper_wishbone/ball_joint_mm"),
    ) else {
        return;
    };
    let at = side.pointer(rules, "upper_wishbone/ball_joint_mm");
    let along = upper - lower;
    if along.norm() < COINCIDE {
        let message = format!(
            "both {} ball joints are in one place: no kingpin",
            side.name()
        );
        return rules.fault(&at, message, "at least 1 mm away from the lower ball joint");
    }
    if along.z < COINCIDE {
        let message = format!(
            "the {} kingpin does not point up: its inclination is 90 degrees or more",
            side.name()
        );
        rules.fault(&at, message, "z at least 1 mm above the lower ball joint");
    }
    let outer = side.point(rules, "steering/rod_outer_mm");
    if outer.is_some_and(|outer| off_line(outer, lower, along) < COINCIDE) {
        let message = format!(
            "the outer end of the {} tie rod lies on the kingpin",
            side.name()
        );
        let at = side.pointer(rules, "steering/rod_outer_mm");
        rules.fault(
            &at,
            message,
            "at least 1 mm away from the line through both ball joints",
        );
    }
}

fn rocker(rules: &mut Rules, side: Side) {
    let (Some(axis), Some(pivot), Some(arm)) = (
        rules.triple("/lean_coupling/axis").map(V3::from),
        rules.triple("/lean_coupling/pivot_mm").map(V3::from),
        rules.number("/lean_coupling/arm_mm"),
    ) else {
        return;
    };
    let across = libm::sqrt(axis.x * axis.x + axis.z * axis.z);
    if across < ALONG * axis.norm() {
        let message = "the rocker's axis lies along y, so that its arm cannot move";
        return rules.fault(
            "/lean_coupling/axis",
            message,
            "a direction across y, usually [1, 0, 0]",
        );
    }
    let Some(foot) = side.point(rules, "lean_coupling/link_foot_mm") else {
        return;
    };
    let at = side.pointer(rules, "lean_coupling/link_foot_mm");
    let end = pivot + V3::new(0.0, if side.right { -arm } else { arm }, 0.0);
    if (foot - end).norm() < COINCIDE {
        let message = format!("the {} rocker link has no length", side.name());
        rules.fault(
            &at,
            message,
            "at least 1 mm away from the rocker's end (pivot ± arm along y)",
        );
    }
    let pivots = side
        .point(rules, "lower_wishbone/front_pivot_mm")
        .zip(side.point(rules, "lower_wishbone/rear_pivot_mm"));
    if let Some((front, rear)) = pivots
        && (front - rear).norm() >= COINCIDE
        && off_line(foot, rear, front - rear) < COINCIDE
    {
        let message = format!(
            "the foot of the {} rocker link lies on the wishbone's hinge line, so that it holds nothing",
            side.name()
        );
        rules.fault(
            &at,
            message,
            "at least 1 mm away from the hinge line of the lower wishbone",
        );
    }
}

fn right_coupling(rules: &mut Rules) {
    let rocker = rules.text("/lean_coupling/kind") == Some("rocker");
    if !rocker && rules.value.pointer("/right/lean_coupling").is_some() {
        let message = "the right side names a rocker link, but the machine has no rocker";
        rules.fault(
            "/right/lean_coupling",
            message,
            "only with \"lean_coupling\": {\"kind\": \"rocker\"}",
        );
    }
}
