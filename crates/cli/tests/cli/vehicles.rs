//! Saved vehicles by the command line.

use std::path::Path;

use serde_json::Value;

use crate::process::{Server, problem, stdout_json};

#[test]
fn a_vehicle_is_saved_shown_changed_compared_and_deleted() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("s.sqlite"), 0);
    let file =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-jobs/vehicles/orchard-hauler.json");
    let text = std::fs::read_to_string(&file).unwrap();
    let first = file.to_str().unwrap();
    let ask = |args: &[&str]| server.ask(&[&["vehicles"], args].concat());

    let saved = stdout_json(&ask(&[
        "save", first, "--notes", "barn", "--label", "spring", "--json",
    ]));
    let id = saved["id"].as_str().unwrap();
    let printed = ask(&["file", id]);
    let printed = String::from_utf8(printed.stdout).unwrap();
    assert_eq!(printed.trim_end(), text.trim_end());

    let mut moved: Value = serde_json::from_str(&text).unwrap();
    moved["steering"]["rod_outer_mm"][2] = 232.into();
    let second = folder.path().join("second.json");
    std::fs::write(&second, moved.to_string()).unwrap();
    let second = second.to_str().unwrap();
    let version = ask(&["save", second, "--version-of", id, "--if-revision", "1"]);
    let version = String::from_utf8(version.stdout).unwrap();
    assert_eq!(version.trim(), format!("{id}@2"));
    let refused = ask(&[
        "save",
        second,
        "--version-of",
        id,
        "--if-revision",
        "1",
        "--json",
    ]);
    problem(&refused, 2, "changed-meanwhile");

    let changed = stdout_json(&ask(&[
        "change",
        id,
        "--name",
        "Kept",
        "--no-labels",
        "--json",
    ]));
    assert_eq!(
        (&changed["name"], &changed["notes"]),
        (&"Kept".into(), &"barn".into())
    );
    assert_eq!(changed["labels"], serde_json::json!([]));
    let listed = String::from_utf8(ask(&["list", "--name", "kep"]).stdout).unwrap();
    assert!(listed.contains(id) && listed.contains("Kept"), "{listed}");

    let (old, new) = (format!("{id}@1"), format!("{id}@2"));
    let compared = stdout_json(&server.ask(&["compare", &old, &new, "--json"]));
    assert_eq!(compared["candidates"][1]["version"], 2);
    let rows = compared["hardpoints"].as_array().unwrap();
    assert_eq!(rows.len(), 1);
    assert_eq!(
        rows[0]["differences_mm"][1],
        serde_json::json!([0.0, 0.0, 10.0])
    );

    assert_eq!(ask(&["delete", id]).status.code(), Some(0));
    let gone = ask(&["show", id, "--json"]);
    problem(&gone, 2, "not-found");
}
