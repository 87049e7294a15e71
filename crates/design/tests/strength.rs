//! Loads, stub axle and ride envelope from the vehicle file to the assessment.

mod common;

use common::{changed, example_job};
use leanwright_design::{
    Assessment, Compiled, LOAD_CASES, MATERIALS, Reach, assessment, parse_job, parse_vehicle,
};
use serde_json::{Value, json};

/// A plain aluminium stub axle of one diameter with a square shoulder at its root, and load cases
/// of the shipped file by name.
fn stubbed(diameter_mm: f64, cases: &[&str]) -> Value {
    let shipped: Value = serde_json::from_str(LOAD_CASES).expect("JSON");
    let all = shipped["load_cases"].as_array().expect("a list");
    let chosen = all
        .iter()
        .filter(|c| cases.contains(&c["name"].as_str().unwrap_or("")));
    let axle = json!({
        "sections": [{"length_mm": 65, "diameter_mm": diameter_mm, "fillet_mm": 0}],
        "boss_diameter_mm": 40,
        "bearings_mm": [14, 54],
        "wheel_mm": 40,
        "material": "6061-T6"
    });
    let chosen: Vec<&Value> = chosen.collect();
    assert_eq!(chosen.len(), cases.len());
    changed(
        &example_job()["vehicle"],
        &[("/stub_axle", axle), ("/load_cases", json!(chosen))],
    )
}

fn assess(vehicle: &Value) -> Assessment {
    let vehicle = parse_vehicle(&vehicle.to_string()).unwrap_or_else(|f| panic!("{f:?}"));
    assessment(&vehicle, &Reach::default()).expect("it is assessed")
}

fn value(assessment: &Assessment, name: &str) -> f64 {
    let found = assessment.quantities.iter().find(|q| q.quantity == name);
    found
        .and_then(|q| q.value)
        .unwrap_or_else(|| panic!("{name} has a value"))
}

/// Common practice, no source: "a 12 mm aluminium stub axle with a square shoulder breaks; 20 to
/// 25 mm does not". Each case alone, and without the number of cycles having a say: the thin axle
/// yields the first time.
///
/// In the corner no figure is chosen at all: the machine leans to its stop and is pushed sideways
/// until a wheel lifts, by statics. (This file once had a force inwards of 0.3 of the load on top,
/// put there after a first look; the axle broke by more, but that was no evidence.) In the bump the
/// published range of dynamic factors is 2.5 to 3; both ends break it.
#[test]
fn twelve_millimetres_of_aluminium_break_and_twenty_hold() {
    let of = |vehicle: &Value| {
        let found = assess(vehicle);
        let value = |name| value(&found, name);
        [
            value("stub_axle_yield_safety"),
            value("stub_axle_safety"),
            value("stub_axle_damage"),
        ]
    };
    let milder =
        |vehicle: Value| changed(&vehicle, &[("/load_cases/0/vertical_factor", json!(2.5))]);
    let corner = |d: f64| stubbed(d, &["corner at the lean stop"]);
    let bump = |d: f64| stubbed(d, &["bump"]);
    let mild_bump = |d: f64| milder(stubbed(d, &["bump"]));
    let cases: [(&str, &dyn Fn(f64) -> Value); 3] = [
        ("corner", &corner),
        ("bump", &bump),
        ("mild bump", &mild_bump),
    ];
    for (name, axle) in cases {
        let [first, fatigue, damage] = of(&axle(12.0));
        assert!(
            first < 1.0 && fatigue < 1.0 && damage > 1.0,
            "{name}: {first} {fatigue} {damage}"
        );
        for diameter in [20.0, 25.0] {
            let [first, fatigue, damage] = of(&axle(diameter));
            assert!(
                first > 1.5 && fatigue > 1.5 && damage < 1.0,
                "{name} {diameter}: {first} {fatigue} {damage}"
            );
        }
    }
}

/// The corner's forces by hand: at the lean stop the inner wheel carries nothing, the outer front
/// wheel all of the front's load by the lever along the machine, and sideways its part of the pull.
#[test]
fn the_corner_at_the_lean_stop_is_statics() {
    let found = assess(&stubbed(20.0, &["corner at the lean stop"]));
    let sheet = found.strength.as_ref().expect("there are masses");
    let figure = |side: &[leanwright_design::Figure], name: &str| {
        let one = side.iter().find(|f| f.name == name);
        one.and_then(|f| f.value).expect("a force")
    };
    let size = |side: &[leanwright_design::Figure]| {
        let [out, up, forward] =
            ["wheel_outward_n", "wheel_up_n", "wheel_forward_n"].map(|n| figure(side, n));
        libm::sqrt(out * out + up * up + forward * forward)
    };
    let right_turn = &sheet.loads[0];
    assert!(right_turn.lean_deg > 0.0 && size(&right_turn.right) < 1e-6);
    // The tangent of the resultant's angle is the sideways acceleration in g, that at which a wheel
    // lifts: v²/(gR) of the speed where it does so, on the tightest turn of 2.5 m. Upright load b/L
    // of the weight, as level as the frame stays.
    let speed = value(&found, "lift_speed_mps");
    let lift = speed * speed / (9.806_65 * 2.5);
    let wanted = 170.0 * 9.806_65 * 590.0 / 1150.0 * libm::sqrt(1.0 + lift * lift);
    let ratio = size(&right_turn.left) / wanted;
    assert!((ratio - 1.0).abs() < 0.02, "{ratio}");
}

