//! Sheaves and points of a cable drive as freedoms of a job.

mod common;

use common::{changed, demo_vehicle, example_job};
use leanwright_design::{Compiled, assessment, parse_job, parse_vehicle};
use serde_json::{Value, json};

const BLOCK: &str = "steering.handlebar";

fn freedoms() -> Value {
    let along = |point: &str, axis: &str| {
        json!({"point": format!("{BLOCK}.{point}"), "axis": axis,
               "offset_from_mm": -12, "offset_to_mm": 12})
    };
    json!([
        {"parameter": format!("{BLOCK}.sheave.radius_mm"), "choices": [30, 40, 55]},
        {"parameter": format!("{BLOCK}.driven.radius_mm"), "choices": [45, 50, 60]},
        along("left_run.1.centre_mm", "z"),
        along("driven.centre_mm", "x"),
        along("sheave.centre_mm", "z"),
        {"point": "steering.rod_outer_mm", "axis": "x", "offset_from_mm": -5, "offset_to_mm": 5,
         "carries": [format!("{BLOCK}.left_run.0.centre_mm")]},
    ])
}

fn job(changes: &[(&str, Value)]) -> Value {
    let all = [
        ("/vehicle", demo_vehicle("orchard-hauler-cables")),
        ("/freedoms", freedoms()),
        ("/holds", json!([])),
        ("/requirements", json!([])),
        (
            "/goals",
            json!([{"minimise": "cable_path_change_mm"}, {"minimise": "cable_stretch_deg"}]),
        ),
    ];
    changed(&changed(&example_job(), &all), changes)
}

fn fault(changes: &[(&str, Value)]) -> (String, String, String) {
    let faults = parse_job(&job(changes).to_string()).expect_err("the job is at fault");
    let first = &faults[0];
    (
        first.pointer.clone(),
        first.message.clone(),
        first.allowed.clone(),
    )
}

/// What the search evaluates is what the vehicle file of the candidate says, assessed anew.
#[test]
fn a_search_moves_cables_and_chooses_sheaves() {
    let job = parse_job(&job(&[]).to_string()).unwrap_or_else(|f| panic!("{f:?}"));
    let compiled = Compiled::new(&job).unwrap_or_else(|f| panic!("{f:?}"));
    let mut scratch = compiled.scratch();
    let mut seen = Vec::new();
    for vector in [
        [0.0; 6],
        [-10.0, 0.0, 0.0, 0.0, 0.0, 0.0],
        [0.0, 10.0, 0.0, 0.0, 0.0, 0.0],
        [0.0, 0.0, 10.0, 0.0, 0.0, 0.0],
        [0.0, 0.0, 0.0, 7.0, 0.0, 0.0],
        [0.0, 0.0, 0.0, 0.0, -9.0, 0.0],
        [15.0, -5.0, -3.0, 4.0, 11.0, 5.0],
    ] {
        let vector = compiled.round(&vector);
        let found = compiled.evaluate(&vector, &mut scratch);
        let candidate = compiled.candidate(&vector);
        let text = serde_json::to_string(&candidate.vehicle).expect("a file");
        assert_eq!(parse_vehicle(&text).as_ref(), Ok(&candidate.vehicle));
        let fresh = assessment(&candidate.vehicle, &job.reach).expect("it assembles");
        for (goal, value) in candidate.goals.iter().zip(&found.goals) {
            let same = |q: &&leanwright_design::QuantityValue| q.quantity == goal.quantity;
            let same = fresh.quantities.iter().find(same).expect("a row");
            assert_eq!(goal.value, Some(*value), "{vector:?}");
            assert_eq!(same.value, goal.value, "{vector:?} {}", goal.quantity);
        }
        seen.push(found.goals);
    }
    // Each of them alone matters to at least one of both goals.
    assert!(seen[1..].iter().all(|goals| *goals != seen[0]), "{seen:?}");
}

/// A candidate says what it moved, and a point carried along moves as far.
#[test]
fn a_candidate_names_its_cables() {
    let job = parse_job(&job(&[]).to_string()).unwrap();
    let compiled = Compiled::new(&job).unwrap();
    let candidate = compiled.candidate(&[-10.0, 10.0, 3.0, 0.0, 0.0, 5.0]);
    let size = |k: usize| {
        (
            candidate.sizes[k].submitted_mm,
            candidate.sizes[k].chosen_mm,
        )
    };
    assert_eq!([size(0), size(1)], [(40.0, 30.0), (50.0, 60.0)]);
    let moved = |name: &str| {
        let point = format!("{BLOCK}.{name}");
        let found = candidate.hardpoints.iter().find(|h| h.point == point);
        found.map(|h| h.offset_mm)
    };
    assert_eq!(moved("left_run.1.centre_mm"), Some([0.0, 0.0, 3.0]));
    assert_eq!(moved("left_run.0.centre_mm"), Some([5.0, 0.0, 0.0]));
    assert_eq!(moved("sheave.centre_mm"), None);
}

#[test]
fn freedoms_of_cables_that_are_not_there_are_refused_by_name() {
    let at = |field: &str| format!("/freedoms/{field}");
    let (pointer, message, _) = fault(&[(
        "/freedoms/2/point",
        json!(format!("{BLOCK}.left_run.2.centre_mm")),
    )]);
    assert_eq!(pointer, at("2/point"));
    assert!(message.contains("gives no point"), "{message}");
    let (pointer, message, _) = fault(&[(
        "/freedoms/2/point",
        json!(format!("{BLOCK}.left_run.9.centre_mm")),
    )]);
    assert_eq!(pointer, at("2/point"));
    assert!(message.contains("no point of a vehicle"), "{message}");
    let (pointer, message, allowed) = fault(&[("/freedoms/0/choices", json!([40, 501]))]);
    assert_eq!(pointer, at("0/choices/1"));
    assert!(allowed.contains("500 mm"), "{message} {allowed}");
    let (pointer, ..) = fault(&[
        ("/freedoms/3/axis", json!("y")),
        ("/freedoms/3/offset_from_mm", json!(-350)),
    ]);
    assert_eq!(pointer, at("3/offset_from_mm"));
    // Without cables there is neither sheave nor guide.
    let direct = [("/vehicle", demo_vehicle("orchard-hauler"))];
    let faults = parse_job(&job(&direct).to_string()).unwrap_err();
    let named: Vec<&str> = faults.iter().map(|f| f.pointer.as_str()).collect();
    for field in ["0/parameter", "1/parameter", "2/point", "5/carries/0"] {
        assert!(named.contains(&at(field).as_str()), "{named:?}");
    }
}

#[test]
fn cables_solve_no_hold_and_have_no_tolerance() {
    let by = json!({"point": format!("{BLOCK}.sheave.centre_mm"), "axis": "x"});
    let hold = json!([{"quantity": "scrub_radius_mm", "value": 0, "by": by}]);
    let (pointer, message, _) = fault(&[("/holds", hold)]);
    assert_eq!(pointer, "/holds/0/by/point");
    assert!(message.contains("solves no hold"), "{message}");
    let points = json!({"points": [{"point": format!("{BLOCK}.sheave.centre_mm"), "sigma_mm": 1}]});
    let (pointer, message, _) = fault(&[("/tolerance", points)]);
    assert_eq!(pointer, "/tolerance/points/0/point");
    assert!(message.contains("left out"), "{message}");
}
