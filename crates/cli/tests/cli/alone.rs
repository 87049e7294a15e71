//! Commands that need no server.

use std::path::Path;

use serde_json::Value;

use crate::process::{demo, leanwright, problem, stdout_json, with_input};

fn vehicle() -> String {
    demo("vehicles/orchard-hauler.json")
        .to_str()
        .unwrap()
        .to_owned()
}

/// The form of the output is fixed by the project's own architecture page.
#[test]
fn a_pose_has_the_agreed_members_and_signs() {
    let output = leanwright(["pose", &vehicle(), "--steer-deg", "10", "--json"]);
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let pose = stdout_json(&output);
    assert_eq!(keys(&pose), ["frame", "left", "rear", "right"]);
    assert_eq!(keys(&pose["frame"]), ["height_change_mm", "pitch_deg"]);
    assert_eq!(keys(&pose["rear"]), ["contact_mm"]);
    for side in ["left", "right"] {
        let members = [
            "contact_mm",
            "heading_deg",
            "inclination_deg",
            "lower_ball_joint_mm",
            "rod_outer_mm",
            "upper_ball_joint_mm",
            "wheel_centre_mm",
        ];
        assert_eq!(keys(&pose[side]), members);
        assert_eq!(pose[side]["contact_mm"][2], 0.0);
    }
    // "a crank of +10° turns the wheels about −4.6° and −5.4°": the same page.
    let heading = |side: &str| pose[side]["heading_deg"].as_f64().unwrap();
    assert!((heading("left") + 4.6).abs() < 0.05, "{pose}");
    assert!((heading("right") + 5.4).abs() < 0.05, "{pose}");
}

