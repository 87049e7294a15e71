//! Slopes of every quantity along every freedom, against hand-worked derivatives and against
//! differences of assessments of vehicle files that were moved from outside.

mod common;

use common::{changed, example_job};
use leanwright_design::{
    Assessment, Compiled, Freedom, QuantitySlopes, Reach, Role, Sensitivities, Slope, assessment,
    parse_job, parse_vehicle,
};
use serde_json::{Value, json};

fn compiled(job: &Value) -> Compiled {
    let job = parse_job(&job.to_string()).expect("a sound job");
    Compiled::new(&job).expect("a sound job")
}

fn freedom(point: &str, axis: &str) -> Value {
    json!({"point": point, "axis": axis, "offset_from_mm": -20, "offset_to_mm": 20})
}

fn row<'a>(found: &'a Sensitivities, quantity: &str) -> &'a QuantitySlopes {
    let mut rows = found.quantities.iter();
    rows.find(|r| r.quantity == quantity).expect("a row")
}

fn is(slope: &Slope, expected: f64) {
    let found = slope.per_mm.expect("a slope of both sides");
    assert!(
        (found - expected).abs() < 1e-5 * (1.0 + expected.abs()),
        "{found} instead of {expected}"
    );
    assert_eq!(slope.note, None);
}

/// Derived: tan σ = (y_l − y_u)/(z_u − z_l) for the kingpin inclination σ; the kingpin meets the
/// ground at y_l + z_l·tan σ, and the scrub radius is the contact's y less that.
#[test]
fn inclination_and_scrub_by_hand() {
    let freedoms = json!([
        freedom("lower_wishbone.ball_joint_mm", "y"),
        freedom("upper_wishbone.ball_joint_mm", "y"),
        freedom("upper_wishbone.ball_joint_mm", "z"),
        freedom("front_wheels.centre_mm", "y"),
        freedom("rear_wheel.centre_mm", "x"),
    ]);
    let job = changed(
        &example_job(),
        &[("/freedoms", freedoms), ("/holds", json!([]))],
    );
    let found = compiled(&job).sensitivities(&[0.0; 5]);
    let (lower, upper) = ([345.0_f64, 170.0], [316.0, 330.0]);
    let (across, up) = (lower[0] - upper[0], upper[1] - lower[1]);
    let degree = 180.0 / core::f64::consts::PI;
    let bend = degree / (across * across + up * up);
    let inclination = [up * bend, -up * bend, -across * bend, 0.0, 0.0];
    let foot = lower[1] / up;
    let scrub = [-1.0 - foot, foot, across * lower[1] / (up * up), 1.0, 0.0];
    for (i, (sigma, offset)) in inclination.into_iter().zip(scrub).enumerate() {
        is(&row(&found, "kingpin_inclination_deg").slopes[i], sigma);
        is(&row(&found, "scrub_radius_mm").slopes[i], offset);
    }
    for (quantity, slopes) in [
        ("track_mm", [0.0, 0.0, 0.0, 2.0, 0.0]),
        ("wheelbase_mm", [0.0, 0.0, 0.0, 0.0, -1.0]),
    ] {
        for (slope, expected) in row(&found, quantity).slopes.iter().zip(slopes) {
            is(slope, expected);
        }
    }
}

/// Derived: zero scrub held by the lower ball joint puts the kingpin through contact and upper
/// ball joint, tan σ = (y_c − y_u)/z_u, wherever the lower one is.
#[test]
fn holds_are_solved_again() {
    let found = compiled(&example_job()).sensitivities(&[0.0, 0.0, 0.0, 0.0, 5.0, 5.0]);
    let (across, up) = (395.0_f64 - 316.0, 335.0);
    let degree = 180.0 / core::f64::consts::PI;
    let sigma = row(&found, "kingpin_inclination_deg");
    is(&sigma.slopes[4], 0.0);
    is(
        &sigma.slopes[5],
        -degree * across / (across * across + up * up),
    );
    let scrub = row(&found, "scrub_radius_mm");
    assert!(scrub.slopes.iter().all(|s| s.size() < 1e-6));
    assert_eq!(sigma.role, Role::Minimise);
}

fn assessed(vehicle: &Value) -> Assessment {
    let vehicle = parse_vehicle(&vehicle.to_string()).expect("a sound vehicle");
    assessment(&vehicle, &Reach::default()).expect("it assembles")
}

fn figure(of: &Assessment, name: &str) -> f64 {
    let found = of.set_up[0].figures.iter().find(|f| f.name == name);
    found.and_then(|f| f.value).expect("a figure")
}

fn shifted(vehicle: &Value, points: &[&str], axis: usize, by: f64) -> Value {
    let mut copy = vehicle.clone();
    for point in points {
        let pointer = format!("/{}/{axis}", point.replace('.', "/"));
        let place = copy.pointer_mut(&pointer).expect("a coordinate");
        *place = json!(place.as_f64().expect("a number") + by);
    }
    copy
}

/// The vehicle file with zero scrub, by secants on the lower ball joint's y.
fn without_scrub(vehicle: &Value) -> (Value, Assessment) {
    let at = |y: f64| {
        let moved = shifted(vehicle, &["lower_wishbone.ball_joint_mm"], 1, y);
        let of = assessed(&moved);
        (moved, figure(&of, "scrub_radius_mm"), of)
    };
    let (mut old, mut new) = (0.0, 0.05);
    let mut miss = at(old).1;
    for _ in 0..8 {
        let (moved, now, of) = at(new);
        if now.abs() < 1e-10 {
            return (moved, of);
        }
        (old, new, miss) = (new, new - now * (new - old) / (now - miss), now);
    }
    panic!("no secant came to zero scrub");
}

