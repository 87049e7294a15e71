//! Properties of the other steering layouts.

mod common;

use common::orchard_hauler;
use leanwright_kinematics::{
    Axis, Coupling, DesignFault, Drive, Failure, Layout, Linkage, Loop, Machine, Pose, Side,
    Target, V3,
};

fn slider() -> Machine {
    let mut m = orchard_hauler();
    m.crank.direction = V3::new(0.0, 1.0, 0.0);
    m.layout = Layout::Slider;
    m
}

fn parallelogram() -> Machine {
    let mut m = orchard_hauler();
    m.crank.point = V3::new(-180.0, 90.0, 222.0);
    m.layout = Layout::IdlerParallelogram {
        idler: Axis {
            point: V3::new(-180.0, -90.0, 222.0),
            direction: V3::new(0.0, 0.0, 1.0),
        },
        crank_end: V3::new(-80.0, 90.0, 222.0),
        idler_end: V3::new(-80.0, -90.0, 222.0),
    };
    m
}

fn cross_rod(driven: Side) -> Machine {
    let mut m = orchard_hauler();
    let y = if driven == Side::Left { 1.0 } else { -1.0 };
    m.layout = Layout::CrossRod {
        driven,
        drag_inner: V3::new(-70.0, y * 20.0, 240.0),
        drag_outer: V3::new(-60.0, y * 320.0, 235.0),
    };
    m
}

fn all() -> Vec<Machine> {
    vec![
        slider(),
        parallelogram(),
        cross_rod(Side::Left),
        cross_rod(Side::Right),
    ]
}

fn target(machine: &Machine, lean_deg: f64, turn: f64) -> Target {
    let steer = if machine.layout == Layout::Slider {
        40.0 * turn
    } else {
        turn
    };
    Target {
        lean: lean_deg.to_radians(),
        steer,
        mean_travel: None,
    }
}

fn length(a: V3<f64>, b: V3<f64>) -> f64 {
    (a - b).norm()
}

#[test]
fn every_rod_keeps_its_length_and_every_wheel_stands() {
    for machine in all() {
        let linkage = Linkage::new(&machine).unwrap();
        let design = *linkage.design_pose();
        for lean in [-10.0, 0.0, 6.0] {
            for turn in [-0.4, -0.1, 0.0, 0.3] {
                let pose = linkage.pose(&target(&machine, lean, turn)).unwrap();
                for side in [Side::Left, Side::Right] {
                    let (at, drawn) = (pose.corner(side), design.corner(side));
                    let rod = length(drawn.rod_inner, drawn.rod_outer);
                    assert!((length(at.rod_inner, at.rod_outer) - rod).abs() < 1e-9);
                    let steering_arm = length(drawn.rod_outer, drawn.centre);
                    assert!((length(at.rod_outer, at.centre) - steering_arm).abs() < 1e-9);
                    assert!((at.contact.dot(pose.up) + pose.height).abs() < 1e-9);
                }
                if let (Some(at), Some(drawn)) = (pose.drag, design.drag) {
                    assert!(
                        (length(at.inner, at.outer) - length(drawn.inner, drawn.outer)).abs()
                            < 1e-9
                    );
                    assert!(
                        length(pose.left.rod_inner, pose.right.rod_outer) < 1e-12,
                        "one rod seen twice"
                    );
                }
            }
        }
    }
}

#[test]
fn steer_rates_agree_with_differences() {
    for machine in all() {
        let linkage = Linkage::new(&machine).unwrap();
        let at = |turn: f64| -> Pose<f64> { linkage.pose(&target(&machine, 8.0, turn)).unwrap() };
        let step = 1e-4;
        let rates = linkage.steer_rates(&at(0.2), &Drive::new(&target(&machine, 8.0, 0.2)));
        let width = target(&machine, 8.0, 2.0 * step).steer;
        for (i, side) in [Side::Left, Side::Right].into_iter().enumerate() {
            let difference =
                (at(0.2 + step).steer_angle(side) - at(0.2 - step).steer_angle(side)) / width;
            let size = rates[i].abs();
            assert!(
                (difference - rates[i]).abs() < 1e-5 * size,
                "{difference} {}",
                rates[i]
            );
        }
    }
}

