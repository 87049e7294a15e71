//! Deflection of stepped stub axles against an outside reference.
//!
//! Source: `python/axles.py record`, which solves random axles under random wheel loads with the
//! beam elements of scikit-fem. Derived values.

use mechanics::{
    Criterion, Finish, Material, Notch, Reliability, Seat, Section, StubAxle, WheelLoad,
};
use serde_json::Value;

/// Asked for, relative to the largest deflection or slope of the plane. The elements' own solution is
/// off by up to 3e-9 (the worst case against exact rational arithmetic), ours is not.
const RELATIVE: f64 = 1e-8;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn pair(value: &Value) -> [f64; 2] {
    [number(&value[0]), number(&value[1])]
}

fn axle(case: &Value) -> StubAxle {
    let section = |s: &Value| Section {
        length: number(&s["length_mm"]),
        diameter: number(&s["diameter_mm"]),
        fillet: 0.5,
    };
    let sections = case["sections"].as_array().expect("sections");
    StubAxle {
        sections: sections.iter().map(section).collect(),
        boss: 60.0,
        bearings: pair(&case["bearings_mm"]),
        wheel: number(&case["wheel_mm"]),
        material: Material {
            ultimate_mpa: 800.0,
            yield_mpa: 600.0,
            elastic_mpa: number(&case["elastic_mpa"]),
            density_kg_m3: 7850.0,
            fatigue_mpa: 400.0,
            fatigue_cycles: 1e6,
            endures: true,
            notch: Notch::NeuberSteel,
        },
        finish: Finish::Machined,
        reliability: Reliability::NinetyNine,
        criterion: Criterion::Goodman,
        torque_share: 0.0,
        seat: Seat::Loose,
    }
}

#[test]
fn deflections_and_slopes_of_the_finite_elements() {
    let fixture = include_str!("../fixtures/axles.jsonl");
    let mut count = 0;
    for line in fixture.lines() {
        let case: Value = serde_json::from_str(line).expect("a case");
        let axle = axle(&case);
        let load = WheelLoad {
            across: pair(&case["force_n"]),
            couple: pair(&case["couple_nmm"]),
            ..WheelLoad::default()
        };
        let [inner, outer] = axle.bearings;
        let ours = [inner, outer, axle.length()].map(|place| axle.deflection(&load, place));
        for plane in 0..2 {
            for kind in 0..2 {
                let known = &case["found"][plane][kind];
                let known = [0, 1, 2].map(|i: usize| number(&known[i]));
                let size = known.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
                for (at, known) in known.into_iter().enumerate() {
                    let gap = (ours[at][kind][plane] - known).abs() / size;
                    assert!(gap < RELATIVE, "case {count}: {gap}");
                }
            }
        }
        // The tilt of the wheel is the line through both bearings.
        let tilt = axle.tilt(&load);
        let run = outer - inner;
        let sunk = |plane: usize, at: usize| number(&case["found"][plane][0][at]);
        let wanted = [0, 1].map(|plane| ((sunk(plane, 1) - sunk(plane, 0)) / run).atan());
        for (ours, wanted) in [tilt.up, tilt.forward].into_iter().zip(wanted) {
            assert!(
                (ours - wanted).abs() < 1e-9 * (1.0 + wanted.abs()),
                "{ours} {wanted}"
            );
        }
        count += 1;
    }
    assert_eq!(count, 80);
}
