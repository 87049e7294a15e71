//! The assessment holds everything, by the same path as the search.

mod common;

use common::{changed, example_job, rocker_vehicle, welded_vehicle};
use leanwright_design::{
    Assessment, Compiled, Reach, assessment, parse_job, parse_vehicle, quantities,
};
use serde_json::{Value, json};

fn assessed(vehicle: &Value) -> Assessment {
    let vehicle = parse_vehicle(&vehicle.to_string()).expect("a sound vehicle");
    assessment(&vehicle, &Reach::default()).expect("an assessment")
}

fn value(assessment: &Assessment, name: &str) -> f64 {
    let found = assessment.quantities.iter().find(|q| q.quantity == name);
    found
        .unwrap_or_else(|| panic!("no {name}"))
        .value
        .expect("a value")
}

#[test]
fn every_quantity_of_the_table_is_there() {
    for vehicle in [
        example_job()["vehicle"].clone(),
        rocker_vehicle(),
        welded_vehicle(),
    ] {
        let assessment = assessed(&vehicle);
        let names: Vec<&str> = assessment
            .quantities
            .iter()
            .map(|q| q.quantity.as_str())
            .collect();
        let rows = quantities();
        let table: Vec<&str> = rows.iter().map(|r| r.name.as_str()).collect();
        // The rocker's vehicle fills every block in; the others lack parts and their strength.
        let needs = |name: &&str| {
            let block = rows.iter().find(|r| r.name == **name);
            block.and_then(|r| r.needs_block.as_deref())
        };
        let given = |name: &&str| {
            let place = |block: &str| format!("/{}", block.replace('.', "/"));
            needs(name).is_none_or(|block| vehicle.pointer(&place(block)).is_some())
        };
        assert_eq!(names, table.into_iter().filter(given).collect::<Vec<_>>());
        for curve in &assessment.curves {
            assert!(curve.x.values.len() > 3, "{}", curve.name);
            let long = |line: &leanwright_design::Line| line.values.len() == curve.x.values.len();
            assert!(curve.lines.iter().all(long), "{}", curve.name);
            let rises = curve.x.values.windows(2).all(|w| w[0] < w[1]);
            assert!(rises, "{}", curve.name);
        }
        assert!(!assessment.notes.is_empty() && !assessment.cautions.is_empty());
    }
}

#[test]
fn without_masses_only_what_needs_them_is_missing() {
    let mut vehicle = example_job()["vehicle"].clone();
    vehicle.as_object_mut().unwrap().remove("masses");
    let assessment = assessed(&vehicle);
    let kept: Vec<String> = quantities()
        .into_iter()
        .filter(|r| !r.needs_masses && r.needs_block.is_none())
        .map(|r| r.name)
        .collect();
    let names: Vec<String> = assessment
        .quantities
        .into_iter()
        .map(|q| q.quantity)
        .collect();
    assert_eq!(names, kept);
}

#[test]
fn assessment_and_job_say_the_same() {
    let job = parse_job(&example_job().to_string()).unwrap();
    let submitted = Compiled::new(&job).unwrap().submitted();
    let assessment = assessment(&job.vehicle, &job.reach).unwrap();
    for asked in submitted.goals.iter().chain(&submitted.requirements) {
        assert_eq!(
            asked.value,
            Some(value(&assessment, &asked.quantity)),
            "{}",
            asked.quantity
        );
        let reported = assessment
            .quantities
            .iter()
            .find(|q| q.quantity == asked.quantity);
        assert_eq!(asked.worst, reported.unwrap().worst, "{}", asked.quantity);
    }
}