#[test]
fn a_slider_moves_both_rod_ends_alike() {
    let machine = slider();
    let linkage = Linkage::new(&machine).unwrap();
    let pose = linkage
        .pose(&Target {
            lean: 0.0,
            steer: 12.0,
            mean_travel: None,
        })
        .unwrap();
    assert_eq!(pose.left.rod_inner, V3::new(-80.0, 42.0, 222.0));
    assert_eq!(pose.right.rod_inner, V3::new(-80.0, -18.0, 222.0));
}

/// A true parallelogram carries its centre link without turning it: every point of the link
/// moves as the crank's end moves (first principles).
#[test]
fn a_true_parallelogram_only_shifts_its_centre_link() {
    let machine = parallelogram();
    let linkage = Linkage::new(&machine).unwrap();
    let pose = linkage
        .pose(&Target {
            lean: 0.0,
            steer: 0.3,
            mean_travel: None,
        })
        .unwrap();
    let shift = V3::new(100.0 * (0.3f64.cos() - 1.0), 100.0 * 0.3f64.sin(), 0.0);
    assert!(length(pose.left.rod_inner, machine.left.rod_inner + shift) < 1e-10);
    assert!(length(pose.right.rod_inner, machine.right.rod_inner + shift) < 1e-10);
}

#[test]
fn a_mirrored_cross_rod_machine_moves_as_the_mirror_image() {
    let (left, right) = (cross_rod(Side::Left), cross_rod(Side::Right));
    let pose = |m: &Machine, lean: f64, turn: f64| {
        Linkage::new(m)
            .unwrap()
            .pose(&target(m, lean, turn))
            .unwrap()
    };
    let (one, other) = (pose(&left, 7.0, 0.2), pose(&right, -7.0, -0.2));
    assert!(length(one.left.contact, other.right.contact.mirrored()) < 1e-8);
    assert!(length(one.right.rod_outer, other.left.rod_outer.mirrored()) < 1e-8);
}

#[test]
fn failures_name_the_layouts_own_loops() {
    let machine = cross_rod(Side::Left);
    let why = Linkage::new(&machine)
        .unwrap()
        .pose(&target(&machine, 0.0, 2.9))
        .unwrap_err();
    let named = |l: Loop| matches!(l, Loop::DragLink(Side::Left) | Loop::CrossRod(Side::Right));
    assert!(
        matches!(why, Failure::CannotAssemble { which, .. } if named(which)),
        "{why}"
    );
    let mut machine = parallelogram();
    if let Layout::IdlerParallelogram { idler_end, .. } = &mut machine.layout {
        *idler_end = V3::new(-180.0, -90.0, 222.0);
    }
    assert_eq!(
        Linkage::new(&machine).unwrap_err(),
        DesignFault::CentreLinkShape
    );
    let mut machine = slider();
    machine.crank.direction = V3::new(0.0, 0.0, 0.0);
    assert_eq!(Linkage::new(&machine).unwrap_err(), DesignFault::ZeroAxis);
}

/// Common practice, no source: one cross rod is neutral in lean when the wishbones hinge on
/// the centreline, and not otherwise.
#[test]
fn one_cross_rod_is_neutral_in_lean_with_hinges_on_the_centreline() {
    let lean_steer = |hinge_y: f64| {
        let mut m = cross_rod(Side::Left);
        for w in [&mut m.left.lower, &mut m.left.upper] {
            (w.front_pivot.y, w.rear_pivot.y) = (hinge_y, hinge_y);
        }
        // Wishbones alike and level, the cross rod level with the lower ball joint's height share.
        m.left.upper.ball_joint.y = m.left.lower.ball_joint.y;
        m.left.lower.ball_joint.z = 175.0;
        m.left.upper.ball_joint.x = m.left.lower.ball_joint.x;
        m.left.rod_outer = V3::new(-80.0, 345.0, 222.0);
        m.right = m.left.mirrored();
        m.coupling = Coupling::MeanTravel;
        let linkage = Linkage::new(&m).unwrap();
        let pose = linkage
            .pose(&Target {
                lean: 0.2,
                steer: 0.0,
                mean_travel: None,
            })
            .unwrap();
        (pose.steer_angle(Side::Right) - pose.steer_angle(Side::Left))
            .to_degrees()
            .abs()
    };
    assert!(lean_steer(0.0) < 1e-6, "{}", lean_steer(0.0));
    assert!(lean_steer(75.0) > 0.05, "{}", lean_steer(75.0));
}
