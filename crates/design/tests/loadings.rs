//! States of loading, springs and reach of the vehicle file, through to what a reader sees.

mod common;

use common::{changed, demo_vehicle, rocker_vehicle};
use leanwright_design::{Fault, Reach, assessment, parse_vehicle};
use serde_json::{Value, json};

fn loaded() -> Value {
    changed(
        &demo_vehicle("orchard-hauler"),
        &[
            (
                "/springs",
                json!({"rate_n_per_mm": 30, "motion_ratio": 0.6, "stops_mm": [-40, 50]}),
            ),
            (
                "/loadings",
                json!([
                    {"name": "rider alone", "total_kg": 115, "centre_of_gravity_mm": [-620, 0, 720]},
                    {"name": "empty", "total_kg": 38, "centre_of_gravity_mm": [-520, 0, 390],
                     "reach": {"speed_mps": [0, 2], "radius_m": [6, 50], "lean_limit_deg": 5}},
                    {"name": "on blocks", "total_kg": 38, "centre_of_gravity_mm": [-520, 0, 390],
                     "mean_travel_mm": -45},
                ]),
            ),
        ],
    )
}

fn faults(base: &Value, place: &str, value: Value) -> Vec<Fault> {
    parse_vehicle(&changed(base, &[(place, value)]).to_string())
        .err()
        .unwrap_or_default()
}

#[test]
fn the_worst_pose_names_its_state() {
    let vehicle = parse_vehicle(&loaded().to_string()).expect("a sound vehicle");
    let reach = Reach {
        radius_m: [6.0, 50.0],
        ..Reach::default()
    };
    let found = assessment(&vehicle, &reach).expect("it assembles");
    let state = |name: &str| {
        let row = found.quantities.iter().find(|q| q.quantity == name);
        row.and_then(|q| q.state.clone()).expect("a state")
    };
    let mut names: Vec<String> = found
        .quantities
        .iter()
        .filter_map(|q| q.state.clone())
        .collect();
    names.sort();
    names.dedup();
    assert!(
        names.len() >= 2 && names.contains(&"as drawn".to_owned()),
        "{names:?}"
    );
    // The heaviest state loads the rods most; the frame on blocks stands highest, so that its
    // wishbones swing furthest from where they were drawn.
    assert_eq!(state("rod_force_n"), "as drawn");
    assert_eq!(state("ball_joint_angle_deg"), "on blocks");
    let travel = found
        .quantities
        .iter()
        .find(|q| q.quantity == "ball_joint_angle_deg");
    assert_eq!(
        travel.and_then(|q| q.worst).expect("a pose").travel_mm,
        -45.0
    );
    let standing = found.strength.expect("masses are given").standing;
    let names: Vec<&str> = standing.iter().map(|s| s.loading.as_str()).collect();
    assert_eq!(names, ["as drawn", "rider alone", "empty", "on blocks"]);
    for (row, kg) in standing.iter().zip([170.0, 115.0, 38.0, 38.0]) {
        let sum: f64 = row.level_n.iter().sum();
        assert!((sum - kg * 9.806_65).abs() < 1e-6);
    }
}

#[test]
fn faults_of_states_and_springs() {
    let base = loaded();
    let rows = [
        (
            "/springs/rate_n_per_mm",
            json!(0),
            "/springs/rate_n_per_mm",
            "at least 0.1",
        ),
        (
            "/springs/stops_mm",
            json!([5, 50]),
            "/springs/stops_mm",
            "beyond a stop",
        ),
        (
            "/springs/preload",
            json!(5),
            "/springs/preload",
            "did you mean \"preload_n\"",
        ),
        (
            "/loadings/0/mean_travel_mm",
            json!(500),
            "/loadings/0/mean_travel_mm",
            "at most 150 mm",
        ),
        (
            "/loadings/1/reach/speed_mps",
            json!([3, 1]),
            "/loadings/1/reach/speed_mps",
            "inverted",
        ),
        (
            "/loadings/1/reach/side_slope_deg",
            json!(45),
            "/loadings/1/reach/side_slope_deg",
            "at most 30",
        ),
        (
            "/loadings/1/reach",
            json!({"speed_mps": [0, 0], "parking": false}),
            "/loadings/1/reach/speed_mps",
            "no pose",
        ),
        (
            "/masses/mean_travel_mm",
            json!("low"),
            "/masses/mean_travel_mm",
            "a number",
        ),
        (
            "/fittings",
            json!({"effort": {"tyre_friction": 9}}),
            "/fittings/effort/tyre_friction",
            "at most 3",
        ),
    ];
    for (place, value, pointer, words) in rows {
        let found = faults(&base, place, value);
        let said = |f: &Fault| f.message.contains(words) || f.allowed.contains(words);
        assert!(
            found.iter().any(|f| f.pointer == pointer && said(f)),
            "{place}: no fault at {pointer} with \"{words}\" in {found:#?}"
        );
    }
    let rocker = rocker_vehicle();
    for (place, value) in [
        ("/springs", json!({"rate_n_per_mm": 30})),
        ("/masses/mean_travel_mm", json!(5)),
    ] {
        let found = faults(&rocker, place, value);
        let said = |f: &Fault| f.pointer == place && f.message.contains("the rocker holds");
        assert!(found.iter().any(said), "{place}: {found:#?}");
    }
    let mut light = loaded();
    light.as_object_mut().expect("an object").remove("masses");
    let found = parse_vehicle(&light.to_string()).expect_err("springs without masses");
    assert!(found.iter().any(|f| f.pointer == "/springs"));
}
