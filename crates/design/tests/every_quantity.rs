//! Every quantity of the table is a goal and a requirement, through the whole path from the job
//! file to the candidate.

mod common;

use common::{changed, example_job};
use leanwright_design::{
    Assessment, Compiled, QuantityValue, Role, assessment, parse_job, quantities,
};
use serde_json::{Value, json};

/// The example job with freedoms that every quantity feels, no holds, and one wish.
fn job(wish: &str, value: Value) -> Value {
    let freedom = |point: &str, axis: &str| json!({"point": point, "axis": axis, "offset_from_mm": -8, "offset_to_mm": 8});
    let freedoms = json!([
        freedom("front_wheels.centre_mm", "x"),
        freedom("front_wheels.centre_mm", "y"),
        freedom("rear_wheel.centre_mm", "x"),
        freedom("upper_wishbone.ball_joint_mm", "x"),
        freedom("upper_wishbone.ball_joint_mm", "y"),
        freedom("steering.rod_outer_mm", "x"),
        freedom("steering.rod_outer_mm", "z"),
    ]);
    // Sides that differ, else brakes on both wheels cancel.
    let right = json!({"upper_wishbone": {"ball_joint_mm": [-8, -316, 329]}});
    let base = example_job();
    let base = changed(
        &base,
        &[
            ("/freedoms", freedoms),
            ("/holds", json!([])),
            ("/requirements", json!([])),
            ("/goals", json!([{"minimise": "track_mm"}])),
            ("/reach/radius_m", json!(REACHED_M)),
            ("/vehicle/right", right),
            ("/vehicle/joint_ratings", json!({"rod_end_n": 2000})),
            (
                "/vehicle/rods",
                json!({"outer_diameter_mm": 10, "material": "6061-T6"}),
            ),
            (
                "/vehicle/wishbone_legs",
                json!({"outer_diameter_mm": 16, "inner_diameter_mm": 13, "material": "6061-T6"}),
            ),
            ("/vehicle/stub_axle", stub_axle()),
            ("/vehicle/shapes", shapes()),
            ("/vehicle/joints", json!({"outer_rod_end": "own eye"})),
            (
                "/vehicle/joint_catalogue",
                json!([{"name": "own eye", "kind": "rod_end", "angle_deg": 60,
                    "static_rating_n": 5000, "diameter_mm": 24, "mass_kg": 0.05}]),
            ),
            ("/vehicle/steering/handlebar", cables()),
        ],
    );
    changed(&base, &[(wish, value)])
}

fn shapes() -> Value {
    json!({
        "wishbone_diameter_mm": 20,
        "boxes": [{"name": "stand", "centre_mm": [-420, 230, 250], "size_mm": [50, 50, 300], "mirrored": true}]
    })
}

fn stub_axle() -> Value {
    json!({
        "sections": [{"length_mm": 65, "diameter_mm": 17, "fillet_mm": 1}],
        "bearings_mm": [14, 54],
        "wheel_mm": 40,
        "material": "6061-T6"
    })
}

/// Both runs over one eye to the knuckles, whose joints the freedoms move.
fn cables() -> Value {
    json!({
        "kind": "cable",
        "sheave": {"centre_mm": [-550, 0, 600], "axis": [-0.3, 0, 1], "radius_mm": 40},
        "driven": {"on": "knuckles", "centre_mm": [-5, 323.25, 290], "radius_mm": 50},
        "left_run": [{"centre_mm": [-350, 60, 330]}],
        "stiffness_n": 160_000, "preload_n": 80, "friction": 0.12
    })
}

/// Turns that the hauler reaches; where it doesn't, the crank's margin is that of its stop.
const REACHED_M: [f64; 2] = [6.0, 50.0];

/// A step of every freedom; both axles move, not by the same.
const MOVED: [f64; 7] = [-2.0, -5.0, -5.0, -5.0, -5.0, -5.0, -5.0];

/// What the vehicle file fixes, whatever point moves.
const FIXED: [&str; 5] = [
    "toe_in_deg",
    "camber_deg",
    "lean_stop_speed_mps",
    "stub_axle_mass_kg",
    "joint_mass_kg",
];

fn assessed() -> Assessment {
    let job = job("/name", json!("known"));
    let job = parse_job(&job.to_string()).expect("a sound job");
    assessment(&job.vehicle, &job.reach).expect("it assembles")
}

fn submitted(job: &Value) -> (Compiled, Vec<QuantityValue>) {
    let job = parse_job(&job.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"));
    let compiled = Compiled::new(&job).unwrap_or_else(|faults| panic!("{faults:?}"));
    let candidate = compiled.submitted();
    (compiled, [candidate.goals, candidate.requirements].concat())
}

#[test]
fn every_quantity_is_a_goal() {
    let known = assessed();
    for row in quantities() {
        let verb = match row.usual_goal {
            Some(Role::Maximise) => "maximise",
            _ => "minimise",
        };
        let asked = job("/goals", json!([{verb: row.name}]));
        let parsed = parse_job(&asked.to_string()).unwrap_or_else(|f| panic!("{f:?}"));
        if FIXED.contains(&row.name.as_str()) {
            let faults = Compiled::new(&parsed).expect_err("no freedom changes it");
            assert!(faults[0].message.starts_with("no freedom changes"));
            continue;
        }
        let (compiled, values) = submitted(&asked);
        let mut all = known.quantities.iter();
        let same = all.find(|q| q.quantity == row.name).expect("assessed");
        let value = same.value.expect("reached");
        let near = |x: f64| (x - value).abs() < 1e-9;
        assert!(values[0].value.is_some_and(near), "{}", row.name);
        let found = compiled.evaluate(&[0.0; 7], &mut compiled.scratch());
        let sign = if verb == "maximise" { -1.0 } else { 1.0 };
        assert!(near(sign * found.goals[0]), "{}", row.name);
        // The goal moves with the freedoms.
        let moved = compiled.evaluate(&MOVED, &mut compiled.scratch());
        assert!(
            (moved.goals[0] - found.goals[0]).abs() > 1e-6,
            "{}",
            row.name
        );
    }
}

#[test]
fn every_quantity_is_a_requirement() {
    let known = assessed();
    for row in quantities() {
        let mut all = known.quantities.iter();
        let value = all.find(|q| q.quantity == row.name).and_then(|q| q.value);
        let value = value.expect("assessed");
        let limits = [
            ("at_most", value + 0.1, true),
            ("at_most", value - 0.1, false),
            ("at_least", value - 0.1, true),
            ("at_least", value + 0.1, false),
        ];
        let wishes = limits.map(|(limit, at, _)| json!({"quantity": row.name, limit: at}));
        let goals = 1;
        let (compiled, values) = submitted(&job("/requirements", json!(wishes)));
        let found = compiled.evaluate(&[0.0; 7], &mut compiled.scratch());
        for (i, (limit, at, met)) in limits.into_iter().enumerate() {
            let asked = &values[goals + i];
            assert_eq!(asked.quantity, row.name);
            let margin = asked.margin.expect("a margin");
            assert!((margin.abs() - 0.1).abs() < 1e-9 && (margin > 0.0) == met);
            assert_eq!(found.violations[i] <= 0.0, met, "{} {limit} {at}", row.name);
            let words = &compiled.violations()[i];
            assert!(words.starts_with(&row.name), "{words}");
        }
    }
}
