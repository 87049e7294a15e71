//! Every steering layout through the files: poses, quantities, freedoms and pointers of faults.

mod common;

use common::{changed, demo_vehicle, example_job};
use leanwright_design::{
    Compiled, PoseError, PoseQuestion, Reach, assessment, parse_job, parse_vehicle, pose,
};
use serde_json::{Value, json};

const LAYOUTS: [&str; 6] = [
    "orchard-hauler",
    "orchard-hauler-cables",
    "orchard-hauler-handlebar",
    "orchard-hauler-slider",
    "orchard-hauler-parallelogram",
    "orchard-hauler-cross-rod",
];

fn question(target: &Value) -> PoseQuestion {
    PoseQuestion {
        lean_deg: target["lean_deg"].as_f64().unwrap_or(0.0),
        steer_deg: target["steer_deg"].as_f64().unwrap_or(0.0),
        steer_mm: target["steer_mm"].as_f64(),
        mean_travel_mm: target["mean_travel_mm"].as_f64(),
    }
}

/// Source: SciPy's root finder on distance equations (recorded; the outside step of the tests
/// solves every case again, live, with MuJoCo). Asked for is 1e-6 mm and 1e-7°.
#[test]
fn vehicle_files_of_every_layout_give_the_poses_of_the_outside_reference() {
    let recorded = [
        include_str!("../../../tests/fixtures/layouts.jsonl"),
        include_str!("../../../tests/fixtures/handlebars.jsonl"),
    ];
    let mut count = 0;
    for line in recorded.into_iter().flat_map(str::lines) {
        let case: Value = serde_json::from_str(line).unwrap();
        let vehicle = parse_vehicle(&case["vehicle"].to_string())
            .unwrap_or_else(|faults| panic!("{}: {faults:#?}", case["vehicle"]));
        let found = pose(&vehicle, &question(&case["target"])).unwrap();
        for (side, ours) in [("left", &found.left), ("right", &found.right)] {
            let theirs = &case["pose"][side];
            let apart = |name: &str, ours: [f64; 3]| {
                let drawn = [0, 1, 2].map(|i| theirs[name][i].as_f64().unwrap() - ours[i]);
                assert!(drawn.iter().all(|d| d.abs() < 1e-6), "{name} {drawn:?}");
            };
            apart("wheel_centre_mm", ours.wheel_centre_mm);
            apart("rod_outer_mm", ours.rod_outer_mm);
            let turned = theirs["heading_deg"].as_f64().unwrap() - ours.heading_deg;
            assert!(turned.abs() < 1e-7, "{turned}");
        }
        count += 1;
    }
    assert!(count > 130);
}

#[test]
fn a_slider_moves_by_its_travel_or_by_the_handlebar() {
    let mut file = demo_vehicle("orchard-hauler-slider");
    file["steering"]["rail"]["travel_mm_per_handlebar_deg"] = json!(1.6);
    let vehicle = parse_vehicle(&file.to_string()).unwrap();
    let ask = |steer_deg: f64, steer_mm: Option<f64>| {
        let question = PoseQuestion {
            steer_deg,
            steer_mm,
            ..PoseQuestion::default()
        };
        pose(&vehicle, &question)
    };
    assert_eq!(ask(10.0, None).unwrap(), ask(0.0, Some(16.0)).unwrap());
    let Err(PoseError::Input(faults)) = ask(10.0, Some(16.0)) else {
        panic!("both drives at once");
    };
    assert_eq!(faults[0].pointer, "/steer_mm");
    let crank = parse_vehicle(&demo_vehicle("orchard-hauler").to_string()).unwrap();
    let question = PoseQuestion {
        steer_mm: Some(16.0),
        ..PoseQuestion::default()
    };
    let Err(PoseError::Input(faults)) = pose(&crank, &question) else {
        panic!("a crank has no travel");
    };
    assert!(faults[0].message.contains("centre_crank"), "{faults:?}");
}

#[test]
fn every_quantity_has_a_value_on_every_layout() {
    for name in LAYOUTS {
        for coupling in ["", "-rocker"] {
            let file = demo_vehicle(&format!("{name}{coupling}"));
            let vehicle = parse_vehicle(&file.to_string()).unwrap();
            let found = assessment(&vehicle, &Reach::default()).unwrap();
            for value in &found.quantities {
                assert!(
                    value.value.is_some_and(f64::is_finite),
                    "{name}{coupling}: {value:?}"
                );
            }
            assert!(found.curves.iter().all(|c| !c.x.values.is_empty()));
            let lengths = serde_json::to_value(found.rod_lengths).unwrap();
            assert_eq!(
                lengths.get("drag_link_mm").is_some(),
                name.ends_with("cross-rod")
            );
            assert_eq!(
                lengths.get("handlebar_link_mm").is_some(),
                name.ends_with("handlebar")
            );
            assert_eq!(
                lengths.get("centre_link_mm").is_some(),
                name.ends_with("parallelogram")
            );
        }
    }
}