fn keys(value: &Value) -> Vec<&str> {
    let members = value.as_object().unwrap();
    let mut keys: Vec<&str> = members.keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

#[test]
fn a_negative_lean_is_an_angle_and_not_an_option() {
    let output = leanwright(["pose", &vehicle(), "--lean-deg", "-5", "--json"]);
    assert_eq!(output.status.code(), Some(0), "{output:?}");
}

#[test]
fn a_pose_out_of_reach_exits_3_and_names_what_failed() {
    let arguments = ["pose", &vehicle(), "--steer-deg", "170", "--json"];
    let told = problem(&leanwright(arguments), 3, "pose-unreachable");
    assert!(told["detail"].as_str().unwrap().len() > 10);
    let output = leanwright(["pose", &vehicle(), "--steer-deg", "170"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&output.stderr).contains("cannot be reached"));
}

#[test]
fn a_faulty_vehicle_exits_2_with_every_fault() {
    let text = std::fs::read_to_string(vehicle()).unwrap();
    let mut vehicle: Value = serde_json::from_str(&text).unwrap();
    vehicle["front_wheels"]["radius_mm"] = (-250).into();
    vehicle["rear_wheel"]["colour"] = "green".into();
    for command in ["assess", "pose"] {
        let output = with_input(&[command, "-", "--json"], &vehicle.to_string());
        let told = problem(&output, 2, "bad-input");
        let faults = told["faults"].as_array().unwrap();
        let pointers: Vec<_> = faults.iter().map(|fault| &fault["pointer"]).collect();
        assert!(
            pointers.contains(&&"/front_wheels/radius_mm".into()),
            "{told}"
        );
        assert!(pointers.contains(&&"/rear_wheel/colour".into()), "{told}");
    }
}

#[test]
fn broken_json_exits_2_with_line_and_column() {
    let told = problem(
        &with_input(&["assess", "-", "--json"], "{\n  \"a\": }"),
        2,
        "bad-json",
    );
    assert!(
        told["detail"].as_str().unwrap().contains("line 2 column 8"),
        "{told}"
    );
    let told = problem(&with_input(&["run", "-", "--json"], ""), 2, "bad-json");
    assert!(
        told["detail"].as_str().unwrap().contains("line 1"),
        "{told}"
    );
}

#[test]
fn an_assessment_of_a_whole_machine_lists_every_quantity() {
    // Every block is given, so that every quantity has a value.
    let read = |name: &str| -> Value {
        serde_json::from_str(&std::fs::read_to_string(demo(name)).unwrap()).unwrap()
    };
    let mut whole = read("vehicles/orchard-hauler-rocker.json");
    whole["shapes"] = read("vehicles/orchard-hauler-load-bed.json")["shapes"].take();
    whole["steering"] = read("vehicles/orchard-hauler-cables.json")["steering"].take();
    let fittings = whole["fittings"].as_object_mut().unwrap();
    fittings.remove("handlebar_per_crank");
    whole["joints"] = serde_json::json!({
        "lower_ball_joint": "orchard ball 18", "upper_ball_joint": "orchard ball 22",
        "inner_rod_end": "wide eye 10", "outer_rod_end": "wide eye 8",
    });
    let assessment = stdout_json(&with_input(&["assess", "-", "--json"], &whole.to_string()));
    let quantities = stdout_json(&leanwright(["quantities", "--json"]));
    let names = |list: &Value, member: &str| -> Vec<String> {
        let entries = list.as_array().unwrap().iter();
        entries
            .map(|entry| entry[member].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(
        names(&assessment["quantities"], "quantity"),
        names(&quantities, "name")
    );
    let text = String::from_utf8(leanwright(["assess", &vehicle()]).stdout).unwrap();
    assert!(text.contains("kingpin_inclination_deg"), "{text}");
    assert!(
        text.to_lowercase().contains("rigid"),
        "model limits are stated: {text}"
    );
}

#[test]
fn schemas_are_json_schema() {
    for input in ["job", "vehicle"] {
        let schema = stdout_json(&leanwright(["schema", input]));
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
    }
}

#[test]
fn wrong_usage_exits_2_and_help_lists_the_codes() {
    problem(&leanwright(["pose", "--json"]), 2, "usage");
    problem(&leanwright(["dance", "--json"]), 2, "usage");
    problem(
        &leanwright(["assess", "/no/such/file", "--json"]),
        2,
        "usage",
    );
    problem(&leanwright(["compare", "nonsense", "--json"]), 2, "usage");
    assert_eq!(leanwright(["dance"]).status.code(), Some(2));
    let help = leanwright(["--help"]);
    assert_eq!(help.status.code(), Some(0));
    let text = String::from_utf8(help.stdout).unwrap();
    for code in [
        "0  done",
        "2  wrong usage",
        "3  the pose",
        "4  the search",
        "5  the server",
    ] {
        assert!(text.contains(code), "{text}");
    }
}

#[test]
fn an_address_beyond_the_own_machine_needs_a_token_file() {
    let folder = tempfile::tempdir().unwrap();
    let store = folder.path().join("s.sqlite");
    let arguments = ["serve", "--listen", "0.0.0.0:0", "--json", "--store"];
    let output = leanwright(
        arguments
            .map(Path::new)
            .into_iter()
            .chain([store.as_path()]),
    );
    let told = problem(&output, 2, "usage");
    assert!(told["detail"].as_str().unwrap().contains("token"));
    assert!(!store.exists(), "nothing was opened");
}

#[test]
fn a_server_that_is_not_there_exits_5() {
    let nobody = "http://127.0.0.1:9";
    for command in ["watch", "front", "cancel"] {
        let output = leanwright([command, "0123456789abcdef", "--server", nobody, "--json"]);
        problem(&output, 5, "server-unreachable");
    }
}

#[test]
fn an_assessment_in_a_state_of_loading() {
    let file = demo("vehicles/orchard-hauler-load-bed.json");
    let file = file.to_str().unwrap();
    let plain = stdout_json(&leanwright(["assess", file, "--json"]));
    let empty = stdout_json(&leanwright([
        "assess",
        file,
        "--loading",
        "empty",
        "--json",
    ]));
    assert_eq!(empty["loading"], "empty");
    assert_eq!(empty["quantities"], plain["quantities"]);
    assert_ne!(empty["curves"], plain["curves"]);
    let told = problem(
        &leanwright(["assess", file, "--loading", "full", "--json"]),
        2,
        "bad-input",
    );
    assert_eq!(told["faults"][0]["pointer"], "/loading");
    let text = leanwright(["assess", file]);
    let text = String::from_utf8(text.stdout).unwrap();
    let row = |name: &str| {
        text.lines()
            .find(|line| line.starts_with(name))
            .unwrap()
            .to_owned()
    };
    assert!(
        row("rod_clearance_mm").contains("between"),
        "{}",
        row("rod_clearance_mm")
    );
    let states = ["as drawn", "rider alone", "empty"];
    assert!(
        states
            .iter()
            .any(|state| row("clearance_mm").contains(state))
    );
}
