//! Tolerance studies, computed without a server.

use crate::process::{demo, leanwright, problem, stdout_json};

fn study(more: &[&str]) -> std::process::Output {
    let job = demo("layouts.json");
    let mut args = vec!["study", job.to_str().unwrap(), "--samples", "64", "--json"];
    args.extend(more);
    leanwright(args)
}

/// Offsets are those of the layout that a candidate names, by its place or by its name.
#[test]
fn a_study_is_of_the_layout_that_is_named() {
    let by_place = study(&["--layout", "1"]);
    assert_eq!(by_place.status.code(), Some(0), "{by_place:?}");
    let slider = stdout_json(&by_place);
    assert_eq!(slider, stdout_json(&study(&["--layout", "Slider"])));
    let first = stdout_json(&study(&[]));
    assert_ne!(slider["quantities"], first["quantities"]);
    let count = slider["vector"].as_array().unwrap().len();
    let offsets = vec!["0"; count].join(",");
    let given = study(&["--layout", "Slider", "--offsets-mm", &offsets]);
    assert_eq!(stdout_json(&given)["quantities"], slider["quantities"]);
}

#[test]
fn a_layout_that_is_not_there_is_refused_with_those_that_are() {
    for (args, words) in [
        (&["--layout", "4"][..], "3 (Cross rod)"),
        (&["--layout", "Cables"][..], "1 (Slider)"),
        (&["--offsets-mm", "0,0"][..], "needs --layout"),
        (
            &["--layout", "1", "--offsets-mm", "0"][..],
            "the layout has",
        ),
    ] {
        let detail = problem(&study(args), 2, "usage")["detail"].to_string();
        assert!(detail.contains(words), "{detail}");
    }
}
