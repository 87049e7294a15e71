//! One pose on the wire: fields, signs, and what is refused.

mod common;

use common::{example_job, rocker_vehicle};
use leanwright_design::{PoseError, PoseQuestion, Vehicle, parse_vehicle, pose};

fn hauler() -> Vehicle {
    parse_vehicle(&example_job()["vehicle"].to_string()).expect("the example vehicle is sound")
}

fn rocker() -> Vehicle {
    parse_vehicle(&rocker_vehicle().to_string()).expect("the rocker vehicle is sound")
}

fn question(lean_deg: f64, steer_deg: f64, mean_travel_mm: Option<f64>) -> PoseQuestion {
    PoseQuestion {
        lean_deg,
        steer_deg,
        steer_mm: None,
        mean_travel_mm,
    }
}

#[test]
fn a_positive_crank_turns_these_wheels_right() {
    // The project's own statement for this vehicle: about −4.6° and −5.4°.
    let answer = pose(&hauler(), &question(0.0, 10.0, None)).unwrap();
    assert!(
        (answer.left.heading_deg + 4.6).abs() < 0.1,
        "{}",
        answer.left.heading_deg
    );
    assert!(
        (answer.right.heading_deg + 5.4).abs() < 0.1,
        "{}",
        answer.right.heading_deg
    );
}

#[test]
fn leaning_turns_mainly_the_outer_wheel_inwards() {
    // Common practice, figures of this vehicle by the project: 2.3° against 0.7° at 12°.
    let answer = pose(&hauler(), &question(12.0, 0.0, None)).unwrap();
    let mut turned = [
        answer.left.heading_deg.abs(),
        answer.right.heading_deg.abs(),
    ];
    turned.sort_by(f64::total_cmp);
    assert!(
        (turned[0] - 0.7).abs() < 0.1 && (turned[1] - 2.3).abs() < 0.1,
        "{turned:?}"
    );
}

#[test]
fn the_design_pose_is_the_drawing() {
    let answer = pose(&hauler(), &question(0.0, 0.0, None)).unwrap();
    assert!(answer.frame.height_change_mm.abs() < 1e-9);
    let near = |a: [f64; 3], b: [f64; 3]| (0..3).all(|i| (a[i] - b[i]).abs() < 1e-9);
    assert!(
        near(answer.left.wheel_centre_mm, [0.0, 395.0, 250.0]),
        "{answer:?}"
    );
    assert!(
        near(answer.right.wheel_centre_mm, [0.0, -395.0, 250.0]),
        "{answer:?}"
    );
    assert!(
        near(answer.left.contact_mm, [0.0, 395.0, 0.0]),
        "{answer:?}"
    );
    assert!(
        near(answer.rear.contact_mm, [-1150.0, 0.0, 0.0]),
        "{answer:?}"
    );
    assert!(
        near(answer.left.rod_outer_mm, [-80.0, 322.0, 222.0]),
        "{answer:?}"
    );
}

#[test]
fn the_fields_are_those_agreed() {
    let answer = pose(&hauler(), &question(3.0, 0.0, None)).unwrap();
    let value = serde_json::to_value(&answer).unwrap();
    let keys = |v: &serde_json::Value| {
        v.as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect::<Vec<_>>()
            .join(" ")
    };
    assert_eq!(keys(&value), "frame left rear right");
    assert_eq!(keys(&value["frame"]), "height_change_mm pitch_deg");
    assert_eq!(keys(&value["rear"]), "contact_mm");
    let corner = "contact_mm heading_deg inclination_deg lower_ball_joint_mm rod_outer_mm \
                  upper_ball_joint_mm wheel_centre_mm";
    assert_eq!(keys(&value["left"]), corner);
    assert_eq!(keys(&value["right"]), corner);
}

#[test]
fn travel_disconnects_a_rocker_only_upright_and_straight() {
    let lifted = pose(&rocker(), &question(0.0, 0.0, Some(20.0))).unwrap();
    let mean =
        (lifted.left.lower_ball_joint_mm[2] + lifted.right.lower_ball_joint_mm[2]) / 2.0 - 170.0;
    assert!((mean - 20.0).abs() < 1e-9, "{mean}");
    let refused = pose(&rocker(), &question(5.0, 0.0, Some(20.0)));
    assert!(
        matches!(&refused, Err(PoseError::Input(f)) if f[0].pointer == "/mean_travel_mm"),
        "{refused:?}"
    );
    let asked_for_nothing = pose(&rocker(), &question(5.0, 0.0, Some(0.0))).unwrap();
    assert_eq!(
        asked_for_nothing,
        pose(&rocker(), &question(5.0, 0.0, None)).unwrap()
    );
}

#[test]
fn what_cannot_be_reached_is_named() {
    let far = pose(&hauler(), &question(0.0, 150.0, None));
    let Err(PoseError::Unreachable(why)) = far else {
        panic!("{far:?}")
    };
    assert!(
        why.contains("tie rod") || why.contains("singularity"),
        "{why}"
    );
}

#[test]
fn questions_out_of_range() {
    for (bad, at) in [
        (question(f64::NAN, 0.0, None), "/lean_deg"),
        (question(81.0, 0.0, None), "/lean_deg"),
        (question(0.0, f64::INFINITY, None), "/steer_deg"),
        (question(0.0, 0.0, Some(-501.0)), "/mean_travel_mm"),
    ] {
        let answer = pose(&hauler(), &bad);
        assert!(
            matches!(&answer, Err(PoseError::Input(f)) if f[0].pointer == at),
            "{bad:?}: {answer:?}"
        );
    }
}
