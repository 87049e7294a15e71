//! Jobs over several layouts: what is read, refused and counted.

mod common;

use common::changed;
use leanwright_design::{Compiled, Fault, parse_job};
use serde_json::{Value, json};

fn job() -> Value {
    serde_json::from_str(include_str!("../../../demo-jobs/layouts.json"))
        .expect("the demo job is JSON")
}

fn faults(changes: &[(&str, Value)]) -> Vec<Fault> {
    parse_job(&changed(&job(), changes).to_string()).expect_err("the job is at fault")
}

#[test]
fn every_layout_is_a_problem_of_its_own_on_the_same_terms() {
    let job = parse_job(&job().to_string()).unwrap();
    let compiled = Compiled::new(&job).unwrap();
    assert_eq!(compiled.layouts(), 4);
    let names: Vec<String> = (0..4).map(|i| job.layout_name(i)).collect();
    assert_eq!(
        names,
        ["Centre crank", "Slider", "Idler parallelogram", "Cross rod"]
    );
    for (layout, name) in names.iter().enumerate() {
        let one = compiled.layout(layout);
        let problem = one.problem();
        let alone = job.of_layout(layout);
        assert_eq!(problem.variables().len(), alone.freedoms.len());
        assert_eq!(problem.goals(), 2);
        assert_eq!(problem.violations(), compiled.problem().violations());
        let place = one.submitted().layout.unwrap();
        assert_eq!((place.place as usize, place.name), (layout, name.clone()));
        assert_eq!(place.steering, alone.vehicle.steering.layout());
        // Read alone, the layout is the very same problem.
        let plain = Compiled::new(&alone).unwrap();
        let vector = vec![1.0; alone.freedoms.len()];
        let evaluated = |c: &Compiled| c.evaluate(&vector, &mut c.scratch());
        assert_eq!(evaluated(&plain), evaluated(one));
    }
    let budget = compiled.budget();
    assert_eq!(budget.islands, 8);
    assert_eq!(
        budget.evaluations,
        u64::from(budget.epochs) * u64::from(budget.epoch_evaluations) * 8
    );
    assert!(budget.evaluations >= 160_000);
}

#[test]
fn a_fault_of_a_layout_stands_where_the_layout_gives_it() {
    let broken = faults(&[(
        "/layouts/0/freedoms/0/point",
        json!("steering.crank.point_mm"),
    )]);
    assert_eq!(broken[0].pointer, "/layouts/0/freedoms/0/point");
    assert!(broken[0].allowed.contains("layout"), "{broken:?}");
    let missing = faults(&[("/layouts/2/vehicle/steering/drag_link", json!(null))]);
    assert_eq!(missing[0].pointer, "/layouts/2/vehicle/steering/drag_link");
    let flat = json!({"side": "left", "inner_mm": [-330, 210, 222], "outer_mm": [10, 270, 222]});
    let on_axis = faults(&[("/layouts/2/vehicle/steering/drag_link", flat)]);
    assert_eq!(
        on_axis[0].pointer,
        "/layouts/2/vehicle/steering/drag_link/inner_mm"
    );
    let unknown = faults(&[("/layouts/1/speed", json!(3))]);
    assert_eq!(unknown[0].pointer, "/layouts/1/speed");
    assert!(
        unknown[0].message.contains("a layout has no field"),
        "{unknown:?}"
    );
    // What a goal needs must be there in every layout.
    let mut unweighed = job();
    unweighed["goals"][0] = json!({"minimise": "handlebar_torque_nm"});
    unweighed["layouts"][1]["vehicle"]
        .as_object_mut()
        .unwrap()
        .remove("masses");
    let unweighed = parse_job(&unweighed.to_string()).unwrap_err();
    assert!(unweighed[0].message.contains("masses"), "{unweighed:?}");
}

#[test]
fn what_several_layouts_cannot_have_is_refused() {
    let started = faults(&[("/start_from", json!({"job": "abc"}))]);
    assert!(
        started.iter().any(|f| f.pointer == "/start_from"),
        "{started:?}"
    );
    let crowded = faults(&[("/search/islands", json!(20))]);
    assert_eq!(crowded[0].pointer, "/search/islands");
    let mut many = job();
    let one = many["layouts"][0].clone();
    many["layouts"] = json!(vec![one; 6]);
    let many = parse_job(&many.to_string()).unwrap_err();
    assert_eq!(many[0].pointer, "/layouts");
}

/// A goal that no freedom of one layout changes ends the job by that layout's name.
#[test]
fn an_idle_goal_is_told_with_its_layout() {
    let mut idle = job();
    idle["layouts"][0]["freedoms"] = json!([
        {"point": "rear_wheel.centre_mm", "axis": "x", "offset_from_mm": -5, "offset_to_mm": 5}
    ]);
    idle["goals"] =
        json!([{"minimise": "kingpin_inclination_deg"}, {"minimise": "bump_steer_deg"}]);
    idle["requirements"] = json!([]);
    let job = parse_job(&idle.to_string()).unwrap();
    let faults = Compiled::new(&job).unwrap_err();
    assert!(faults[0].pointer.starts_with("/goals"), "{faults:?}");
    assert!(
        faults[0].message.starts_with("Centre crank: ")
            || faults[0].message.starts_with("Slider: "),
        "{faults:?}"
    );
}