/// Lengths from the drawn points: the cross rod 2·322, the drag link √(340² + 10²).
#[test]
fn lengths_of_cross_rod_and_drag_link() {
    let file = demo_vehicle("orchard-hauler-cross-rod");
    let vehicle = parse_vehicle(&file.to_string()).unwrap();
    let found = assessment(&vehicle, &Reach::default()).unwrap().rod_lengths;
    assert_eq!((found.left_mm, found.right_mm), (644.0, 644.0));
    let drag = found.drag_link_mm.unwrap();
    assert!((drag - f64::sqrt(340.0 * 340.0 + 100.0)).abs() < 1e-9);
}

fn job_on(name: &str, freedoms: Value) -> Value {
    let mut job = example_job();
    job["vehicle"] = demo_vehicle(name);
    job["freedoms"] = freedoms;
    job["holds"] = json!([]);
    job["goals"] = json!([{"minimise": "steering_error_deg"}]);
    job
}

fn freedom(point: &str, axis: &str) -> Value {
    json!({"point": point, "axis": axis, "offset_from_mm": -8, "offset_to_mm": 8})
}

#[test]
fn points_of_every_layout_are_freedoms() {
    let points = [
        (
            "orchard-hauler-cross-rod",
            vec![
                "steering.drag_link.inner_mm",
                "steering.drag_link.outer_mm",
                "steering.crank.point_mm",
            ],
        ),
        (
            "orchard-hauler-parallelogram",
            vec!["steering.crank_end_mm", "steering.crank.point_mm"],
        ),
        ("orchard-hauler-slider", vec!["steering.rod_inner_mm"]),
        (
            "orchard-hauler-handlebar",
            vec![
                "steering.handlebar.point_mm",
                "steering.handlebar.arm_end_mm",
                "steering.handlebar.crank_end_mm",
            ],
        ),
    ];
    for (name, points) in points {
        for point in points {
            let mut job = job_on(name, json!([freedom(point, "x")]));
            if name.ends_with("handlebar") {
                // The wheels turn as before; the hands feel it.
                job["goals"] = json!([{"minimise": "steering_ratio"}]);
            }
            let job = parse_job(&job.to_string()).unwrap_or_else(|f| panic!("{point}: {f:#?}"));
            let compiled = Compiled::new(&job).unwrap();
            let candidate = compiled.candidate(&[5.0]);
            assert_eq!(candidate.hardpoints[0].point, point);
            assert_eq!(candidate.hardpoints[0].offset_mm, [5.0, 0.0, 0.0]);
            // The file that comes out is the machine that was evaluated.
            let text = serde_json::to_string(&candidate.vehicle).unwrap();
            let again = parse_vehicle(&text).unwrap();
            assert_eq!(again, candidate.vehicle);
        }
    }
}

/// An idler that the file leaves out stays the mirror image of a moved crank.
#[test]
fn a_mirrored_idler_moves_with_its_crank() {
    let one = freedom("steering.crank.point_mm", "y");
    let two = freedom("steering.crank_end_mm", "y");
    let job = job_on("orchard-hauler-parallelogram", json!([one, two]));
    let compiled = Compiled::new(&parse_job(&job.to_string()).unwrap()).unwrap();
    let candidate = compiled.candidate(&[6.0, 6.0]);
    assert!((candidate.rod_lengths.centre_link_mm.unwrap() - 192.0).abs() < 1e-9);
    let given = changed(
        &job,
        &[
            (
                "/vehicle/steering/idler",
                json!({"point_mm": [-150, -90, 222], "axis": [0, 0, 1]}),
            ),
            ("/vehicle/steering/idler_end_mm", json!([-80, -90, 222])),
        ],
    );
    let compiled = Compiled::new(&parse_job(&given.to_string()).unwrap()).unwrap();
    let candidate = compiled.candidate(&[6.0, 6.0]);
    assert!((candidate.rod_lengths.centre_link_mm.unwrap() - 186.0).abs() < 1e-9);
}

