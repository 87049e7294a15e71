//! Whole poses against recorded answers of outside references.
//!
//! Source: general-purpose libraries as oracles. `fixtures/poses.jsonl`, `layouts.jsonl`,
//! `handlebars.jsonl` and `ends.jsonl` were recorded by `python/poses.py record` from SciPy's root
//! finder on distance equations; the same script solves every case again, live, with MuJoCo's kinematics and Jacobians (`tests/run`).
//! Derived values: they follow from the mechanics, no publication prints them.

use leanwright_tests::cases::{answer, difference};
use serde_json::Value;

/// Below this smallest singular value (mm per mm) of the reference's equations a pose stands
/// next to a dead centre, and the allowed difference grows with its inverse.
const WELL_CONDITIONED: f64 = 0.02;

/// What may be said beyond assembly: which loop, or a fold of the whole linkage.
const BEYOND: [&str; 3] = [
    "comes to its dead centre",
    "cannot close its loop",
    "beyond a singularity",
];

fn cases(file: &str) -> Vec<Value> {
    file.lines()
        .map(|line| serde_json::from_str(line).expect("a fixture line is JSON"))
        .collect()
}

/// Compares our pose of every case with the recorded one.
fn check(file: &str, least: usize) {
    let cases = cases(file);
    assert!(cases.len() >= least);
    let mut wrong = Vec::new();
    for (i, case) in cases.iter().enumerate() {
        let smallest = case["smallest"].as_f64().expect("a number");
        let grown = (WELL_CONDITIONED / smallest).max(1.0);
        let ours = answer(case);
        if case["pose"].is_null() {
            let said = ours["failure"].as_str().unwrap_or("a pose");
            if !BEYOND.iter().any(|words| said.contains(words)) {
                let kind = &case["kind"];
                wrong.push(format!("case {i}, {kind}: beyond assembly, but {said}"));
            }
            continue;
        }
        if case["passed"] == true {
            // A rod has gone through the line of its arm.
            let said = ours["failure"].as_str().unwrap_or("a pose");
            if !said.contains("dead centre") {
                wrong.push(format!("case {i}: past a dead centre, but {said}"));
            }
            continue;
        }
        let (mm, degrees) = difference(&ours, &case["pose"]);
        if !(mm < 1e-6 * grown && degrees < 1e-7 * grown) {
            let (kind, failure) = (&case["kind"], &ours["failure"]);
            wrong.push(format!(
                "case {i}, {kind}: {mm:.2e} mm, {degrees:.2e}° {failure}"
            ));
        }
    }
    let count = cases.len();
    assert!(
        wrong.is_empty(),
        "{} of {count}:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn whole_poses_agree_with_the_outside_references() {
    check(include_str!("../fixtures/poses.jsonl"), 200);
}

#[test]
fn poses_of_other_layouts_agree_with_the_outside_references() {
    check(include_str!("../fixtures/layouts.jsonl"), 90);
}

#[test]
fn poses_behind_a_handlebar_agree_with_the_outside_references() {
    check(include_str!("../fixtures/handlebars.jsonl"), 40);
}

/// Within 0.001 % to 1 % of where each layout's linkage stops closing, and up to 10 % beyond it,
/// where neither reference finds a pose and ours names what stands in the way. Where the coupled
/// linkage closes on a little past a rod's dead centre, the references go through and ours names it.
#[test]
fn the_ends_of_every_layout_agree_with_the_outside_references() {
    check(include_str!("../fixtures/ends.jsonl"), 200);
}

#[test]
fn a_moved_rod_end_is_noticed() {
    let mut case = cases(include_str!("../fixtures/poses.jsonl")).swap_remove(2);
    let y = &mut case["vehicle"]["steering"]["rod_outer_mm"][1];
    *y = Value::from(y.as_f64().expect("a number") + 0.01);
    let (mm, degrees) = difference(&answer(&case), &case["pose"]);
    assert!(mm > 1e-3 && degrees > 1e-4, "{mm} mm, {degrees}°");
}
