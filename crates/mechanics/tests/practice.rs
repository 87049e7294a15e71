//! Common practice (no source) found again by the kinematics, not coded in.

mod common;

use common::*;
use kinematics::{Linkage, Machine, Side};
use leanwright_mechanics::{Joint, Over, Quantity, Settings, Stop, Survey};

fn lean_12() -> Over {
    Over::Lean([-12.0, 12.0])
}

/// Leaning the orchard hauler 12° turns mainly the outer wheel inwards.
#[test]
fn lean_turns_mainly_the_outer_wheel_inwards() {
    let linkage = Linkage::new(&hauler()).expect("assembles");
    let survey = Survey::new(&linkage, &settings()).expect("settings make sense");
    let curve = survey.over_lean([-12.0, 12.0], 1.0, 0.0);
    assert_eq!(curve.len(), 25);
    // Leaning right belongs to a right turn: the left wheel is the outer one.
    let right = curve.last().expect("not empty");
    let [outer, inner] = right.steer_deg;
    assert!((outer.abs() - 2.3).abs() < 0.1, "{outer}");
    assert!((inner.abs() - 0.7).abs() < 0.1, "{inner}");
    assert!(
        outer < 0.0,
        "the outer, left wheel turns to the right: inwards"
    );
    let left = curve[0];
    assert!(
        (left.steer_deg[1] + outer).abs() < 1e-9,
        "the other lean mirrors it"
    );
    let worst = answer(&hauler(), &settings(), Quantity::LeanSteer, lean_12());
    assert!((worst.value - outer.abs()).abs() < 1e-9);
    assert_eq!(worst.worst.side, Some(Side::Left));
    assert_eq!(worst.worst.lean_deg, 12.0);
}

/// Moving the rod's outer end inboard lessens it.
#[test]
fn rod_end_further_inboard_steers_less_in_lean() {
    let lean_steer = |inboard: f64| {
        let mut left = corner();
        left.rod_outer.y -= inboard;
        let machine = Machine {
            left,
            right: left.mirrored(),
            ..hauler()
        };
        answer(&machine, &settings(), Quantity::LeanSteer, lean_12()).value
    };
    let values = [0.0, 5.0, 10.0].map(lean_steer);
    assert!(values[0] > values[1] && values[1] > values[2], "{values:?}");
}

/// A rod with the same height fraction at both ends is a third wishbone: almost no bump or lean
/// steer.
#[test]
fn rod_as_a_third_wishbone_steers_least() {
    let mut left = corner();
    // All pivot lines along x, ball joints in one plane x = −80 with the rod's outer end: the rod
    // divides hinge line and kingpin at one fraction of the height.
    let part = 0.4;
    let mix = |a: f64, b: f64| a + (b - a) * part;
    left.lower.ball_joint = v(0.0, 345.0, 170.0);
    left.upper.ball_joint = v(0.0, 316.0, 330.0);
    left.rod_outer = v(-80.0, mix(345.0, 316.0), mix(170.0, 330.0));
    left.rod_inner = v(-80.0, mix(75.0, 95.0), mix(175.0, 330.0));
    let mut machine = hauler();
    machine.left = left;
    machine.right = left.mirrored();
    machine.crank.point = v(-200.0, 0.0, 222.0);
    let of = |m: &Machine, q, over| answer(m, &settings(), q, over).value;
    let bump = |m: &Machine| of(m, Quantity::BumpSteer, Over::Travel([-30.0, 30.0]));
    let lean = |m: &Machine| of(m, Quantity::LeanSteer, lean_12());
    let slope = |m: &Machine| of(m, Quantity::BumpSteerSlope, Over::Design).abs();
    assert!(
        slope(&machine) < 0.1 * slope(&hauler()),
        "{}",
        slope(&machine)
    );
    assert!(bump(&machine) < 0.1 * bump(&hauler()), "{}", bump(&machine));
    assert!(lean(&machine) < 0.2 * lean(&hauler()), "{}", lean(&machine));
}

