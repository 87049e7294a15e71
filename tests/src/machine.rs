//! A vehicle file read straight into the solver's machine, by hand and without checks.
//!
//! The product reads vehicle files elsewhere, with every fault named. This second reading
//! keeps the comparison with outside references about kinematics alone.

use kinematics::{
    Axis, Corner, Coupling, Handlebar, Layout, Machine, Rocker, Side, V3, Wheel, Wishbone,
};
use serde_json::Value;

/// The machine of a vehicle file that is known to be whole.
///
/// # Panics
/// Names the place where the file lacks a number.
pub fn machine(vehicle: &Value) -> Machine {
    let rear = &vehicle["rear_wheel"];
    let steering = &vehicle["steering"];
    Machine {
        left: corner(vehicle, Side::Left),
        right: corner(vehicle, Side::Right),
        rear: Wheel {
            centre: point(rear, "centre_mm"),
            axis: V3::new(0.0, 1.0, 0.0),
            radius: number(&rear["radius_mm"]),
            section_radius: number(&rear["section_radius_mm"]),
        },
        crank: match steering["rail"].is_object() {
            true => Axis {
                point: V3::new(0.0, 0.0, 0.0),
                direction: point(&steering["rail"], "axis"),
            },
            false => axis(&steering["crank"]),
        },
        coupling: coupling(vehicle),
        layout: layout(steering),
        handlebar: handlebar(&steering["handlebar"]),
    }
}

fn handlebar(block: &Value) -> Option<Handlebar> {
    (block["kind"] == "drag_link").then(|| Handlebar {
        axis: axis(block),
        arm_end: point(block, "arm_end_mm"),
        crank_end: point(block, "crank_end_mm"),
    })
}

fn axis(block: &Value) -> Axis {
    Axis {
        point: point(block, "point_mm"),
        direction: point(block, "axis"),
    }
}

fn layout(steering: &Value) -> Layout {
    let drag = &steering["drag_link"];
    match steering["layout"].as_str() {
        Some("slider") => Layout::Slider,
        Some("idler_parallelogram") => Layout::IdlerParallelogram {
            idler: axis(&steering["idler"]),
            crank_end: point(steering, "crank_end_mm"),
            idler_end: point(steering, "idler_end_mm"),
        },
        Some("cross_rod") => Layout::CrossRod {
            driven: match drag["side"] == "left" {
                true => Side::Left,
                false => Side::Right,
            },
            drag_inner: point(drag, "inner_mm"),
            drag_outer: point(drag, "outer_mm"),
        },
        _ => Layout::CentreCrank,
    }
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("a number is expected, found {value}"))
}

fn point(block: &Value, name: &str) -> V3<f64> {
    V3::from([0, 1, 2].map(|i| number(&block[name][i])))
}

/// A point of one side: the block `right` first, else the mirror image of the left one.
fn side_point(vehicle: &Value, side: Side, block: &str, name: &str) -> V3<f64> {
    let left = point(&vehicle[block], name);
    match side {
        Side::Left => left,
        Side::Right if vehicle["right"][block][name].is_array() => {
            point(&vehicle["right"][block], name)
        }
        Side::Right => left.mirrored(),
    }
}

fn side_number(vehicle: &Value, side: Side, name: &str) -> f64 {
    let own = &vehicle["right"]["front_wheels"][name];
    match side {
        Side::Right if own.is_number() => number(own),
        _ => number(&vehicle["front_wheels"][name]),
    }
}

fn corner(vehicle: &Value, side: Side) -> Corner {
    let arm = |block: &str| Wishbone {
        front_pivot: side_point(vehicle, side, block, "front_pivot_mm"),
        rear_pivot: side_point(vehicle, side, block, "rear_pivot_mm"),
        ball_joint: side_point(vehicle, side, block, "ball_joint_mm"),
    };
    let of_wheel = |name: &str| side_number(vehicle, side, name);
    Corner {
        lower: arm("lower_wishbone"),
        upper: arm("upper_wishbone"),
        rod_inner: match vehicle["steering"]["layout"] == "cross_rod" {
            true => V3::new(0.0, 0.0, 0.0), // not read
            false => side_point(vehicle, side, "steering", "rod_inner_mm"),
        },
        rod_outer: side_point(vehicle, side, "steering", "rod_outer_mm"),
        wheel: Wheel {
            centre: side_point(vehicle, side, "front_wheels", "centre_mm"),
            axis: Wheel::front_axis(
                side,
                of_wheel("toe_in_deg").to_radians(),
                of_wheel("camber_deg").to_radians(),
            ),
            radius: of_wheel("radius_mm"),
            section_radius: of_wheel("section_radius_mm"),
        },
    }
}

fn coupling(vehicle: &Value) -> Coupling {
    let block = &vehicle["lean_coupling"];
    if block["kind"] == "mean_travel" {
        return Coupling::MeanTravel;
    }
    let foot = |side| side_point(vehicle, side, "lean_coupling", "link_foot_mm");
    Coupling::Rocker(Rocker {
        axis: Axis {
            point: point(block, "pivot_mm"),
            direction: point(block, "axis"),
        },
        arm: number(&block["arm_mm"]),
        left_foot: foot(Side::Left),
        right_foot: foot(Side::Right),
    })
}
