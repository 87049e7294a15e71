//! What builders know, found again by the whole program and nowhere written into it.
//!
//! Origin of every statement here: common practice, no source; figures marked "full
//! kinematics" are derived.

use leanwright_tests::program::{demo, run};
use serde_json::{Value, json};

struct Workshop(tempfile::TempDir);

impl Workshop {
    fn new() -> Workshop {
        Workshop(tempfile::tempdir().expect("a folder"))
    }

    /// The answer of a command on a vehicle.
    fn ask(&self, command: &str, vehicle: &Value, more: &[&str]) -> Value {
        let file = self.0.path().join("vehicle.json");
        std::fs::write(&file, vehicle.to_string()).expect("a file is written");
        let mut all = vec![command, file.to_str().expect("the path is text"), "--json"];
        all.extend(more);
        let output = run(&all);
        serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {output:?}"))
    }

    /// Headings of left and right wheel leaned 12° to the right, crank straight.
    fn leaned(&self, vehicle: &Value) -> [f64; 2] {
        let pose = self.ask("pose", vehicle, &["--lean-deg", "12"]);
        ["left", "right"].map(|side| pose[side]["heading_deg"].as_f64().expect("a number"))
    }
}

#[test]
fn leaning_turns_mainly_the_outer_wheel_inwards() {
    // Leaned to the right the left wheel is the outer one, and inwards is to the right.
    let [outer, inner] = Workshop::new().leaned(&demo("vehicles/orchard-hauler.json"));
    assert!((-2.4..-2.2).contains(&outer), "{outer}°");
    assert!((0.6..0.8).contains(&inner), "{inner}°");
}

#[test]
fn a_rods_outer_end_moved_inboard_lessens_lean_steer() {
    let (workshop, mut vehicle) = (Workshop::new(), demo("vehicles/orchard-hauler.json"));
    let mut before = workshop.leaned(&vehicle)[0].abs();
    for inboard in [317.0, 312.0, 307.0, 302.0] {
        vehicle["steering"]["rod_outer_mm"][1] = json!(inboard);
        let now = workshop.leaned(&vehicle)[0].abs();
        assert!(now < before, "{inboard}: {now}° after {before}°");
        before = now;
    }
}

/// Lean at which ±15° ball joints stop, wishbones hinged at `hinge_y` on a 780 mm track.
fn lean_with_15_degree_joints(hinge_y: f64) -> Value {
    let mut vehicle = demo("vehicles/orchard-hauler.json");
    vehicle["front_wheels"]["centre_mm"] = json!([0, 390, 250]);
    for (block, z) in [("lower_wishbone", 170), ("upper_wishbone", 330)] {
        vehicle[block] = json!({
            "front_pivot_mm": [60, hinge_y, z],
            "rear_pivot_mm": [-60, hinge_y, z],
            "ball_joint_mm": [0, 320, z],
        });
    }
    vehicle["limits"] = json!({ "ball_joint_deg": 15 });
    let assessment = Workshop::new().ask("assess", &vehicle, &[]);
    let quantities = assessment["quantities"].as_array().expect("a list");
    let range = quantities
        .iter()
        .find(|q| q["quantity"] == "lean_range_deg");
    range.expect("the lean range is assessed").clone()
}

#[test]
fn joints_of_15_degrees_stop_near_12_degrees_of_lean() {
    // Practice: with wishbones to the centreline. Derived, for a small kingpin inclination:
    // sin(swing) = (track / 2) tan(lean) / arm, so that hinges further out cost lean.
    let mut before = f64::INFINITY;
    for hinge_y in [1.0, 30.0, 60.0] {
        let range = lean_with_15_degree_joints(hinge_y);
        let found = range["value"].as_f64().expect("a number");
        let derived = ((320.0 - hinge_y) * 15_f64.to_radians().sin() / 390.0)
            .atan()
            .to_degrees();
        assert!(
            (found - derived).abs() < 0.4,
            "hinged at {hinge_y}, {derived}° derived: {range}"
        );
        assert!(found < before, "hinged at {hinge_y}: {range}");
        let near_centreline = hinge_y > 1.0 || (11.5..12.5).contains(&found);
        assert!(near_centreline, "hinged at {hinge_y}: {range}");
        let cause = range["cause"].as_str().expect("what stops it");
        assert!(cause.contains("ball joint"), "{range}");
        before = found;
    }
}
