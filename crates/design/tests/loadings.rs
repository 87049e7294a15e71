//! States of loading, springs and reach of the vehicle file, through to what a reader sees.

mod common;

use common::{changed, demo_vehicle, rocker_vehicle};
use leanwright_design::{
    Fault, PoseQuestion, Reach, assessment, assessment_in, in_each_loading, parse_vehicle, pose,
};
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

/// The curves of a state are those of poses solved one by one at its mean travel.
#[test]
fn curves_of_each_state_are_taken_where_it_stands() {
    let vehicle = parse_vehicle(&loaded().to_string()).expect("a sound vehicle");
    let reach = Reach::default();
    let states = in_each_loading(&vehicle, &reach).expect("it assembles");
    let names: Vec<&str> = states.iter().map(|s| s.loading.as_str()).collect();
    assert_eq!(names, ["as drawn", "rider alone", "empty", "on blocks"]);
    let travels: Vec<f64> = states
        .iter()
        .map(|s| s.mean_travel_mm.expect("it stands"))
        .collect();
    // By hand: the front axle's share of the weight by moments about the rear contact, over two
    // wheels of 30 · 0.6² N/mm.
    let front = |kg: f64, x: f64| kg * 9.806_65 * (1150.0 + x) / 1150.0;
    let sag = |kg: f64, x: f64| (front(kg, x) - front(170.0, -560.0)) / (2.0 * 30.0 * 0.36);
    let by_hand = [0.0, sag(115.0, -620.0), sag(38.0, -520.0), -45.0];
    for (found, wanted) in travels.iter().zip(by_hand) {
        assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
    }
    let mut compared = 0;
    for (state, travel) in states.iter().zip(travels) {
        let curve = |name: &str| state.curves.iter().find(|c| c.name == name);
        let steer = curve("steer_over_lean").expect("a curve");
        for (lean, left) in steer.x.values.iter().zip(&steer.lines[0].values) {
            let question = PoseQuestion {
                lean_deg: lean.expect("a lean"),
                steer_deg: 0.0,
                steer_mm: None,
                mean_travel_mm: Some(travel),
            };
            let alone = pose(&vehicle, &question).expect("reached");
            assert!((alone.left.heading_deg - left.expect("an angle")).abs() < 1e-7);
            compared += 1;
        }
        let toe = curve("toe_over_travel").expect("a curve");
        assert!(toe.x.values.len() > 10);
    }
    assert!(compared > 4 * 20, "{compared}");
    // Weight bears on the handlebar in the measure of its mass.
    let most = |state: usize| {
        let found = states[state].curves.iter();
        let torque = found.clone().find(|c| c.name == "torque_over_steer");
        let values = &torque.expect("a curve").lines[0].values;
        values.iter().flatten().fold(0.0_f64, |a, b| a.max(b.abs()))
    };
    assert!(most(1) < most(0) && most(2) < most(1));
}

#[test]
fn one_state_of_an_assessment() {
    let vehicle = parse_vehicle(&loaded().to_string()).expect("a sound vehicle");
    let reach = Reach::default();
    let plain = assessment(&vehicle, &reach).expect("it assembles");
    let each = in_each_loading(&vehicle, &reach).expect("it assembles");
    for state in &each {
        let one = assessment_in(&vehicle, &reach, Some(&state.loading)).expect("it stands");
        assert_eq!(one.loading.as_ref(), Some(&state.loading));
        assert_eq!((&one.curves, &one.stops), (&state.curves, &state.stops));
        assert_eq!(
            one.quantities, plain.quantities,
            "the worst over all states"
        );
    }
    assert_eq!(plain.stops, each[0].stops);
    // Its own reach ends at 5° of lean.
    let leaned = |state: usize| {
        let stop = each[state]
            .stops
            .iter()
            .find(|s| s.motion == "steer_left_leaned");
        stop.expect("a stop").pose.lean_deg
    };
    assert_eq!((leaned(0), leaned(2)), (-12.0, -5.0));
    let sheet = |name| {
        let found = assessment_in(&vehicle, &reach, Some(name)).expect("it stands");
        found.strength.expect("masses").loads[0].left[1]
            .value
            .expect("a force")
    };
    assert!(sheet("empty") < 0.5 * sheet("as drawn"));

    let unknown = assessment_in(&vehicle, &reach, Some("emty")).expect_err("no such state");
    assert_eq!(unknown[0].pointer, "/loading");
    assert!(unknown[0].message.contains("did you mean \"empty\""));
    assert!(
        unknown[0]
            .allowed
            .contains("as drawn, rider alone, empty, on blocks")
    );
    // Wishbones of some 125 mm do not reach 150 mm down.
    let mut short = changed(&loaded(), &[("/loadings/2/mean_travel_mm", json!(-150))]);
    for (wishbone, y) in [("lower", 220), ("upper", 195)] {
        for pivot in ["front", "rear"] {
            short[format!("{wishbone}_wishbone")][format!("{pivot}_pivot_mm")][1] = json!(y);
        }
    }
    let vehicle = parse_vehicle(&short.to_string()).expect("a sound vehicle");
    let each = in_each_loading(&vehicle, &reach).expect("it assembles");
    assert_eq!(each[3].mean_travel_mm, None);
    assert!(each[3].curves.is_empty() && !each[2].curves.is_empty());
    let found = assessment_in(&vehicle, &reach, Some("on blocks")).expect_err("too high");
    assert!(found[0].message.contains("cannot stand"), "{found:?}");
}

#[test]
fn faults_of_states_and_springs() {
    let base = loaded();
    let rows = [
        (
            "/loadings/1/name",
            json!("rider alone"),
            "/loadings/1/name",
            "two states of loading",
        ),
        (
            "/loadings/1/name",
            json!("as drawn"),
            "/loadings/1/name",
            "that masses describes",
        ),
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
    assert!(found.iter().any(|f| f.pointer == "/loadings"));
}