#[test]
fn shipped_files_pass_the_checks_of_a_vehicle() {
    let cases: Value = serde_json::from_str(LOAD_CASES).expect("JSON");
    let materials: Value = serde_json::from_str(MATERIALS).expect("JSON");
    let vehicle = changed(
        &example_job()["vehicle"],
        &[
            ("/load_cases", cases["load_cases"].clone()),
            ("/materials", materials["materials"].clone()),
        ],
    );
    let vehicle = parse_vehicle(&vehicle.to_string()).unwrap_or_else(|f| panic!("{f:?}"));
    let said = |c: &leanwright_design::LoadCaseInput| {
        ["invented", "statics", "published"]
            .iter()
            .any(|word| c.source.contains(word))
    };
    assert!(vehicle.load_cases.iter().all(said));
    assert!(vehicle.materials.iter().all(|m| !m.source.is_empty()));
    // Given in the file or shipped with the program, they are the same.
    let own = assessment(&vehicle, &Reach::default()).expect("it is assessed");
    let shipped = assess(&example_job()["vehicle"]);
    assert_eq!(own.quantities, shipped.quantities);
}

#[test]
fn the_ride_envelope_of_the_hauler() {
    // By hand from the vehicle file, upright: track 790, wheelbase 1150, centre of gravity 590
    // in front of the rear wheel and 780 up. Derived: a/g = (T/2h)(b/L) tips sideways,
    // (L − b)/h pitches over; the front wheels stand on b/2L each.
    let found = assess(&example_job()["vehicle"]);
    let near = |name: &str, wanted: f64| {
        let value = value(&found, name);
        assert!(
            (value / wanted - 1.0).abs() < 1e-9,
            "{name}: {value} {wanted}"
        );
    };
    near("lift_acceleration_g", 790.0 / 1560.0 * 590.0 / 1150.0);
    near("standing_wheel_share", 590.0 / 2300.0);
    // Parked on 10° the weight's foot moves by h tan 10° across.
    let aside = 780.0 * libm::tan(10_f64.to_radians());
    near("parked_wheel_share", 590.0 / 2300.0 - aside / 790.0);
    // tan φ = v²/(gR) at 12° on 2.5 m.
    let speed = libm::sqrt(9.806_65 * 2.5 * libm::tan(12_f64.to_radians()));
    near("lean_stop_speed_mps", speed);
    // Between both speeds the machine is a rigid three-wheeler.
    assert!(value(&found, "lift_speed_mps") > speed);
}

#[test]
fn sizes_are_chosen_from_their_lists() {
    let text = common::axle_job().to_string();
    let job = parse_job(&text).unwrap_or_else(|f| panic!("{f:?}"));
    let compiled = Compiled::new(&job).unwrap_or_else(|f| panic!("{f:?}"));
    // The first section stands at 25 mm, the second at 20, the third at 15: offsets of the list.
    let rounded = compiled.round(&[-4.0, 3.0, 0.4, 0.2, 0.3]);
    assert_eq!(rounded, [-5.0, 5.0, 0.0, 0.0, 0.5]);
    let candidate = compiled.candidate(&[-5.0, 5.0, 2.0, 0.0, 0.5]);
    let sizes: Vec<f64> = candidate.sizes.iter().map(|s| s.chosen_mm).collect();
    assert_eq!(sizes, [20.0, 25.0, 17.0]);
    let axle = candidate.vehicle.stub_axle.as_ref().expect("it has one");
    let written: Vec<f64> = axle.sections.iter().map(|s| s.diameter_mm).collect();
    assert_eq!(written, sizes);
    // One path: the candidate's own vehicle, assessed, says the same.
    let assessed = assessment(&candidate.vehicle, &job.reach).expect("it is assessed");
    for asked in candidate.goals.iter().chain(&candidate.requirements) {
        let same = value(&assessed, &asked.quantity);
        assert_eq!(asked.value, Some(same), "{}", asked.quantity);
    }
    // What the search sees is what the candidate shows, and an untouched vector is as submitted.
    let seen = compiled.evaluate(&[-5.0, 5.0, 2.0, 0.0, 0.5], &mut compiled.scratch());
    assert_eq!(Some(seen.goals[0]), candidate.goals[0].value);
    assert_eq!(compiled.submitted().vehicle, job.vehicle);
}

