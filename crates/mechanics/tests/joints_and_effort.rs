//! Joint angles, rod ends, rise, effort and braking against hand-worked cases.

mod common;

use common::*;
use kinematics::{Linkage, Target};
use leanwright_mechanics::{Brake, Over, Quantity, Survey};

/// Ball joints: the stud stays with the kingpin, the socket turns with the wishbone. On a
/// parallelogram of equal, level wishbones with an upright kingpin the knuckle keeps its
/// attitude, so the angle is the swing of the wishbone: asin(rise / length) (by hand).
#[test]
fn ball_joint_angle_is_the_swing_of_a_parallelogram() {
    let mut machine = hauler();
    let left = &mut machine.left;
    left.lower = wishbone(
        [60.0, 75.0, 170.0],
        [-60.0, 75.0, 170.0],
        [0.0, 345.0, 170.0],
    );
    left.upper = wishbone(
        [60.0, 75.0, 330.0],
        [-60.0, 75.0, 330.0],
        [0.0, 345.0, 330.0],
    );
    machine.right = machine.left.mirrored();
    let swing = (30.0_f64 / 270.0).asin().to_degrees();
    let linkage = Linkage::new(&machine).expect("assembles");
    let survey = Survey::new(&linkage, &settings()).expect("settings make sense");
    let top = survey.over_travel([0.0, 30.0], 5.0);
    let point = top.last().expect("reached");
    for joints in point.ball_joint_deg {
        for angle in joints {
            assert!((angle - swing).abs() < 1e-7, "{angle} {swing}");
        }
    }
    // A socket set 10° inboard of the stud starts with these 10°.
    let mut tilted = settings();
    let ten = 10.0_f64.to_radians();
    tilted.fittings.lower_socket = Some(v(0.0, -ten.sin(), ten.cos()));
    let survey = Survey::new(&linkage, &tilted).expect("settings make sense");
    for side in survey.design().ball_joint_deg {
        assert!((side[0] - 10.0).abs() < 1e-7 && side[1] < 1e-6, "{side:?}");
    }
}

/// Rod ends in the design pose stand at their lower bound |90° − angle(bolt, rod)|, since the
/// clock angle is set best there; elsewhere no end falls below it, and one spin shared by both is
/// found no better by trying them all.
#[test]
fn shared_spin_is_the_best_of_all_spins() {
    let machine = hauler();
    let linkage = Linkage::new(&machine).expect("assembles");
    let survey = Survey::new(&linkage, &settings()).expect("settings make sense");
    let bolts_and_rod = |lean: f64, steer: f64| {
        let pose = linkage
            .pose(&Target {
                lean: lean.to_radians(),
                steer: steer.to_radians(),
                mean_travel: None,
            })
            .expect("reached");
        let c = pose.left;
        // Both bolts: along the crank axis, which is upright, and along the kingpin.
        (
            v(0.0, 0.0, 1.0),
            c.kingpin,
            (c.rod_outer - c.rod_inner).unit(),
        )
    };
    let bound = |bolt: kinematics::V3<f64>, rod: kinematics::V3<f64>| {
        (90.0 - bolt.dot(rod).acos().to_degrees()).abs()
    };
    let (inner, outer, rod) = bolts_and_rod(0.0, 0.0);
    let [a, b] = survey.design().rod_end_deg[0];
    assert!((a - bound(inner, rod)).abs() < 1e-6 && (b - bound(outer, rod)).abs() < 1e-6);
    // The clock angle of the design pose, about the rod from the inner to the outer bolt.
    let about = |bolt: kinematics::V3<f64>, rod: kinematics::V3<f64>| bolt.across(rod).unit();
    let clock = {
        let (p, q) = (about(inner, rod), about(outer, rod));
        rod.dot(p.cross(q)).atan2(p.dot(q))
    };
    for (lean, steer) in [(8.0, 0.0), (-12.0, 10.0), (12.0, -15.0)] {
        let (inner, outer, rod) = bolts_and_rod(lean, steer);
        let x = about(inner, rod);
        let y = rod.cross(x);
        let misaligned = |bolt: kinematics::V3<f64>, psi: f64| {
            let eye = x.scale(psi.cos()) + y.scale(psi.sin());
            bolt.dot(eye).abs().min(1.0).acos().to_degrees()
        };
        let worse = |psi: f64| misaligned(inner, psi).max(misaligned(outer, psi + clock));
        let tried = (0..36_000)
            .map(|i| worse(f64::from(i) * 5e-3_f64.to_radians()))
            .fold(f64::INFINITY, f64::min);
        let curve = survey.over_lean([lean.min(0.0), lean.max(0.0)], 1.0, steer);
        let point = curve
            .iter()
            .find(|p| (p.lean_deg - lean).abs() < 1e-9)
            .expect("reached");
        let [a, b] = point.rod_end_deg[0];
        assert!((a.max(b) - tried).abs() < 6e-3, "{a} {b} {tried}");
        assert!(a >= bound(inner, rod) - 1e-7 && b >= bound(outer, rod) - 1e-7);
    }
}

