//! Each row of the text files breaks one place of a sound file and states where the fault must be
//! reported, and with which words.

mod common;

use common::{changed, demo_vehicle, example_job, rocker_vehicle, welded_vehicle};
use leanwright_design::{Fault, parse_job, parse_vehicle};
use serde_json::{Value, json};

fn check(base: &Value, rows: &str, parse: impl Fn(&str) -> Vec<Fault>) {
    let rows = rows
        .lines()
        .filter(|line| !line.is_empty() && !line.starts_with('#'));
    let mut count = 0;
    for row in rows {
        let [place, value, pointer, words] = row.split(" | ").collect::<Vec<_>>()[..] else {
            panic!("not four columns: {row}");
        };
        let value: Value = serde_json::from_str(value).unwrap_or_else(|e| panic!("{row}: {e}"));
        hit(
            &parse(&changed(base, &[(place, value)]).to_string()),
            pointer,
            words,
            row,
        );
        count += 1;
    }
    assert!(count > 0);
}

fn hit(faults: &[Fault], pointer: &str, words: &str, row: &str) {
    let said = |f: &Fault| f.message.contains(words) || f.allowed.contains(words);
    assert!(
        faults.iter().any(|f| f.pointer == pointer && said(f)),
        "{row}: no fault at {pointer} with \"{words}\" in {faults:#?}"
    );
    assert!(faults.iter().all(|f| !f.message.is_empty()), "{row}");
}

fn job(text: &str) -> Vec<Fault> {
    parse_job(text).err().unwrap_or_default()
}

fn vehicle(text: &str) -> Vec<Fault> {
    parse_vehicle(text).err().unwrap_or_default()
}

#[test]
fn the_vehicle() {
    check(
        &example_job()["vehicle"],
        include_str!("bad_input/vehicle.txt"),
        vehicle,
    );
}

#[test]
fn the_parts() {
    let parts = json!({
        "sections": [
            {"length_mm": 35, "diameter_mm": 20, "fillet_mm": 1.5},
            {"length_mm": 30, "diameter_mm": 17, "fillet_mm": 0.8}
        ],
        "bearings_mm": [14, 54],
        "wheel_mm": 40,
        "material": "6061-T6"
    });
    let own = json!({
        "name": "own", "ultimate_mpa": 400, "yield_mpa": 300, "elastic_gpa": 70,
        "density_kg_m3": 2700, "fatigue_mpa": 100, "fatigue_cycles": 1e8
    });
    let base = changed(
        &example_job()["vehicle"],
        &[
            ("/stub_axle", parts),
            ("/materials", json!([own])),
            ("/rods", json!({"outer_diameter_mm": 14, "material": "own"})),
            ("/joint_ratings", json!({})),
            (
                "/wishbone_legs",
                json!({"outer_diameter_mm": 18, "inner_diameter_mm": 15, "material": "S355"}),
            ),
            (
                "/load_cases",
                json!([{"name": "bump", "spectrum": [{"share": 1, "cycles": 100}]}]),
            ),
            (
                "/loadings",
                json!([{"name": "empty", "total_kg": 40, "centre_of_gravity_mm": [-560, 0, 400]}]),
            ),
        ],
    );
    assert_eq!(vehicle(&base.to_string()), []);
    check(&base, include_str!("bad_input/parts.txt"), vehicle);
}

#[test]
fn sizes_and_boxes() {
    let stand = |name: &str, y: f64| json!({"name": name, "centre_mm": [-420, y, 250], "size_mm": [50, 50, 300]});
    let mut frame = json!({"name": "frame", "centre_mm": [0, 0, 250], "size_mm": [300, 160, 240]});
    frame["carries"] = json!(["lower_wishbone", "upper_wishbone", "steering"]);
    let boxes = json!([
        stand("left stand", 230.0),
        stand("right stand", -230.0),
        frame
    ]);
    let wheel = json!({
        "rim": {"radius_mm": 206, "section_radius_mm": 12},
        "brake_disc": {"radius_mm": 70, "along_mm": [-40, -36]},
    });
    let vehicle_before = &example_job()["vehicle"];
    let base = changed(
        vehicle_before,
        &[
            (
                "/shapes",
                json!({"wishbone_diameter_mm": 20, "boxes": boxes}),
            ),
            ("/limits", json!({"least_clearance_mm": 3})),
            ("/front_wheels/rim", wheel["rim"].clone()),
            ("/front_wheels/brake_disc", wheel["brake_disc"].clone()),
        ],
    );
    assert_eq!(vehicle(&base.to_string()), []);
    check(&base, include_str!("bad_input/shapes.txt"), vehicle);
}

#[test]
fn a_quantity_without_its_part() {
    let wish = |name: &str| json!([{ "minimise": name }]);
    for (name, block) in [
        ("joint_use", "joint_ratings"),
        ("rod_buckling_use", "rods"),
        ("leg_buckling_use", "wishbone_legs"),
        ("stub_axle_damage", "stub_axle"),
        ("ground_clearance_mm", "shapes"),
        ("box_clearance_mm", "shapes.boxes"),
    ] {
        let faults = job(&changed(&example_job(), &[("/goals", wish(name))]).to_string());
        hit(&faults, "/goals/0/minimise", block, name);
    }
    let over = json!([{"minimise": "rod_force_n", "over": {"lean_deg": [-5, 5]}}]);
    let faults = job(&changed(&example_job(), &[("/goals", over)]).to_string());
    hit(&faults, "/goals/0/over/lean_deg", "load cases", "over");
}

