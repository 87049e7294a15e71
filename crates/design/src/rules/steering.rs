//! Rules of the steering: rods with length, ends off their axes, points on their own side.

use super::Rules;
use super::vehicle::{COINCIDE, Side, off_line};
use kinematics::V3;

/// A centre link nearer to its crank axis than this cannot be driven, radians.
const ALONG: f64 = 0.01;

/// Rules of the rods of one side.
pub(super) fn of_side(rules: &mut Rules, side: Side) {
    let Some(layout) = rules.text("/steering/layout").map(str::to_owned) else {
        return;
    };
    match layout.as_str() {
        "cross_rod" => no_inner_end(rules, side),
        _ => tie_rod(rules, side, layout == "centre_crank"),
    }
}

/// Rules of what stands once in the machine.
pub(super) fn of_machine(rules: &mut Rules) {
    match rules.text("/steering/layout") {
        Some("cross_rod") => drag_link(rules),
        Some("idler_parallelogram") => centre_link(rules),
        _ => {}
    }
}

pub(super) fn axis(rules: &Rules, block: &str) -> Option<[V3<f64>; 2]> {
    let point = rules.triple(&format!("{block}/point_mm"))?;
    let axis = rules.triple(&format!("{block}/axis"))?;
    let [point, axis] = [point, axis].map(V3::from);
    (axis.norm() > 0.0).then_some([point, axis])
}

pub(super) fn point(rules: &Rules, at: &str) -> Option<V3<f64>> {
    rules.triple(at).map(V3::from)
}

fn tie_rod(rules: &mut Rules, side: Side, on_crank: bool) {
    let Some(inner) = side.point(rules, "steering/rod_inner_mm") else {
        return;
    };
    let at = side.pointer(rules, "steering/rod_inner_mm");
    let crank = axis(rules, "/steering/crank").filter(|_| on_crank);
    if crank.is_some_and(|[on, along]| off_line(inner, on, along) < COINCIDE) {
        let message = format!(
            "the inner end of the {} tie rod lies on the crank axis",
            side.name()
        );
        rules.fault(&at, message, "at least 1 mm away from the crank axis");
    }
    let outer = side.point(rules, "steering/rod_outer_mm");
    if outer.is_some_and(|outer| (outer - inner).norm() < COINCIDE) {
        let message = format!("both ends of the {} tie rod are in one place", side.name());
        rules.fault(&at, message, "at least 1 mm away from rod_outer_mm");
    }
}

fn no_inner_end(rules: &mut Rules, side: Side) {
    let at = "/right/steering/rod_inner_mm";
    if side.right && rules.value.pointer(at).is_some() {
        let message = "the right side names an inner rod end, but a cross rod has none";
        rules.fault(at, message, "with \"cross_rod\" only rod_outer_mm");
    }
}

fn drag_link(rules: &mut Rules) {
    let [inner_at, outer_at] = ["inner_mm", "outer_mm"].map(|n| format!("/steering/drag_link/{n}"));
    let (inner, outer) = (point(rules, &inner_at), point(rules, &outer_at));
    if let Some((inner, [on, along])) = inner.zip(axis(rules, "/steering/crank"))
        && off_line(inner, on, along) < COINCIDE
    {
        let message = "the drag link's end lies on the crank axis";
        rules.fault(&inner_at, message, "at least 1 mm away from the crank axis");
    }
    if inner
        .zip(outer)
        .is_some_and(|(a, b)| (a - b).norm() < COINCIDE)
    {
        let message = "both ends of the drag link are in one place";
        rules.fault(&inner_at, message, "at least 1 mm away from outer_mm");
    }
    let side = match rules.text("/steering/drag_link/side") {
        Some("left") => Side { right: false },
        Some("right") => Side { right: true },
        _ => return,
    };
    let Some(outer) = outer else { return };
    if (outer.y > 0.0) == side.right && outer.y != 0.0 {
        let message = format!(
            "the drag link's end does not lie on the {} side",
            side.name()
        );
        let allowed = match side.right {
            true => "y at most 0 mm, as its side is right",
            false => "y at least 0 mm, as its side is left",
        };
        rules.fault(&outer_at, message, allowed);
    }
    let lower = side.point(rules, "lower_wishbone/ball_joint_mm");
    let upper = side.point(rules, "upper_wishbone/ball_joint_mm");
    if let Some((lower, upper)) = lower.zip(upper)
        && (upper - lower).norm() >= COINCIDE
        && off_line(outer, lower, upper - lower) < COINCIDE
    {
        let message = format!("the drag link's end lies on the {} kingpin", side.name());
        rules.fault(
            &outer_at,
            message,
            "at least 1 mm away from the line through both ball joints",
        );
    }
}

fn centre_link(rules: &mut Rules) {
    let crank = axis(rules, "/steering/crank");
    let own_idler = rules.value.pointer("/steering/idler").is_some();
    let idler = match own_idler {
        true => axis(rules, "/steering/idler"),
        false => crank.map(|[p, a]| [p.mirrored(), a.mirrored()]),
    };
    let crank_end_at = "/steering/crank_end_mm";
    let crank_end = point(rules, crank_end_at);
    let own_end = rules.value.pointer("/steering/idler_end_mm").is_some();
    let (idler_end_at, idler_end) = match own_end {
        true => (
            "/steering/idler_end_mm",
            point(rules, "/steering/idler_end_mm"),
        ),
        false => (crank_end_at, crank_end.map(V3::mirrored)),
    };
    for (at, end, axis, name) in [
        (crank_end_at, crank_end, crank, "crank"),
        (idler_end_at, idler_end, idler, "idler"),
    ] {
        if let Some((end, [on, along])) = end.zip(axis)
            && off_line(end, on, along) < COINCIDE
        {
            let message = format!("the centre link's end lies on the {name}'s axis");
            rules.fault(at, message, "at least 1 mm away from that axis");
        }
    }
    let Some((from, to)) = crank_end.zip(idler_end) else {
        return;
    };
    let link = to - from;
    if link.norm() < COINCIDE {
        let message = "both ends of the centre link are in one place";
        return rules.fault(
            idler_end_at,
            message,
            "at least 1 mm away from crank_end_mm",
        );
    }
    let lies_along = crank
        .is_some_and(|[_, along]| link.cross(along).norm() < ALONG * link.norm() * along.norm());
    if lies_along {
        let message = "the centre link lies along the crank axis, so that no crank moves it";
        rules.fault(idler_end_at, message, "across the crank axis");
    }
}