#[test]
fn points_of_another_layout_are_no_freedoms() {
    let job = job_on(
        "orchard-hauler-slider",
        json!([freedom("steering.crank.point_mm", "x")]),
    );
    let faults = parse_job(&job.to_string()).unwrap_err();
    assert_eq!(faults[0].pointer, "/freedoms/0/point");
    assert!(faults[0].allowed.contains("layout"), "{faults:?}");
}

/// Hinge and both ball joints of an upper wishbone in one plane: its loop has no branch. The
/// fault stands where the file gives the points.
#[test]
fn a_side_that_does_not_assemble_is_named_where_it_stands() {
    let base = demo_vehicle("orchard-hauler");
    let flat = json!({"front_pivot_mm": [50, -345, 400], "rear_pivot_mm": [-50, -345, 400],
        "ball_joint_mm": [4, -345, 330]});
    let right = changed(&base, &[("/right", json!({"upper_wishbone": flat}))]);
    let faults = parse_vehicle(&right.to_string()).unwrap_err();
    assert_eq!(faults[0].pointer, "/right/upper_wishbone", "{faults:?}");
    let flat = json!({"front_pivot_mm": [50, 345, 400], "rear_pivot_mm": [-50, 345, 400],
        "ball_joint_mm": [4, 345, 330]});
    let left = changed(&base, &[("/upper_wishbone", flat)]);
    let faults = parse_vehicle(&left.to_string()).unwrap_err();
    assert_eq!(faults[0].pointer, "/upper_wishbone", "{faults:?}");
}

/// A drag link in line with the knuckle arm has no branch either.
#[test]
fn a_drag_link_at_its_dead_centre_is_named() {
    let base = demo_vehicle("orchard-hauler-cross-rod");
    // The arm from the kingpin (x 1.4, y 336 at this height) runs along y, and so does the link.
    let broken = changed(
        &base,
        &[
            ("/steering/drag_link/outer_mm", json!([0.1, 300, 222])),
            ("/steering/drag_link/inner_mm", json!([0.1, 100, 222])),
            ("/lower_wishbone/ball_joint_mm", json!([0.1, 345, 170])),
            ("/upper_wishbone/ball_joint_mm", json!([0.1, 316, 330])),
        ],
    );
    let faults = parse_vehicle(&broken.to_string()).unwrap_err();
    assert_eq!(faults[0].pointer, "/steering/drag_link", "{faults:?}");
    assert!(
        faults[0].message.contains("drag link to the left knuckle"),
        "{faults:?}"
    );
}

/// Every way to misdraw a handlebar is named where it stands.
#[test]
fn faults_of_a_handlebar_stand_in_its_block() {
    let base = demo_vehicle("orchard-hauler-handlebar");
    let first = |place: &str, value: Value| {
        let text = changed(&base, &[(place, value)]).to_string();
        let faults = parse_vehicle(&text).unwrap_err();
        (faults[0].pointer.clone(), faults[0].message.clone())
    };
    for (place, value, pointer, word) in [
        (
            "/steering/handlebar/arm_end_mm",
            json!([-420, 0, 240]),
            "/steering/handlebar/arm_end_mm",
            "handlebar's axis",
        ),
        (
            "/steering/handlebar/crank_end_mm",
            json!([-120, 0, 300]),
            "/steering/handlebar/crank_end_mm",
            "crank's axis",
        ),
        (
            "/steering/handlebar/arm_end_mm",
            json!([-120, 60, 222]),
            "/steering/handlebar/crank_end_mm",
            "one place",
        ),
        // The link in line with the crank's arm.
        (
            "/steering/handlebar",
            json!({"kind": "drag_link", "point_mm": [-420, -50, 222], "axis": [0, 0, 1],
                "arm_end_mm": [-420, 0, 222], "crank_end_mm": [-60, 0, 222]}),
            "/steering/handlebar",
            "dead centre",
        ),
        (
            "/fittings",
            json!({"handlebar_per_crank": 1.5}),
            "/fittings/handlebar_per_crank",
            "drag link",
        ),
        (
            "/steering/handlebar/kind",
            json!("belt"),
            "/steering/handlebar/kind",
            "not known",
        ),
    ] {
        let (at, message) = first(place, value);
        assert_eq!(at, pointer, "{message}");
        assert!(message.contains(word), "{message}");
    }
    let slider = changed(
        &demo_vehicle("orchard-hauler-slider"),
        &[("/steering/handlebar", json!({"kind": "direct"}))],
    );
    let faults = parse_vehicle(&slider.to_string()).unwrap_err();
    assert_eq!(faults[0].pointer, "/steering/handlebar");
    assert!(faults[0].message.contains("slider"), "{faults:?}");
}

