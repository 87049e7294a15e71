//! Properties of solved poses on the invented workshop's first frame.

mod common;

use common::{orchard_hauler, with_rocker};
use leanwright_kinematics::{Drive, Failure, Linkage, Pose, Side, Target, V3};

fn target(lean_deg: f64, steer_deg: f64, mean_travel: Option<f64>) -> Target {
    Target {
        lean: lean_deg.to_radians(),
        steer: steer_deg.to_radians(),
        mean_travel,
    }
}

fn steer_deg(pose: &Pose<f64>) -> [f64; 2] {
    [Side::Left, Side::Right].map(|s| pose.steer_angle(s).to_degrees())
}

/// The sign is stated with the agreed example: a positive crank turns these wheels right.
#[test]
fn a_positive_crank_turns_the_wheels_right_with_the_arms_behind() {
    let linkage = Linkage::new(&orchard_hauler()).unwrap();
    let found = steer_deg(&linkage.pose(&target(0.0, 10.0, None)).unwrap());
    assert!(
        (found[0] + 4.6).abs() < 0.06 && (found[1] + 5.4).abs() < 0.06,
        "{found:?}"
    );
}

#[test]
fn every_length_is_kept_and_every_wheel_stands_on_the_ground() {
    for machine in [orchard_hauler(), with_rocker()] {
        let linkage = Linkage::new(&machine).unwrap();
        for lean in [-12.0, -5.0, 0.0, 3.0, 12.0] {
            for steer in [-30.0, -10.0, 0.0, 20.0] {
                let pose = linkage.pose(&target(lean, steer, None)).unwrap();
                for (side, drawn) in [(Side::Left, &machine.left), (Side::Right, &machine.right)] {
                    let at = pose.corner(side);
                    let kept = |a: V3<f64>, b: V3<f64>, c: V3<f64>, d: V3<f64>| {
                        assert!(((a - b).norm() - (c - d).norm()).abs() < 1e-9);
                    };
                    kept(at.rod_outer, at.rod_inner, drawn.rod_outer, drawn.rod_inner);
                    kept(
                        at.lower,
                        at.upper,
                        drawn.lower.ball_joint,
                        drawn.upper.ball_joint,
                    );
                    kept(
                        at.lower,
                        drawn.lower.front_pivot,
                        drawn.lower.ball_joint,
                        drawn.lower.front_pivot,
                    );
                    kept(
                        at.upper,
                        drawn.upper.rear_pivot,
                        drawn.upper.ball_joint,
                        drawn.upper.rear_pivot,
                    );
                    kept(at.centre, at.rod_outer, drawn.wheel.centre, drawn.rod_outer);
                    assert!((at.contact.dot(pose.up) + pose.height).abs() < 1e-9);
                }
                assert!((pose.rear_contact.dot(pose.up) + pose.height).abs() < 1e-9);
            }
        }
    }
}

#[test]
fn the_mirror_image_of_a_pose_is_the_pose_of_the_mirrored_drives() {
    for machine in [orchard_hauler(), with_rocker()] {
        let linkage = Linkage::new(&machine).unwrap();
        let one = linkage.pose(&target(9.0, 20.0, None)).unwrap();
        let other = linkage.pose(&target(-9.0, -20.0, None)).unwrap();
        let near =
            |a: V3<f64>, b: V3<f64>| assert!((a - b.mirrored()).norm() < 1e-8, "{a:?} {b:?}");
        near(one.left.contact, other.right.contact);
        near(one.right.upper, other.left.upper);
        near(one.right.rod_outer, other.left.rod_outer);
        assert!((one.height - other.height).abs() < 1e-9);
    }
}

#[test]
fn the_mean_rise_of_the_lower_ball_joints_is_the_one_asked_for() {
    let machine = with_rocker();
    let linkage = Linkage::new(&machine).unwrap();
    let pose = linkage.pose(&target(0.0, 0.0, Some(25.0))).unwrap();
    let rise = (pose.left.lower.z + pose.right.lower.z) / 2.0 - 170.0;
    assert!((rise - 25.0).abs() < 1e-9);
    assert!(pose.height < -20.0, "the wheels rise, so the frame sinks");
}

#[test]
fn the_rocker_keeps_its_links() {
    let linkage = Linkage::new(&with_rocker()).unwrap();
    let pose = linkage.pose(&target(10.0, 15.0, None)).unwrap();
    let design = V3::new(0.0f64, 150.0, 420.0) - V3::new(10.0, 190.0, 200.0);
    // Feet turn with the lower wishbones about hinges along x.
    let foot = |side: Side, sign: f64| {
        let turn = pose.corner(side).lower_turn;
        let pivot = V3::new(10.0, sign * 75.0, 175.0);
        pivot
            + V3::new(0.0, sign * 115.0, 25.0).rotated(linkage.hinge(side, false), turn[0], turn[1])
    };
    let (left, right) = (foot(Side::Left, 1.0), foot(Side::Right, -1.0));
    // Both links fit one rocker angle: scan for it.
    let fits = |a: f64| {
        let end = V3::new(0.0, 150.0 * a.cos(), 150.0 * a.sin());
        let top = V3::new(0.0, 0.0, 420.0);
        let off = |p: V3<f64>| (p.norm() - design.norm()).abs();
        off(top + end - left).max(off(top - end - right))
    };
    let best = (-400_000..400_000)
        .map(|i| fits(f64::from(i) * 1e-6))
        .fold(f64::MAX, f64::min);
    assert!(best < 2e-4, "{best}");
}

#[test]
fn steer_rates_agree_with_differences() {
    for machine in [orchard_hauler(), with_rocker()] {
        let linkage = Linkage::new(&machine).unwrap();
        let at = |s: f64| linkage.pose(&target(8.0, s, None)).unwrap();
        let rates = linkage.steer_rates(&at(12.0), &Drive::new(&target(8.0, 12.0, None)));
        for (i, side) in [Side::Left, Side::Right].into_iter().enumerate() {
            let difference =
                (at(12.01).steer_angle(side) - at(11.99).steer_angle(side)) / 0.02f64.to_radians();
            assert!(
                (difference - rates[i]).abs() < 1e-6,
                "{difference} {}",
                rates[i]
            );
        }
    }
}

#[test]
fn a_pose_beyond_reach_names_the_loop() {
    let linkage = Linkage::new(&orchard_hauler()).unwrap();
    let why = linkage.pose(&target(0.0, 170.0, None)).unwrap_err();
    assert!(matches!(why, Failure::CannotAssemble { .. }), "{why}");
    assert!(
        why.to_string().contains("tie rod comes to its dead centre"),
        "{why}"
    );
    let why = linkage.pose(&target(80.0, 0.0, None)).unwrap_err();
    assert!(!why.to_string().is_empty());
}

/// Common practice, no source: leaning turns mainly the outer wheel inwards on such a frame.
#[test]
fn leaning_turns_mainly_the_outer_wheel_inwards() {
    let linkage = Linkage::new(&orchard_hauler()).unwrap();
    let found = steer_deg(&linkage.pose(&target(-12.0, 0.0, None)).unwrap());
    let [inner, outer] = found; // leaned into a left turn
    assert!(
        (inner.abs() - 0.7).abs() < 0.1 && (outer.abs() - 2.3).abs() < 0.1,
        "{found:?}"
    );
}