/// Handlebar torque by virtual work is the slope of the potential energy W·z over the handlebar,
/// here by a five-point difference of poses solved from the design pose each time.
#[test]
fn torque_is_the_slope_of_the_potential_energy() {
    let machine = hauler();
    let mut geared = settings();
    geared.fittings.handlebar_per_crank = Some(1.6);
    let linkage = Linkage::new(&machine).expect("assembles");
    let survey = Survey::new(&linkage, &geared).expect("settings make sense");
    let height = |lean: f64, crank: f64| {
        let pose = linkage
            .pose(&Target {
                lean,
                steer: crank,
                mean_travel: None,
            })
            .expect("reached");
        pose.up.dot(masses().centre_of_gravity) + pose.height
    };
    for lean in [0.0, 6.0, -10.0] {
        for point in survey
            .over_curvature(lean, &[-0.15, 0.08, 0.2])
            .into_iter()
            .flatten()
        {
            let (lean, crank) = (point.lean_deg.to_radians(), point.crank_deg.to_radians());
            let z = |k: f64| height(lean, crank + k * 2e-3);
            let slope = (z(-2.0) - 8.0 * z(-1.0) + 8.0 * z(1.0) - z(2.0)) / (12.0 * 2e-3);
            let torque = 170.0 * 9.80665e-3 * slope / 1.6 * crank.signum();
            let found = point.handlebar_torque_nm.expect("masses are given");
            assert!((found - torque).abs() < 1e-4, "{found} {torque}");
            let rise = height(lean, crank) - height(lean, 0.0);
            assert!((point.rise_mm.expect("masses are given") - rise).abs() < 1e-7);
        }
    }
}

/// With an upright kingpin the brake-steer arm is the scrub radius, positive when braking turns
/// the wheel outward; a brake on the frame acts at the wheel centre, where the arm is the kingpin
/// offset (by hand). Two equal brakes cancel at the handlebar; one gives the yaw moment of half a
/// track.
#[test]
fn brake_arms_of_an_upright_kingpin() {
    let mut machine = hauler();
    let left = &mut machine.left;
    left.lower.ball_joint = v(0.0, 345.0, 170.0);
    left.upper.ball_joint = v(0.0, 345.0, 330.0);
    machine.right = machine.left.mirrored();
    let of = |s: &_, quantity| answer(&machine, s, quantity, Over::Design).value;
    let mut s = settings();
    assert!((of(&s, Quantity::BrakeSteerArm) - 50.0).abs() < 1e-9);
    assert!(of(&s, Quantity::BrakeSteerBothWheels) < 1e-9);
    assert!((of(&s, Quantity::BrakeYaw) - 395.0).abs() < 1e-9);
    let one = of(&s, Quantity::BrakeSteerOneWheel);
    let ratio = of(&s, Quantity::SteeringRatio);
    // The knuckle turns 1/ratio of the handlebar where the kingpin is upright.
    assert!((one * ratio - 50.0).abs() < 1e-3, "{one} {ratio}");
    // Axis outboard of the contact: braking turns the wheel inward.
    machine.left.wheel.centre.y = 325.0;
    machine.right = machine.left.mirrored();
    let of = |s: &_, quantity| answer(&machine, s, quantity, Over::Design).value;
    assert!((of(&s, Quantity::BrakeSteerArm) + 20.0).abs() < 1e-9);
    s.fittings.brake = Brake::Frame;
    assert!(
        (of(&s, Quantity::BrakeSteerArm) + 20.0).abs() < 1e-9,
        "no inclination, no change"
    );
    machine.left.upper.ball_joint.y = 313.0;
    machine.right = machine.left.mirrored();
    let of = |s: &_, quantity| answer(&machine, s, quantity, Over::Design).value;
    let offset = of(&s, Quantity::KingpinOffset);
    let tilt = of(&s, Quantity::KingpinInclination).to_radians().cos();
    assert!((of(&s, Quantity::BrakeSteerArm) - offset * tilt).abs() < 1e-9);
}

/// Steady lean: tan φ = v²/(g r), 10 m/s at 10 m → 45.6°; 12 m/s at 30 m → 26.1° (seen).
#[test]
fn reach_leans_into_balanced_turns() {
    let mut s = settings();
    for (speed, radius, lean) in [(10.0, 10.0, 45.6), (12.0, 30.0, 26.1)] {
        s.reach.speed_mps = [speed, speed];
        s.reach.radius_m = [radius, radius];
        s.reach.lean_limit_deg = 60.0;
        let at = |lean: f64| s.reach.curvatures_per_m(lean);
        // The one corner has its own curvature, and no other lean is in reach.
        let exact = (speed * speed / (9.80665 * radius)).atan().to_degrees();
        assert!((exact - lean).abs() < 0.05);
        let [low, high] = at(exact).expect("the corner is in reach");
        assert!((low - 1.0 / radius).abs() < 1e-9 && (high - 1.0 / radius).abs() < 1e-9);
        assert!(at(exact + 0.1).is_none() && at(exact - 0.1).is_none());
    }
}
