//! Holds, and what is said of a job before its search starts.

mod common;

use common::{changed, example_job, rod_ends};
use leanwright_design::{Compiled, Fault, FindingKind, parse_job};
use serde_json::{Value, json};

fn compiled(job: &Value) -> Compiled {
    let job = parse_job(&job.to_string()).expect("the job is sound");
    Compiled::new(&job).expect("the job compiles")
}

fn refused(job: &Value) -> Vec<Fault> {
    let job = parse_job(&job.to_string()).expect("the job is sound");
    Compiled::new(&job).expect_err("the job is refused")
}

#[test]
fn a_hold_is_met_in_every_candidate() {
    let job = compiled(&example_job());
    for k in 0..20 {
        let part = |i: f64| ((f64::from(k) + 1.0) * i.sqrt()) % 1.0;
        let low = [-40.0, -60.0, -15.0, -60.0, 0.0, 0.0];
        let high = [25.0, 110.0, 70.0, 240.0, 50.0, 60.0];
        let vector: Vec<f64> = (0..6)
            .map(|i| low[i] + part(i as f64 + 2.0) * (high[i] - low[i]))
            .collect();
        let candidate = job.candidate(&job.round(&vector));
        let hold = &candidate.holds[0];
        assert!(hold.reached.abs() < 1e-8, "{hold:?}");
        // The kingpin's line through both ball joints meets the ground below the wheel's middle.
        let (l, u) = (
            candidate.vehicle.lower_wishbone.ball_joint_mm,
            candidate.vehicle.upper_wishbone.ball_joint_mm,
        );
        let foot = l[1] - (u[1] - l[1]) * l[2] / (u[2] - l[2]);
        assert!((foot - 395.0).abs() < 1e-8, "{foot}");
        // What the workshop gets on its grid differs by less than a step's worth.
        let on_grid = hold.on_grid.expect("the job has a grid");
        assert!((on_grid.coordinate_mm - hold.coordinate_mm).abs() <= 0.05 + 1e-9);
        assert!((on_grid.coordinate_mm * 10.0).fract().abs() < 1e-6);
        assert!(on_grid.value.abs() < 0.2, "{on_grid:?}");
    }
}

#[test]
fn several_holds_are_met_together() {
    let job = changed(
        &example_job(),
        &[
            (
                "/holds",
                json!([
                    {"quantity": "scrub_radius_mm", "value": 5,
                     "by": {"point": "lower_wishbone.ball_joint_mm", "axis": "y"}},
                    {"quantity": "kingpin_inclination_deg", "value": 14,
                     "by": {"point": "upper_wishbone.ball_joint_mm", "axis": "y"}},
                    {"quantity": "caster_deg", "value": 8,
                     "by": {"point": "upper_wishbone.ball_joint_mm", "axis": "x"}},
                ]),
            ),
            ("/goals/2", json!({"minimise": "bump_steer_deg"})),
        ],
    );
    let candidate = compiled(&job).candidate(&[0.0; 6]);
    for hold in &candidate.holds {
        assert!((hold.reached - hold.value).abs() < 1e-8, "{hold:?}");
    }
    let (l, u) = (
        candidate.vehicle.lower_wishbone.ball_joint_mm,
        candidate.vehicle.upper_wishbone.ball_joint_mm,
    );
    // Tangents in the front and side projection.
    let inclination = ((l[1] - u[1]) / (u[2] - l[2])).atan().to_degrees();
    let caster = ((l[0] - u[0]) / (u[2] - l[2])).atan().to_degrees();
    assert!((inclination - 14.0).abs() < 1e-8 && (caster - 8.0).abs() < 1e-8);
}

#[test]
fn holds_without_a_solution_are_named() {
    let hold = |quantity: &str, value: f64, point: &str, axis: &str| json!([{"quantity": quantity, "value": value, "by": {"point": point, "axis": axis}}]);
    for (holds, words) in [
        // The hinge does not move the kingpin, and hardpoints don't turn the wheel.
        (
            hold("scrub_radius_mm", 0.0, "lower_wishbone.front_pivot_mm", "y"),
            "no solution",
        ),
        (
            hold("camber_deg", 1.0, "upper_wishbone.ball_joint_mm", "x"),
            "camber_deg is 0",
        ),
        (
            hold("track_mm", 5000.0, "front_wheels.centre_mm", "y"),
            "comes no nearer",
        ),
    ] {
        let faults = refused(&changed(&example_job(), &[("/holds", holds)]));
        assert_eq!(faults[0].pointer, "/holds/0", "{faults:?}");
        assert!(faults[0].message.contains(words), "{faults:?}");
    }
}

#[test]
fn a_goal_that_no_freedom_changes_is_named() {
    let faults = refused(&changed(
        &rod_ends(),
        &[("/goals/2", json!({"minimise": "caster_deg"}))],
    ));
    assert_eq!(faults[0].pointer, "/goals/2");
    assert!(
        faults[0].message.contains("no freedom changes caster_deg"),
        "{faults:?}"
    );
    let held = json!({"minimise": "scrub_radius_mm"});
    let faults = refused(&changed(&example_job(), &[("/goals/2", held)]));
    assert!(faults[0].message.contains("held by /holds/0"), "{faults:?}");
}

#[test]
fn a_requirement_that_every_sample_fails_is_a_finding() {
    let job = changed(&example_job(), &[("/requirements/0/at_most", json!(0.8))]);
    let compiled = compiled(&job);
    let finding = compiled
        .findings()
        .iter()
        .find(|f| f.kind == FindingKind::RequirementFails && f.pointer == "/requirements/0")
        .expect("a finding");
    assert!(
        finding.message.contains("turning_radius_kerb_m"),
        "{finding:?}"
    );
}

#[test]
fn an_idle_freedom_is_a_finding() {
    let mut job = rod_ends();
    let along_its_axis = json!({"point": "steering.crank.point_mm", "axis": "z",
        "offset_from_mm": -10, "offset_to_mm": 10});
    job["freedoms"].as_array_mut().unwrap().push(along_its_axis);
    let compiled = compiled(&job);
    let idle: Vec<&str> = compiled
        .findings()
        .iter()
        .filter(|f| f.kind == FindingKind::FreedomIdle)
        .map(|f| f.pointer.as_str())
        .collect();
    assert_eq!(idle, ["/freedoms/6"]);
}