#[test]
fn the_rocker() {
    check(
        &rocker_vehicle(),
        include_str!("bad_input/rocker.txt"),
        vehicle,
    );
}

#[test]
fn the_other_layouts() {
    let rows = [
        (
            "orchard-hauler-cross-rod",
            include_str!("bad_input/cross_rod.txt"),
        ),
        (
            "orchard-hauler-slider",
            include_str!("bad_input/slider.txt"),
        ),
        (
            "orchard-hauler-parallelogram",
            include_str!("bad_input/parallelogram.txt"),
        ),
    ];
    for (name, rows) in rows {
        check(&demo_vehicle(name), rows, vehicle);
    }
}

#[test]
fn the_right_side() {
    check(
        &welded_vehicle(),
        include_str!("bad_input/right_side.txt"),
        vehicle,
    );
}

#[test]
fn the_job() {
    check(&example_job(), include_str!("bad_input/job.txt"), job);
}

#[test]
fn lists_and_texts_that_are_too_long() {
    let hold = example_job()["holds"][0].clone();
    let rows = [
        (
            "/freedoms",
            json!(vec![json!({}); 10_000]),
            "/freedoms",
            "at most 64",
        ),
        (
            "/holds",
            json!([hold, hold]),
            "/holds/1/by/point",
            "held already",
        ),
        (
            "/goals",
            json!(vec![json!({"minimise": "caster_deg"}); 7]),
            "/goals",
            "at most 6",
        ),
        ("/name", json!("x".repeat(201)), "/name", "200 characters"),
        ("/name", json!("a\u{7}b"), "/name", "control"),
    ];
    for (place, value, pointer, words) in rows {
        hit(
            &job(&changed(&example_job(), &[(place, value)]).to_string()),
            pointer,
            words,
            place,
        );
    }
}

#[test]
fn a_section_as_large_as_its_wheel() {
    let mut base = example_job()["vehicle"].clone();
    base["front_wheels"]["radius_mm"] = json!(100);
    base["front_wheels"]["section_radius_mm"] = json!(100);
    let faults = vehicle(&base.to_string());
    hit(
        &faults,
        "/front_wheels/section_radius_mm",
        "below 100",
        "section",
    );
}

#[test]
fn carrying_in_a_circle() {
    let circle = changed(
        &example_job(),
        &[
            (
                "/freedoms/4/carries",
                json!(["upper_wishbone.ball_joint_mm"]),
            ),
            (
                "/freedoms/5/carries",
                json!(["lower_wishbone.ball_joint_mm"]),
            ),
        ],
    );
    let faults = job(&circle.to_string());
    hit(&faults, "/freedoms/4/carries", "circle", "first");
    hit(&faults, "/freedoms/5/carries", "circle", "second");
}

#[test]
fn a_quantity_that_needs_masses() {
    let mut base = example_job();
    base["vehicle"].as_object_mut().unwrap().remove("masses");
    base["goals"][1]["minimise"] = json!("steering_rise_mm");
    hit(
        &job(&base.to_string()),
        "/goals/1/minimise",
        "masses",
        "rise",
    );
}

#[test]
fn texts_that_are_no_documents() {
    let long = format!("\"{}\"", "x".repeat(2 << 20));
    let deep = "[".repeat(100_000);
    let rows = [
        ("", "no valid JSON"),
        ("{", "no valid JSON"),
        ("{\"a\": 1e999}", "out of range"),
        ("{\"a\": NaN}", "no valid JSON"),
        ("{} {}", "trailing"),
        ("[]", "an object"),
        (long.as_str(), "too long"),
        (deep.as_str(), "recursion"),
    ];
    for (text, words) in rows {
        hit(&job(text), "", words, words);
    }
}

#[test]
fn keys_that_stand_twice() {
    let twice = "\"radius_mm\":250,\"radius_mm\":260";
    let text = example_job()
        .to_string()
        .replacen("\"radius_mm\":250", twice, 1);
    hit(
        &job(&text),
        "/vehicle/front_wheels/radius_mm",
        "more than once",
        twice,
    );
}

#[test]
fn all_faults_at_once() {
    let broken = [
        ("/vehicle/front_wheels/radius_mm", json!(-1)),
        (
            "/vehicle/upper_wishbone/ball_joint_mm",
            json!([4, 345, 170]),
        ),
        ("/freedoms/0/axis", json!("q")),
        ("/goals/0/minimise", json!("nothing")),
        ("/search/seed", json!("x")),
        ("/surplus", json!(1)),
    ];
    let faults = job(&changed(&example_job(), &broken).to_string());
    for (place, _) in &broken {
        hit(&faults, place, "", place);
    }
    assert_eq!(
        faults.len(),
        broken.len(),
        "no faults that merely follow from others: {faults:#?}"
    );
}