#[test]
fn the_curves_end_where_the_quantities_say() {
    let assessment = assessed(&example_job()["vehicle"]);
    let curve = assessment
        .curves
        .iter()
        .find(|c| c.name == "toe_over_travel")
        .unwrap();
    let toe = |at: f64| {
        let place = curve.x.values.iter().position(|x| *x == Some(at)).unwrap();
        curve.lines[0].values[place].unwrap()
    };
    let bump = (toe(-30.0) - toe(0.0))
        .abs()
        .max((toe(30.0) - toe(0.0)).abs());
    assert!((bump - value(&assessment, "bump_steer_deg")).abs() < 1e-9);
    let stop = assessment
        .stops
        .iter()
        .find(|s| s.motion == "steer_left")
        .unwrap();
    assert!(stop.cause.contains("rod in line"), "{stop:?}");
    // The wheel lock is the inner wheel's angle there, the stop the mean of both wheels.
    let [inner, outer] = stop.inner_and_outer_deg.unwrap();
    assert!((inner - value(&assessment, "wheel_lock_deg")).abs() < 1e-6);
    assert!((stop.at.unwrap() - 0.5 * (inner + outer)).abs() < 1e-9);
    assert!(inner > outer);
}

#[test]
fn the_drawing_gives_the_set_up() {
    let assessment = assessed(&example_job()["vehicle"]);
    // By hand: inclination atan((345 − 316)/(330 − 170)), caster atan((4 + 8)/(330 − 170)).
    let inclination = (29.0f64 / 160.0).atan().to_degrees();
    let caster = (12.0f64 / 160.0).atan().to_degrees();
    assert!((value(&assessment, "kingpin_inclination_deg") - inclination).abs() < 1e-9);
    assert!((value(&assessment, "caster_deg") - caster).abs() < 1e-9);
    assert_eq!(value(&assessment, "track_mm"), 790.0);
    assert_eq!(value(&assessment, "wheelbase_mm"), 1150.0);
    assert_eq!(assessment.set_up.len(), 2);
    assert!(assessment.symmetric && !assessed(&welded_vehicle()).symmetric);
}

/// A rod end ISO 12240-4 series K, M10 (ball 19.05, eye 10.5, inner ring 14 mm, from memory) tilts
/// by asin(14/19.05) − asin(10.5/19.05); given by its sizes it limits like those degrees.
#[test]
fn a_bearing_limits_as_its_tilt_does() {
    let tilt = ((14.0_f64 / 19.05).asin() - (10.5_f64 / 19.05).asin()).to_degrees();
    let sizes = json!({"ball_diameter_mm": 19.05, "inner_width_mm": 14, "outer_width_mm": 10.5});
    let limited =
        |limits: Value| assessed(&changed(&example_job()["vehicle"], &[("/limits", limits)]));
    for (by_size, by_angle, quantity) in [
        ("rod_end_bearing", "rod_end_deg", "rod_end_angle_deg"),
        (
            "ball_joint_bearing",
            "ball_joint_deg",
            "ball_joint_angle_deg",
        ),
    ] {
        let (sized, angled) = (
            limited(json!({by_size: sizes})),
            limited(json!({by_angle: tilt})),
        );
        let lean = value(&sized, "lean_range_deg");
        assert!((lean - value(&angled, "lean_range_deg")).abs() < 1e-6);
        assert!(lean < 20.0, "the joints stop the lean: {lean}");
        let row = sized.quantities.iter().find(|q| q.quantity == quantity);
        let limit = row.and_then(|q| q.limit.as_ref()).expect("a limit");
        assert!((limit.at_most.expect("an upper limit") - tilt).abs() < 1e-9);
        assert_eq!(limit.origin, "the vehicle's limits");
    }
}

#[test]
fn a_faulty_reach_is_refused() {
    let vehicle = parse_vehicle(&welded_vehicle().to_string()).unwrap();
    let bad = Reach {
        speed_mps: [8.0, 0.0],
        lean_limit_deg: 90.0,
        ..Reach::default()
    };
    let faults = assessment(&vehicle, &bad).unwrap_err();
    let pointers: Vec<&str> = faults.iter().map(|f| f.pointer.as_str()).collect();
    assert_eq!(pointers, ["/reach/speed_mps", "/reach/lean_limit_deg"]);
}
