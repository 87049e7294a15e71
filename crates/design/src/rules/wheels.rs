//! Rules of wheels and weight: on the ground, in their places, inside the triangle.

use super::Rules;
use super::vehicle::Side;
use crate::fault::figure;
use kinematics::V3;

/// A wheel's lowest point may lie this far from the ground of the drawing, mm: the design pose is
/// then settled on the ground.
pub(crate) const OFF_GROUND: f64 = 25.0;

pub(super) fn front(rules: &mut Rules, side: Side) {
    let number = |rules: &Rules, name: &str| side.number(rules, &format!("front_wheels/{name}"));
    let centre = side.point(rules, "front_wheels/centre_mm");
    let at = side.pointer(rules, "front_wheels/centre_mm");
    let section_at = side.pointer(rules, "front_wheels/section_radius_mm");
    let sizes = number(rules, "radius_mm").zip(number(rules, "section_radius_mm"));
    let camber = number(rules, "camber_deg").unwrap_or(0.0);
    sizes_and_ground(rules, [&at, &section_at], centre, sizes, camber);
    let Some(centre) = centre else { return };
    if centre.y.abs() < 50.0 {
        let message = format!(
            "the {} front wheel stands in the middle of the machine",
            side.name()
        );
        rules.fault(
            &at,
            message,
            "at least 50 mm away from the middle; millimetres are meant",
        );
    }
    let rear = rules.triple("/rear_wheel/centre_mm");
    if rear.is_some_and(|rear| centre.x - rear[0] < 100.0) {
        let message = format!(
            "the rear wheel must stand behind the {} front wheel",
            side.name()
        );
        let allowed = "x at least 100 mm below that of the front wheels; millimetres are meant";
        rules.fault("/rear_wheel/centre_mm", message, allowed);
    }
}

pub(super) fn rear(rules: &mut Rules) {
    let centre = rules.triple("/rear_wheel/centre_mm").map(V3::from);
    let sizes = rules
        .number("/rear_wheel/radius_mm")
        .zip(rules.number("/rear_wheel/section_radius_mm"));
    let pointers = ["/rear_wheel/centre_mm", "/rear_wheel/section_radius_mm"];
    sizes_and_ground(rules, pointers, centre, sizes, 0.0);
}

fn sizes_and_ground(
    rules: &mut Rules,
    [centre_at, section_at]: [&str; 2],
    centre: Option<V3<f64>>,
    sizes: Option<(f64, f64)>,
    camber_deg: f64,
) {
    let Some((radius, section)) = sizes.filter(|(radius, _)| *radius > 0.0) else {
        return;
    };
    if section >= radius {
        let message = "the section radius is not below the wheel's radius";
        return rules.fault(section_at, message, &format!("below {} mm", figure(radius)));
    }
    let Some(centre) = centre else { return };
    let lowest = centre.z - (radius - section) * libm::cos(camber_deg.to_radians()) - section;
    let allowed = format!("the wheel's lowest point within {OFF_GROUND} mm of the ground, z = 0");
    if lowest < -OFF_GROUND {
        let message = format!(
            "the wheel reaches {} mm below the ground",
            figure(libm::round(-lowest))
        );
        rules.fault(centre_at, message, &allowed);
    } else if lowest > OFF_GROUND {
        let message = format!(
            "the wheel hangs {} mm above the ground",
            figure(libm::round(lowest))
        );
        rules.fault(centre_at, message, &allowed);
    }
}

pub(super) fn centre_of_gravity(rules: &mut Rules, at: &str) {
    let (Some(centre), Some(left), Some(right), Some(rear)) = (
        rules.triple(at),
        Side { right: false }.point(rules, "front_wheels/centre_mm"),
        Side { right: true }.point(rules, "front_wheels/centre_mm"),
        rules.triple("/rear_wheel/centre_mm").map(V3::from),
    ) else {
        return;
    };
    // Which side of the line from a to b the centre of gravity lies on, seen from above.
    let beside =
        |a: V3<f64>, b: V3<f64>| (b.x - a.x) * (centre[1] - a.y) - (b.y - a.y) * (centre[0] - a.x);
    let inside = beside(left, rear) > 0.0 && beside(rear, right) > 0.0 && beside(right, left) > 0.0;
    if !inside {
        let message = match centre[0] < rear.x {
            true => "the centre of gravity lies behind the rear wheel",
            false => "the centre of gravity lies outside the triangle of the wheels",
        };
        rules.fault(
            at,
            message,
            "inside the triangle of the wheel centres, seen from above",
        );
    }
    if centre[2] <= 0.0 {
        rules.fault(
            at,
            "the centre of gravity lies below the ground",
            "z above 0 mm",
        );
    }
}
