//! Left and right: mirrored where nothing else is given, apart where it is.

mod common;

use common::{changed, example_job, rod_ends, welded_vehicle};
use leanwright_design::{Candidate, Compiled, PoseQuestion, parse_job, parse_vehicle, pose};
use serde_json::{Value, json};

fn compiled(job: &Value) -> Compiled {
    let job = parse_job(&job.to_string()).expect("the job is sound");
    Compiled::new(&job).expect("the job compiles")
}

fn moved<'a>(candidate: &'a Candidate, point: &str) -> &'a leanwright_design::Hardpoint {
    candidate
        .hardpoints
        .iter()
        .find(|h| h.point == point)
        .unwrap_or_else(|| panic!("{point} has not moved: {:?}", candidate.hardpoints))
}

#[test]
fn sides_of_a_measured_machine_move_apart() {
    let mut job = changed(&rod_ends(), &[("/vehicle", welded_vehicle())]);
    job["freedoms"] = json!([
        {"point": "steering.rod_outer_mm", "axis": "y", "offset_from_mm": -9, "offset_to_mm": 9},
        {"point": "right.steering.rod_outer_mm", "axis": "y", "offset_from_mm": -9,
         "offset_to_mm": 9},
        {"point": "upper_wishbone.front_pivot_mm", "axis": "y", "offset_from_mm": -9,
         "offset_to_mm": 9},
    ]);
    let candidate = compiled(&job).candidate(&[2.0, 3.0, 1.0]);
    let left = moved(&candidate, "steering.rod_outer_mm");
    let right = moved(&candidate, "right.steering.rod_outer_mm");
    let hinge = moved(&candidate, "upper_wishbone.front_pivot_mm");
    assert_eq!((left.offset_mm, left.mirrored), ([0.0, 2.0, 0.0], false));
    assert_eq!((right.offset_mm, right.mirrored), ([0.0, 3.0, 0.0], false));
    assert_eq!((hinge.offset_mm, hinge.mirrored), ([0.0, 1.0, 0.0], true));
}

#[test]
fn a_right_side_that_mirrors_the_left_changes_nothing() {
    let mirrored = json!({
        "front_wheels": {"centre_mm": [0, -395, 250], "radius_mm": 250, "section_radius_mm": 23.5,
            "camber_deg": 0, "toe_in_deg": 0},
        "lower_wishbone": {"front_pivot_mm": [60, -75, 175], "rear_pivot_mm": [-60, -75, 175],
            "ball_joint_mm": [4, -345, 170]},
        "upper_wishbone": {"front_pivot_mm": [50, -95, 330], "rear_pivot_mm": [-50, -95, 330],
            "ball_joint_mm": [-8, -316, 330]},
        "steering": {"rod_inner_mm": [-80, -30, 222], "rod_outer_mm": [-80, -322, 222]}
    });
    let plain = compiled(&example_job()).submitted();
    let given = compiled(&changed(&example_job(), &[("/vehicle/right", mirrored)])).submitted();
    let pairs = plain.goals.iter().chain(&plain.requirements);
    for (a, b) in pairs.zip(given.goals.iter().chain(&given.requirements)) {
        assert_eq!(a.value, b.value, "{}", a.quantity);
    }
}

#[test]
fn mirroring_a_measured_machine_mirrors_its_poses() {
    let vehicle = parse_vehicle(&welded_vehicle().to_string()).unwrap();
    // Every point of the right side is given, so that left and right can change places.
    let mut value = welded_vehicle();
    value["right"]["upper_wishbone"] = json!({"front_pivot_mm": [50.1, -95.3, 330.2],
        "rear_pivot_mm": [-50.2, -94.8, 329.9], "ball_joint_mm": [-8.6, -315.5, 329.4]});
    let mut swapped = value.clone();
    for block in [
        "front_wheels",
        "lower_wishbone",
        "upper_wishbone",
        "steering",
    ] {
        let fields: Vec<String> = value["right"][block]
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect();
        for field in fields {
            let flip = |v: &Value| match v.as_array() {
                Some(p) => json!([p[0], -p[1].as_f64().unwrap(), p[2]]),
                None => v.clone(),
            };
            swapped[block][&field] = flip(&value["right"][block][&field]);
            swapped["right"][block][&field] = flip(&value[block][&field]);
        }
    }
    swapped["steering"]["crank"]["point_mm"] = json!([-120, -0.3, 222]);
    swapped["masses"]["centre_of_gravity_mm"] = json!([-560, -4, 780]);
    let swapped = parse_vehicle(&swapped.to_string()).unwrap();
    let question = |s: f64| PoseQuestion {
        lean_deg: 7.0 * s,
        steer_deg: 11.0 * s,
        steer_mm: None,
        mean_travel_mm: None,
    };
    let (a, b) = (
        pose(&vehicle, &question(1.0)).unwrap(),
        pose(&swapped, &question(-1.0)).unwrap(),
    );
    assert!((a.left.heading_deg + b.right.heading_deg).abs() < 1e-8);
    assert!((a.right.inclination_deg + b.left.inclination_deg).abs() < 1e-8);
    assert!((a.frame.height_change_mm - b.frame.height_change_mm).abs() < 1e-8);
    assert!((a.left.contact_mm[1] + b.right.contact_mm[1]).abs() < 1e-8);
}

#[test]
fn a_machine_at_its_dead_centre_names_the_loop() {
    // Rod and knuckle arm in one line: the inner end, the outer end and the kingpin's point at
    // that height lie on a line square to the kingpin.
    let mut vehicle = example_job()["vehicle"].clone();
    vehicle["upper_wishbone"]["ball_joint_mm"] = json!([0, 345, 330]);
    vehicle["lower_wishbone"]["ball_joint_mm"] = json!([0, 345, 170]);
    vehicle["steering"]["rod_outer_mm"] = json!([-30, 300, 222]);
    vehicle["steering"]["rod_inner_mm"] = json!([-200, 45, 222]);
    let faults = parse_vehicle(&vehicle.to_string()).unwrap_err();
    assert_eq!(faults[0].pointer, "/steering", "{faults:?}");
    assert!(faults[0].message.contains("tie rod"), "{faults:?}");
}
