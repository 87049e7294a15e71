//! `leanwright pose --json` on recorded poses: from the file to the printed number.
//!
//! Source: the same recorded answers of outside references as in `poses.rs`; here the vehicle
//! goes through the product's own reading and validation of files.

use leanwright_tests::cases::difference;
use leanwright_tests::program::run;
use serde_json::Value;

/// One well-conditioned case of each kind that the product's limits on input allow.
fn cases() -> Vec<Value> {
    let all = include_str!("../fixtures/poses.jsonl").lines();
    let mut chosen: Vec<Value> = Vec::new();
    for line in all {
        let case: Value = serde_json::from_str(line).expect("a fixture line is JSON");
        let known = chosen.iter().any(|c| c["kind"] == case["kind"]);
        if !known && case["kind"] != "near dead centre" {
            chosen.push(case);
        }
    }
    chosen
}

#[test]
fn printed_poses_agree_with_the_outside_references() {
    let folder = tempfile::tempdir().expect("a folder");
    let cases = cases();
    assert_eq!(cases.len(), 10);
    for case in cases {
        let file = folder.path().join("vehicle.json");
        std::fs::write(&file, case["vehicle"].to_string()).expect("a file is written");
        let file = file.to_str().expect("the path is text");
        let [lean, steer, travel] = ["lean_deg", "steer_deg", "mean_travel_mm"]
            .map(|name| case["target"][name].to_string());
        let mut asked = vec![
            "pose",
            file,
            "--lean-deg",
            &lean,
            "--steer-deg",
            &steer,
            "--json",
        ];
        if case["target"]["mean_travel_mm"]
            .as_f64()
            .is_some_and(|h| h != 0.0)
        {
            asked.extend(["--mean-travel-mm", &travel]);
        }
        let output = run(&asked);
        let pose: Value = serde_json::from_slice(&output.stdout)
            .unwrap_or_else(|error| panic!("{}: {error}: {output:?}", case["kind"]));
        let (mm, degrees) = difference(&pose, &case["pose"]);
        assert!(
            mm < 1e-6 && degrees < 1e-7,
            "{}: {mm} mm, {degrees}°",
            case["kind"]
        );
    }
}