/// Every quantity that the assessment has, along every freedom of the example job, at a candidate
/// away from the submitted vehicle: the file is moved by a step of another size, its scrub brought
/// back to zero by this test, and assessed.
#[test]
fn slopes_are_those_of_assessed_files() {
    let vector = [-2.0, 5.0, 4.0, 10.0, 5.0, 5.0];
    let compiled = compiled(&example_job());
    let found = compiled.sensitivities(&vector);
    let vehicle = serde_json::to_value(compiled.candidate(&vector).vehicle).expect("JSON");
    const STEP: f64 = 0.04;
    let mut kinks = 0;
    for (i, freedom) in compiled.job().freedoms.iter().enumerate() {
        let Freedom::Point(freedom) = freedom else {
            panic!("this job moves points only");
        };
        let mut points = vec![freedom.point.as_str()];
        points.extend(freedom.carries.iter().map(String::as_str));
        let at = |by: f64| without_scrub(&shifted(&vehicle, &points, freedom.axis as usize, by)).1;
        let [before, here, after] = [-STEP, 0.0, STEP].map(at);
        for now in &here.quantities {
            let same = |r: &&QuantitySlopes| r.quantity == now.quantity && r.over == now.over;
            let row = found.quantities.iter().find(same).expect("a row");
            let value = |of: &Assessment| {
                let mut all = of.quantities.iter();
                let found = all.find(|q| q.quantity == now.quantity).expect("a value");
                found
                    .value
                    .unwrap_or_else(|| panic!("{} is reached", now.quantity))
            };
            let up = (value(&after) - value(&here)) / STEP;
            let down = (value(&here) - value(&before)) / STEP;
            let (slope, near) = (&row.slopes[i], |a: f64, b: f64, size: f64| {
                (a - b).abs() < 5e-3 * size + 2e-4
            });
            let size = up.abs().max(down.abs());
            let agree = match (slope.per_mm, slope.upwards_per_mm, slope.downwards_per_mm) {
                (Some(both), None, None) => near(both, 0.5 * (up + down), size),
                (None, Some(a), Some(b)) => near(a, up, 10.0 * size) && near(b, down, 10.0 * size),
                _ => false,
            };
            kinks += usize::from(slope.per_mm.is_none());
            assert!(agree, "{} {i}: {slope:?} {up} {down}", now.quantity);
        }
    }
    assert!(kinks < 20, "{kinks} kinks");
}

/// Left and right drawn alike, each with a freedom of its own: the larger inclination of both
/// follows the side that grows and stays when it shrinks.
#[test]
fn a_kink_has_both_slopes() {
    let job = changed(
        &example_job(),
        &[
            (
                "/vehicle/right",
                json!({"upper_wishbone": {"ball_joint_mm": [-8, -316, 330]}}),
            ),
            (
                "/freedoms",
                json!([
                    freedom("upper_wishbone.ball_joint_mm", "y"),
                    freedom("right.upper_wishbone.ball_joint_mm", "y"),
                ]),
            ),
            ("/holds", json!([])),
        ],
    );
    let found = compiled(&job).sensitivities(&[0.0; 2]);
    let bend = 160.0 * 180.0 / core::f64::consts::PI / (29.0_f64.powi(2) + 160.0_f64.powi(2));
    let slopes = &row(&found, "kingpin_inclination_deg").slopes;
    for (slope, up, down) in [(&slopes[0], 0.0, -bend), (&slopes[1], bend, 0.0)] {
        assert_eq!(slope.per_mm, None);
        assert!(
            (slope.upwards_per_mm.expect("up") - up).abs() < 1e-4,
            "{slope:?}"
        );
        assert!(
            (slope.downwards_per_mm.expect("down") - down).abs() < 1e-4,
            "{slope:?}"
        );
        assert!((slope.size() - bend).abs() < 1e-4);
        assert!(slope.note.as_ref().is_some_and(|n| n.starts_with("a kink")));
    }
}

#[test]
fn ends_of_ranges_and_missing_machines_are_said() {
    let compiled = compiled(&example_job());
    let inside = compiled.sensitivities(&[24.5, 0.0, 0.0, 0.0, 0.0, 0.0]);
    let end = compiled.sensitivities(&[25.0, 0.0, 0.0, 0.0, 0.0, 0.0]);
    let slope = |of: &Sensitivities| row(of, "lean_steer_deg").slopes[0].clone();
    let (a, b) = (slope(&inside), slope(&end));
    let note = b.note.expect("a note");
    assert_eq!(
        note,
        "downwards only; the other way: the range of this freedom ends here"
    );
    let (a, b) = (a.per_mm.expect("both"), b.per_mm.expect("one side"));
    assert!((a - b).abs() < 0.02 * a.abs(), "{a} {b}");

    let narrow = changed(
        &example_job(),
        &[
            ("/freedoms/0/offset_from_mm", json!(-0.002)),
            ("/freedoms/0/offset_to_mm", json!(0.002)),
            ("/grid_mm", json!(0.001)),
        ],
    );
    let found = self::compiled(&narrow).sensitivities(&[0.0; 6]);
    let shut = slope(&found);
    assert_eq!((shut.per_mm, shut.size()), (None, 0.0));
    assert_eq!(
        shut.note.as_deref(),
        Some("the range of this freedom ends here")
    );

    let nothing = compiled.sensitivities(&[0.0; 5]);
    assert!(nothing.failure.is_some() && nothing.quantities.is_empty());
}