/// Points that a layout lacks, and points of another one, are named.
#[test]
fn missing_and_extra_points_of_a_layout_are_named() {
    let without = |name: &str, block: &str, field: &str| {
        let mut file = demo_vehicle(name);
        file.pointer_mut(block)
            .and_then(Value::as_object_mut)
            .unwrap()
            .remove(field);
        parse_vehicle(&file.to_string()).unwrap_err()
    };
    for (name, block, field) in [
        ("orchard-hauler", "/steering", "rod_inner_mm"),
        ("orchard-hauler-slider", "/steering", "rail"),
        ("orchard-hauler-parallelogram", "/steering", "crank_end_mm"),
        (
            "orchard-hauler-cross-rod",
            "/steering/drag_link",
            "outer_mm",
        ),
        (
            "orchard-hauler-handlebar",
            "/steering/handlebar",
            "crank_end_mm",
        ),
    ] {
        let faults = without(name, block, field);
        assert_eq!(faults[0].pointer, format!("{block}/{field}"), "{faults:?}");
        assert!(faults[0].message.contains("needs"), "{faults:?}");
    }
    for (name, extra) in [
        ("orchard-hauler", "idler_end_mm"),
        ("orchard-hauler-slider", "crank_end_mm"),
        ("orchard-hauler-cross-rod", "rod_inner_mm"),
    ] {
        let at = format!("/steering/{extra}");
        let file = changed(&demo_vehicle(name), &[(&at, json!([0, 10, 200]))]);
        let faults = parse_vehicle(&file.to_string()).unwrap_err();
        assert_eq!(faults[0].pointer, at, "{faults:?}");
        assert!(faults[0].message.contains("no field"), "{faults:?}");
    }
}

/// Guides that the cable does not touch, runs through or that lack a sense, with field and pose.
#[test]
fn faults_of_cables_stand_at_their_guides() {
    let base = demo_vehicle("orchard-hauler-cables");
    let sheave = |centre: Value, turn: &str| json!({"centre_mm": centre, "radius_mm": 20, "axis": [0, 0, 1], "turn": turn});
    let first = |place: &str, value: Value| {
        let text = changed(&base, &[(place, value)]).to_string();
        let faults = parse_vehicle(&text).unwrap_err();
        (faults[0].pointer.clone(), faults[0].message.clone())
    };
    let block = "/steering/handlebar";
    for (place, value, pointer, words) in [
        // Beside the straight part, on its wrong side.
        (
            "left_run/0",
            sheave(json!([-350, 200, 330]), "counter_clockwise"),
            "left_run/0",
            ["left cable does not touch", "design pose"],
        ),
        // Closer to the handlebar's sheave than its radius.
        (
            "left_run/0",
            json!({"centre_mm": [-550, 20, 600]}),
            "sheave",
            ["runs through the handlebar's sheave", "design pose"],
        ),
        (
            "driven/centre_mm",
            json!([-60, 310, 270]),
            "driven",
            ["runs through the driven sheave", "design pose"],
        ),
        (
            "left_run/0/radius_mm",
            json!(20),
            "left_run/0/axis",
            ["a sheave needs", "axis"],
        ),
        (
            "left_run/0/turn",
            json!("clockwise"),
            "left_run/0/turn",
            ["an eye has no", "turn"],
        ),
        ("stiffness_n", json!(0), "stiffness_n", ["out of range", ""]),
    ] {
        let (at, message) = first(&format!("{block}/{place}"), value);
        assert_eq!(at, format!("{block}/{pointer}"), "{message}");
        assert!(words.iter().all(|w| message.contains(w)), "{message}");
    }
    // Clear as drawn, but the wishbone carries its eye into a sheave of the frame.
    let run = json!([
        {"centre_mm": [-350, 60, 330]},
        {"centre_mm": [-150, 320, 300], "radius_mm": 30, "axis": [1, 0, 0],
            "turn": "clockwise"},
        {"on": "lower_wishbone", "centre_mm": [-150, 320, 250]},
    ]);
    let (at, message) = first(&format!("{block}/left_run"), run);
    assert!(
        at.starts_with(&format!("{block}/left_run/1")),
        "{at} {message}"
    );
    assert!(message.contains("leaned"), "{message}");
}