/// Arms aimed at the rear axle are wrong for two rods on a centre crank: another aim errs less.
#[test]
fn arms_aimed_at_the_rear_axle_are_not_best_for_two_rods() {
    let error = |aim: f64| {
        // The arm's outer end on the line from the kingpin's foot to (−aim, 0).
        let mut left = corner();
        let y = 335.0;
        left.rod_outer = v(-80.0, y * (1.0 - 80.0 / aim), 222.0);
        left.rod_inner = v(-30.0, 45.0, 222.0);
        let mut machine = hauler();
        machine.left = left;
        machine.right = left.mirrored();
        machine.crank.point = v(-130.0, 0.0, 222.0);
        let answer = answer(&machine, &settings(), Quantity::SteeringError, Over::Reach);
        assert_eq!(answer.shortfall, 0.0, "aim {aim}");
        answer.value
    };
    let rear_axle = error(1150.0);
    let best = [500.0, 700.0, 900.0, 1600.0, 2500.0, 5000.0]
        .map(error)
        .into_iter()
        .fold(f64::INFINITY, f64::min);
    assert!(best < 0.8 * rear_axle, "{best} {rear_axle}");
}

/// ±15° ball joints stop at about 12° of lean on a 780 mm track when the wishbones reach the
/// centreline, at 9.5° when they hinge 60 mm out ("30 degrees of joint, 12 degrees of lean").
#[test]
fn joints_of_15_degrees_stop_the_lean_near_12() {
    let stop_at = |hinge: f64| {
        let mut left = corner();
        left.wheel.centre.y = 390.0;
        for arm in [&mut left.lower, &mut left.upper] {
            arm.front_pivot.y = hinge;
            arm.rear_pivot.y = hinge;
            // Level in the design pose.
            arm.front_pivot.z = arm.ball_joint.z;
            arm.rear_pivot.z = arm.ball_joint.z;
        }
        let mut machine = hauler();
        machine.left = left;
        machine.right = left.mirrored();
        let limited = Settings {
            ball_joint_limit_deg: Some(15.0),
            ..settings()
        };
        answer(&machine, &limited, Quantity::LeanRange, Over::Design)
    };
    let (centre, out) = (stop_at(0.0), stop_at(60.0));
    assert!((centre.value - 12.0).abs() < 0.3, "{centre:?}");
    assert!((out.value - 9.5).abs() < 0.3, "{out:?}");
    for answer in [centre, out] {
        let joint = |j| Some(Stop::JointLimit(Side::Left, j));
        let right = |j| Some(Stop::JointLimit(Side::Right, j));
        let named = [Joint::LowerBall, Joint::UpperBall]
            .into_iter()
            .any(|j| answer.worst.stop == joint(j) || answer.worst.stop == right(j));
        assert!(named, "{answer:?}");
    }
}

/// Moving the crank's and the knuckle's end so that rod and crank arm come into line later gives a
/// smaller circle.
#[test]
fn rod_and_arm_in_line_later_turn_tighter() {
    let circle = |longer: f64| {
        let mut left = corner();
        // Both ends forward: a longer arm on the crank against a shorter one on the knuckle.
        left.rod_inner.x += longer;
        left.rod_outer.x += longer;
        let mut machine = hauler();
        machine.left = left;
        machine.right = left.mirrored();
        let over = Over::Lean([0.0, 0.0]);
        let of = |quantity| answer(&machine, &settings(), quantity, over);
        let radius = of(Quantity::TurningRadiusKerb);
        let named = matches!(radius.worst.stop, Some(Stop::CrankInLine(_)));
        assert!(named, "{longer}: {radius:?}");
        (radius.value, of(Quantity::WheelLock).value)
    };
    let found = [0.0, 8.0, 16.0].map(circle);
    assert!(
        found.windows(2).all(|w| w[1].0 < w[0].0 && w[1].1 > w[0].1),
        "{found:?}"
    );
}
