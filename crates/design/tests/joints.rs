//! Joints by catalogue: what a vehicle chooses, and what a job may choose of it.

mod common;

use common::{changed, demo_vehicle, rod_ends};
use leanwright_design::{Compiled, JOINTS, JointFile, Reach, assessment, parse_job, parse_vehicle};
use serde_json::{Value, json};

fn with_joints() -> Value {
    let joints = json!({
        "lower_ball_joint": "orchard ball 18", "upper_ball_joint": "orchard ball 22",
        "inner_rod_end": "wide eye 10", "outer_rod_end": "wide eye 8",
    });
    changed(&demo_vehicle("orchard-hauler"), &[("/joints", joints)])
}

/// Tilts that catalogues print for these sizes, degrees: series E bores 10, 12, 15, 20 and series K
/// 6, 8, 10, 12. K 10 was read in a catalogue's text; the others are from memory.
#[test]
fn sizes_of_the_shipped_joints_give_the_catalogues_tilts() {
    let file: JointFile = serde_json::from_str(JOINTS).expect("the file is valid");
    let printed = [
        ("plain bearing 10", 12.0),
        ("plain bearing 12", 11.0),
        ("plain bearing 15", 8.0),
        ("plain bearing 20", 9.0),
        ("eye 6", 13.0),
        ("eye 8", 14.0),
        ("eye 10", 13.0),
        ("eye 12", 13.0),
        ("angle joint 13", 18.0),
    ];
    for (name, tilt) in printed {
        let joint = file.joints.iter().find(|j| j.name == name).expect(name);
        let allowed = joint.allowed_deg().expect("an angle");
        assert!((allowed - tilt).abs() < 1.0, "{name}: {allowed} {tilt}");
    }
    assert!(
        file.joints
            .iter()
            .all(|j| !j.source.is_empty() && j.allowed_deg().is_some())
    );
}

#[test]
fn joints_bring_limits_ratings_and_mass() {
    let vehicle = parse_vehicle(&with_joints().to_string()).expect("a sound vehicle");
    let found = assessment(&vehicle, &Reach::default()).expect("it assembles");
    let row = |name: &str| found.quantities.iter().find(|q| q.quantity == name);
    let mass = row("joint_mass_kg").and_then(|q| q.value).expect("a mass");
    // Both sides of 0.17, 0.29, 0.09 and 0.06 kg.
    assert!((mass - 2.0 * 0.61).abs() < 1e-12, "{mass}");
    let limit = |name: &str| row(name).and_then(|q| q.limit.clone()?.at_most);
    assert_eq!(limit("ball_joint_angle_deg"), Some(23.0));
    assert_eq!(limit("rod_end_angle_deg"), Some(24.0));
    assert_eq!(limit("joint_angle_use"), Some(1.0));
    let used = row("joint_angle_use")
        .and_then(|q| q.value)
        .expect("a part");
    let ball = row("ball_joint_angle_deg")
        .and_then(|q| q.value)
        .expect("an angle");
    assert!(used >= ball / 28.0 - 1e-9 && used > 0.1, "{used} {ball}");
    let carried = row("joint_use").and_then(|q| q.value);
    assert!(
        carried.is_some_and(|x| x > 0.0),
        "ratings come with the joints"
    );
    // The smaller ball joint stops the lean first, by its own limit.
    let stop = found
        .stops
        .iter()
        .find(|s| s.motion == "lean_left")
        .expect("a stop");
    assert!(stop.cause.contains("at its limit"), "{}", stop.cause);
}

fn choosing() -> Value {
    let base = rod_ends();
    let names = json!(["orchard ball 14", "orchard ball 18", "orchard ball 22"]);
    let eyes = json!(["eye 8", "wide eye 8", "wide eye 10"]);
    let mut vehicle = with_joints();
    vehicle["fittings"] = json!({"outer_bolt": [0, 0, 1]});
    changed(
        &base,
        &[
            ("/vehicle", vehicle),
            (
                "/freedoms",
                json!([
                    {"parameter": "joints.lower_ball_joint", "names": names},
                    {"parameter": "joints.outer_rod_end", "names": eyes},
                    {"direction": "fittings.outer_bolt", "about": "x",
                     "offset_from_deg": -20, "offset_to_deg": 20},
                    {"point": "steering.rod_outer_mm", "axis": "z",
                     "offset_from_mm": -15, "offset_to_mm": 30},
                ]),
            ),
            ("/requirements", json!([])),
            (
                "/goals",
                json!([{"maximise": "lean_range_deg"}, {"minimise": "joint_mass_kg"},
                       {"minimise": "joint_angle_use"}]),
            ),
        ],
    )
}

