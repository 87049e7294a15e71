//! Forces in the members against an outside reference.
//!
//! Source: `python/loads.py record`, which finds the forces by virtual work on distances with
//! NumPy and SciPy, cutting no free body; it takes the random machines and poses of
//! `fixtures/poses.jsonl` and `fixtures/layouts.jsonl` (both couplings, all layouts) and random
//! forces on both front wheels. Derived values.

use kinematics::{Linkage, V3};
use leanwright_tests::cases::target_of;
use leanwright_tests::machine::machine;
use mechanics::{CornerForces, WheelForce, corner_forces};
use serde_json::Value;

/// Asked for, relative to the largest force at a ball joint.
const RELATIVE: f64 = 1e-6;

fn vector(value: &Value) -> V3<f64> {
    let at = |i: usize| value[i].as_f64().expect("a number");
    V3::new(at(0), at(1), at(2))
}

fn ours(case: &Value) -> [CornerForces; 2] {
    let linkage = Linkage::new(&machine(&case["vehicle"])).expect("it assembles");
    let pose = linkage.pose(&target_of(&case["target"])).expect("it poses");
    let wheels = [0, 1].map(|side| WheelForce {
        at_contact: vector(&case["forces"][side][0]),
        at_centre: vector(&case["forces"][side][1]),
    });
    corner_forces(&linkage, &pose, &wheels).expect("no singularity")
}

/// Largest difference to the reference, relative to the largest force at a ball joint.
fn gap(ours: &[CornerForces; 2], case: &Value) -> f64 {
    let found = &case["found"];
    let (mut gap, mut size) = (0.0_f64, 0.0_f64);
    let mut see = |a: f64, b: &Value| gap = gap.max((a - b.as_f64().expect("a number")).abs());
    for (side, forces) in ours.iter().enumerate() {
        for (arm, ball) in forces.balls.iter().enumerate() {
            size = size.max(ball.norm());
            for (i, x) in ball.to_array().into_iter().enumerate() {
                see(x, &found["balls"][side][arm][i]);
            }
        }
        see(forces.rod, &found["rods"][side]);
        let legs = &found["legs"][side];
        see(forces.legs[1][0], &legs[2]);
        see(forces.legs[1][1], &legs[3]);
        match &found["links"] {
            // The reference's lower legs carry the link's pull in their plane on top.
            Value::Array(links) => see(forces.link, &links[side]),
            _ => {
                see(forces.legs[0][0], &legs[0]);
                see(forces.legs[0][1], &legs[1]);
            }
        }
    }
    gap / size
}

fn cases() -> Vec<Value> {
    include_str!("../fixtures/loads.jsonl")
        .lines()
        .map(|line| serde_json::from_str(line).expect("a fixture line is JSON"))
        .collect()
}

#[test]
fn member_forces_agree_with_virtual_work() {
    let cases = cases();
    assert!(cases.len() >= 100);
    let mut worst = 0.0_f64;
    for (i, case) in cases.iter().enumerate() {
        let found = gap(&ours(case), case);
        assert!(found < RELATIVE, "case {i}, {}: {found:.2e}", case["kind"]);
        worst = worst.max(found);
    }
    println!("{} machines, largest difference {worst:.1e}", cases.len());
}

#[test]
fn a_changed_force_is_noticed() {
    let mut case = cases().swap_remove(1);
    let force = &mut case["forces"][0][0][2];
    *force = Value::from(force.as_f64().expect("a number") + 0.1);
    assert!(gap(&ours(&case), &case) > RELATIVE);
}
