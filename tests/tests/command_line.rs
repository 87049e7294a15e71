//! `leanwright pose --json` on recorded poses: from the file to the printed number.
//!
//! Source: the same recorded answers of outside references as in `poses.rs`; here the vehicle
//! goes through the product's own reading and validation of files.

use leanwright_tests::cases::difference;
use leanwright_tests::program::{demo_path, run};
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

/// Readings from a CSV file are those of the JSON file; a cell that is no number is named.
#[test]
fn a_fit_takes_its_readings_from_a_table() {
    let file = demo_path("as-built/orchard-hauler.json");
    let table = demo_path("as-built/readings.csv");
    let [file, table] = [&file, &table].map(|p| p.to_str().expect("the path is text"));
    let own = run(&["fit", file, "--json"]);
    let read = run(&["fit", file, "--readings", table, "--json"]);
    assert!(own.status.success(), "{own:?}");
    let answer: Value = serde_json::from_slice(&own.stdout).expect("JSON");
    assert_eq!(answer["readings"], 55);
    assert_eq!(own.stdout, read.stdout);

    let folder = tempfile::tempdir().expect("a folder");
    let broken = folder.path().join("broken.csv");
    let text = std::fs::read_to_string(table).expect("a table");
    for (from, to, words) in [
        (
            "0.34,0.12",
            "0.34,O.12",
            "line 2, toe_right_deg: \"O.12\" is no number",
        ),
        ("toe_left_deg", "toe_left", "toe_left_deg"),
        ("0,0,-15,", "0,0,", "fields"),
    ] {
        std::fs::write(&broken, text.replacen(from, to, 1)).expect("a file is written");
        let broken = broken.to_str().expect("the path is text");
        let refused = run(&["fit", file, "--readings", broken]);
        let said = String::from_utf8_lossy(&refused.stderr);
        assert!(!refused.status.success() && said.contains(words), "{said}");
    }
}