/// Rods, legs, fillets and the boss are chosen from lists like diameters.
#[test]
fn sizes_of_other_bars_are_chosen_too() {
    let tube = |outer: f64| json!({"outer_diameter_mm": outer, "inner_diameter_mm": 9, "material": "S355"});
    let list = |path: &str, choices: Value| json!({"parameter": path, "choices": choices});
    let freedoms = json!([
        list("stub_axle.sections.2.fillet_mm", json!([0.1, 0.6, 1.5])),
        list("stub_axle.boss_diameter_mm", json!([40, 45])),
        list("rods.outer_diameter_mm", json!([10, 12, 14])),
        list("wishbone_legs.outer_diameter_mm", json!([12, 16, 20])),
    ]);
    let goals = json!([
        {"minimise": "linkage_mass_kg"},
        {"minimise": "rod_buckling_use"},
        {"minimise": "leg_buckling_use"},
        {"maximise": "stub_axle_safety"},
    ]);
    let job = changed(
        &common::axle_job(),
        &[
            ("/vehicle/stub_axle/bearing_seat", json!("loose")),
            ("/vehicle/rods", tube(12.0)),
            ("/vehicle/wishbone_legs", tube(16.0)),
            ("/freedoms", freedoms),
            ("/requirements", json!([])),
            ("/goals", goals),
        ],
    );
    let parsed = parse_job(&job.to_string()).unwrap_or_else(|f| panic!("{f:?}"));
    let compiled = Compiled::new(&parsed).unwrap_or_else(|f| panic!("{f:?}"));
    let goals = |vector: &[f64]| compiled.evaluate(vector, &mut compiled.scratch()).goals;
    let base = goals(&[0.0; 4]);
    // Thinner rods are lighter and nearer to buckling, thicker legs heavier and further from it.
    let rods = goals(&[0.0, 0.0, -2.0, 0.0]);
    assert!(rods[0] < base[0] && rods[1] > base[1] && rods[2] == base[2]);
    let legs = goals(&[0.0, 0.0, 0.0, 4.0]);
    assert!(legs[0] > base[0] && legs[2] < base[2] && legs[1] == base[1]);
    let candidate = compiled.candidate(&[0.9, 5.0, -2.0, 4.0]);
    let sizes: Vec<f64> = candidate.sizes.iter().map(|s| s.chosen_mm).collect();
    assert_eq!(sizes, [1.5, 45.0, 10.0, 20.0]);
    let written = &candidate.vehicle;
    assert_eq!(
        written.rods.as_ref().map(|r| r.outer_diameter_mm),
        Some(10.0)
    );
    let legs = written.wishbone_legs.as_ref();
    assert_eq!(legs.map(|r| r.outer_diameter_mm), Some(20.0));
    for (place, value, words) in [
        (
            "/freedoms/2/choices/0",
            json!(9),
            "above the inner diameter of 9 mm",
        ),
        ("/freedoms/0/choices/2", json!(31), "length of 30 mm"),
        (
            "/vehicle/wishbone_legs",
            json!(null),
            "no size of this path",
        ),
    ] {
        let faults = parse_job(&changed(&job, &[(place, value)]).to_string()).unwrap_err();
        let said = |f: &leanwright_design::Fault| f.message.contains(words);
        assert!(faults.iter().any(said), "{place}: {faults:#?}");
    }
}

/// A spectrum in the file is what its steps are one by one; a seat that presses is a notch.
#[test]
fn spectrum_and_seat_of_the_file() {
    let base = stubbed(15.0, &["bump"]);
    let damage = |vehicle: &Value| value(&assess(vehicle), "stub_axle_damage");
    let whole = damage(&base);
    let mut steps = base.clone();
    let case = steps["load_cases"][0].as_object_mut().expect("a case");
    let cycles = case
        .remove("cycles")
        .and_then(|c| c.as_f64())
        .expect("cycles");
    case.insert(
        "spectrum".into(),
        json!([{"share": 1, "cycles": 0.25 * cycles}, {"share": 1, "cycles": 0.75 * cycles}]),
    );
    assert!((damage(&steps) / whole - 1.0).abs() < 1e-9);
    steps["load_cases"][0]["spectrum"][1]["share"] = json!(0.5);
    assert!(damage(&steps) < whole);
    let under = |seat: &str| {
        let found = assess(&changed(&base, &[("/stub_axle/bearing_seat", json!(seat))]));
        let sheet = found.strength.expect("a sheet").stub_axle.expect("an axle");
        sheet.spots.last().expect("the bearing").notch
    };
    assert_eq!(under("loose"), 1.0);
    assert!(under("pressed") > 1.5);
}