/// What the search evaluates is what the vehicle file of the candidate says, assessed anew.
#[test]
fn a_search_chooses_joints_and_turns_bolts() {
    let job = parse_job(&choosing().to_string()).unwrap_or_else(|f| panic!("{f:?}"));
    let compiled = Compiled::new(&job).unwrap_or_else(|f| panic!("{f:?}"));
    let mut scratch = compiled.scratch();
    let mut ranges = Vec::new();
    for vector in [
        [0.0, 0.0, 0.0, 0.0],
        [-1.0, 0.0, 0.0, 0.0],
        [1.0, 1.0, 7.5, 3.0],
        [0.9, -0.8, -12.3, 0.04],
    ] {
        let vector = compiled.round(&vector);
        let found = compiled.evaluate(&vector, &mut scratch);
        let candidate = compiled.candidate(&vector);
        let fresh = assessment(&candidate.vehicle, &job.reach).expect("it assembles");
        for (goal, value) in candidate.goals.iter().zip(&found.goals) {
            let same = fresh
                .quantities
                .iter()
                .find(|q| q.quantity == goal.quantity);
            let again = same.and_then(|q| q.value).expect("assessed");
            assert!(
                (goal.value.expect("reached") - again).abs() < 1e-6,
                "{}",
                goal.quantity
            );
            assert!(
                (value.abs() - again.abs()).abs() < 1e-6,
                "{}",
                goal.quantity
            );
        }
        ranges.push(candidate.goals[0].value.expect("a lean range"));
        assert_eq!(candidate.joints.len(), 2);
        let name = candidate.vehicle.joints.lower_ball_joint.clone();
        assert_eq!(name.as_ref(), Some(&candidate.joints[0].chosen));
    }
    assert!(
        ranges[1] < ranges[0],
        "18° stop the lean before 23°: {ranges:?}"
    );
    let last = compiled.candidate(&compiled.round(&[1.0, -1.0, -12.3, 0.0]));
    assert_eq!(last.joints[0].chosen, "orchard ball 22");
    assert_eq!(last.joints[1].chosen, "eye 8");
    // Right-handed about x, −12.5° on the grid of half degrees: up turns to the left.
    let turned = last.directions[0].chosen;
    let angle = 12.5_f64.to_radians();
    assert!((turned[1] - angle.sin()).abs() < 1e-8 && (turned[2] - angle.cos()).abs() < 1e-8);
}

/// Wishes at a percentile are about machines built with the chosen joints: the same as those of a
/// job that is submitted with them, in every state of loading; and a study finds the same figures.
#[test]
fn percentiles_are_those_of_the_chosen_joints() {
    let mut base = choosing();
    base["tolerance"] = json!({"sigma_mm": 0.5});
    base["requirements"] = json!([
        {"quantity": "joint_angle_use", "at_most": 3, "over": {"lean_deg": [-8, 8]}, "at": "p95"},
    ]);
    base["goals"] = json!([
        {"maximise": "lean_range_deg", "at": "p95"},
        {"minimise": "rod_end_angle_deg", "over": {"lean_deg": [-8, 8]}, "at": "p95"},
        {"minimise": "joint_mass_kg"},
    ]);
    base["vehicle"]["loadings"] = json!([
        {"name": "empty", "total_kg": 38, "centre_of_gravity_mm": [-520, 0, 390],
         "mean_travel_mm": -20},
    ]);
    let compile = |job: &Value| {
        let job = parse_job(&job.to_string()).unwrap_or_else(|f| panic!("{f:?}"));
        Compiled::new(&job).unwrap_or_else(|f| panic!("{f:?}"))
    };
    let compiled = compile(&base);
    let mut scratch = compiled.scratch();
    let mut ranges = Vec::new();
    for vector in [
        [0.0, 0.0, 0.0, 0.0],
        [-1.0, 0.0, 0.0, 0.0],
        [1.0, 1.0, 7.5, 3.0],
    ] {
        let vector = compiled.round(&vector);
        let found = compiled.evaluate(&vector, &mut scratch);
        let candidate = compiled.candidate(&vector);
        assert!(candidate.feasible, "{candidate:?}");
        let mut same = base.clone();
        same["vehicle"] = serde_json::to_value(&candidate.vehicle).expect("a vehicle");
        let same = compile(&same);
        let submitted = same.evaluate(&[0.0; 4], &mut same.scratch());
        for (one, other) in found.goals.iter().zip(&submitted.goals) {
            assert!((one - other).abs() < 1e-6, "{found:?} {submitted:?}");
        }
        assert!((found.violations[0] - submitted.violations[0]).abs() < 1e-6);
        let study = compiled.study(&vector);
        for goal in candidate.goals.iter().filter(|goal| goal.at.is_some()) {
            let row = study
                .quantities
                .iter()
                .find(|q| q.quantity == goal.quantity);
            let p95 = row.and_then(|row| row.p95).expect("a percentile");
            let value = goal.value.expect("a percentile");
            assert!(
                (value - p95).abs() < 1e-9,
                "{} {value} {p95}",
                goal.quantity
            );
            assert!(goal.as_drawn.is_some_and(|drawn| drawn != value));
        }
        ranges.push(candidate.goals[0].value.expect("a range"));
    }
    assert!(
        ranges[1] < ranges[0],
        "18° stop the lean before 23°: {ranges:?}"
    );
}

#[test]
fn joints_that_are_not_known() {
    let faults = |base: &Value, place: &str, value: Value| {
        let text = changed(base, &[(place, value)]).to_string();
        match base.get("freedoms") {
            Some(_) => parse_job(&text).err().unwrap_or_default(),
            None => parse_vehicle(&text).err().unwrap_or_default(),
        }
    };
    let vehicle = with_joints();
    let job = choosing();
    let own = |fields: Value| json!([fields]);
    let sound = json!({"name": "own", "kind": "rod_end", "angle_deg": 20,
        "static_rating_n": 5000, "diameter_mm": 20, "mass_kg": 0.05});
    let both = changed(
        &sound,
        &[(
            "/bearing",
            json!({"ball_diameter_mm": 16, "inner_width_mm": 12, "outer_width_mm": 9}),
        )],
    );
    let mut neither = sound.clone();
    neither
        .as_object_mut()
        .expect("an object")
        .remove("angle_deg");
    let rows = [
        (
            &vehicle,
            "/joints/lower_ball_joint",
            json!("orchard ball 19"),
            "/joints/lower_ball_joint",
            "or \"orchard ball 18\"",
        ),
        (
            &vehicle,
            "/joints/outer_rod_end",
            json!("orchard ball 18"),
            "/joints/outer_rod_end",
            "takes no ball_joint",
        ),
        (
            &vehicle,
            "/joints/middle_rod_end",
            json!("eye 8"),
            "/joints/middle_rod_end",
            "no field",
        ),
        (
            &vehicle,
            "/joint_catalogue",
            own(both),
            "/joint_catalogue/0/bearing",
            "not both",
        ),
        (
            &vehicle,
            "/joint_catalogue",
            own(neither),
            "/joint_catalogue/0",
            "angle_deg or bearing",
        ),
        (
            &vehicle,
            "/joint_catalogue",
            json!([sound, sound]),
            "/joint_catalogue/1/name",
            "two joints have this name",
        ),
        (
            &job,
            "/freedoms/0/names/0",
            json!("eye 8"),
            "/freedoms/0/names/0",
            "takes no rod_end",
        ),
        (
            &job,
            "/freedoms/0/names/0",
            json!("nothing"),
            "/freedoms/0/names/0",
            "no joint of the catalogue",
        ),
        (
            &job,
            "/freedoms/0/names/2",
            json!("orchard ball 14"),
            "/freedoms/0/names/2",
            "stands here twice",
        ),
        (
            &job,
            "/freedoms/0/names",
            json!(["orchard ball 14"]),
            "/freedoms/0/names",
            "submitted joint is not in this list",
        ),
        (
            &job,
            "/freedoms/0/parameter",
            json!("joints.lower_ball"),
            "/freedoms/0/parameter",
            "no joint of this path",
        ),
        (
            &job,
            "/freedoms/0/parameter",
            json!("joints.outer_rod_end"),
            "/freedoms/1/parameter",
            "free already",
        ),
        (
            &job,
            "/vehicle/joints/outer_rod_end",
            Value::Null,
            "/vehicle/joints/outer_rod_end",
            "a text",
        ),
        (
            &job,
            "/freedoms/2/direction",
            json!("fittings.lower_stud"),
            "/freedoms/2/direction",
            "no such direction",
        ),
        (
            &job,
            "/freedoms/2/offset_from_deg",
            json!(30),
            "/freedoms/2/offset_from_deg",
            "empty or inverted",
        ),
        (
            &job,
            "/freedoms/2/offset_to_deg",
            json!(120),
            "/freedoms/2/offset_to_deg",
            "at most 90 degrees",
        ),
        (
            &job,
            "/freedoms/2/about",
            json!("w"),
            "/freedoms/2/about",
            "not known here",
        ),
    ];
    for (base, place, value, pointer, words) in rows {
        let found = faults(base, place, value);
        let said = found.iter().any(|f| {
            f.pointer == pointer && (f.message.contains(words) || f.allowed.contains(words))
        });
        assert!(
            said,
            "{place}: no fault at {pointer} with \"{words}\" in {found:#?}"
        );
    }
}

/// A caller's own catalogue goes before the shipped one.
#[test]
fn an_own_catalogue_goes_first() {
    let own = json!([{"name": "eye 8", "kind": "rod_end", "angle_deg": 33,
        "static_rating_n": 5000, "diameter_mm": 20, "mass_kg": 0.5}]);
    let vehicle = changed(
        &with_joints(),
        &[
            ("/joint_catalogue", own),
            ("/joints/outer_rod_end", json!("eye 8")),
            ("/joints/inner_rod_end", json!("eye 8")),
        ],
    );
    let vehicle = parse_vehicle(&vehicle.to_string()).expect("a sound vehicle");
    let found = assessment(&vehicle, &Reach::default()).expect("it assembles");
    let row = found
        .quantities
        .iter()
        .find(|q| q.quantity == "rod_end_angle_deg");
    assert_eq!(row.and_then(|q| q.limit.clone()?.at_most), Some(33.0));
}