#[test]
fn faults_of_choices() {
    let base = common::axle_job();
    for (place, value, pointer, words) in [
        (
            "/freedoms/0/parameter",
            json!("stub_axle.sections.7.diameter_mm"),
            "/freedoms/0/parameter",
            "stub_axle.sections.2",
        ),
        (
            "/freedoms/0/parameter",
            json!("stub_axle.sections.1.diameter_mm"),
            "/freedoms/1/parameter",
            "free already",
        ),
        (
            "/freedoms/0/choices",
            json!([]),
            "/freedoms/0/choices",
            "at least 1",
        ),
        (
            "/freedoms/0/choices/1",
            json!(15),
            "/freedoms/0/choices/1",
            "each size once",
        ),
        (
            "/freedoms/0/choices/0",
            json!(-15),
            "/freedoms/0/choices/0",
            "above 0",
        ),
        (
            "/freedoms/0/axis",
            json!("x"),
            "/freedoms/0/axis",
            "no field",
        ),
        (
            "/vehicle/stub_axle",
            json!(null),
            "/freedoms/0/parameter",
            "which it lacks",
        ),
    ] {
        let faults = parse_job(&changed(&base, &[(place, value)]).to_string()).unwrap_err();
        let said = |f: &leanwright_design::Fault| {
            f.pointer == pointer && (f.message.contains(words) || f.allowed.contains(words))
        };
        assert!(faults.iter().any(said), "{place}: {faults:#?}");
    }
}

#[test]
fn the_sheet_of_an_assessment() {
    let vehicle = stubbed(15.0, &["bump", "corner at the lean stop", "parking"]);
    let found = assess(&vehicle);
    let sheet = found.strength.as_ref().expect("there are masses");
    assert_eq!(sheet.load_cases.len(), 3);
    // The table's quantities are the worst of the sheet.
    let rod = |l: &leanwright_design::LoadRow| {
        let of = |side: &[leanwright_design::Figure]| {
            let rod = side.iter().find(|f| f.name == "rod_n");
            rod.and_then(|f| f.value).expect("a rod force").abs()
        };
        of(&l.left).max(of(&l.right))
    };
    let most = sheet.loads.iter().map(rod).fold(0.0, f64::max);
    assert!((most / value(&found, "rod_force_n") - 1.0).abs() < 1e-9);
    let axle = sheet.stub_axle.as_ref().expect("it has one");
    let least = |criterion: &str| {
        let all = axle.spots.iter().flat_map(|s| &s.safety);
        all.filter(|s| s.criterion == criterion)
            .map(|s| s.factor)
            .fold(f64::INFINITY, f64::min)
    };
    assert!((least("goodman") / value(&found, "stub_axle_safety") - 1.0).abs() < 1e-9);
    let first = least("first_cycle_yield");
    assert!((first / value(&found, "stub_axle_yield_safety") - 1.0).abs() < 1e-9);
    // Soderberg never allows more than Goodman; Gerber never less.
    assert!(least("soderberg") <= least("goodman") && least("goodman") <= least("gerber"));
    // The smallest diameter passes and the next smaller bore does not.
    let smallest = axle.smallest_diameters_mm.as_ref().expect("one passes")[0];
    let passes = |d: f64| {
        let found = assess(&stubbed(d, &["bump", "corner at the lean stop", "parking"]));
        value(&found, "stub_axle_safety").min(value(&found, "stub_axle_yield_safety")) >= 1.5
    };
    let bores = mechanics::BEARING_BORES_MM;
    let at = bores.iter().position(|b| *b == smallest).expect("a bore");
    assert!(passes(smallest) && !passes(bores[at - 1]), "{smallest}");
    // Wheel loads add up to the weight, and on the slope to its part across.
    let weight = 170.0 * 9.806_65;
    let standing = &sheet.standing[0];
    let sum = |loads: [f64; 3]| loads.iter().sum::<f64>();
    assert!((sum(standing.level_n) - weight).abs() < 1e-9);
    let across = weight * libm::cos(10_f64.to_radians());
    for loads in [standing.nose_up_n, standing.nose_down_n, standing.left_up_n] {
        assert!((sum(loads) - across).abs() < 1e-9);
    }
    assert!(found.curves.iter().any(|c| c.name == "speeds_over_radius"));
}
