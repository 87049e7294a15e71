//! Times our pose solver for `bench/poses.py`.
//!
//! Reads `{"vehicle": …, "sweeps": [[target, …], …], "repeats": n}` on standard input: every
//! sweep starts at the design pose and goes from pose to pose; eight sweeps of equal length
//! also run side by side. Prints `{"one": [s, …], "eight": [s, …], "poses": [[pose, …], …]}`,
//! seconds per pose for each repeat.

use std::hint::black_box;
use std::time::Instant;

use kinematics::{Drive, Linkage, Pose, Row};
use leanwright_tests::cases::{describe, target_of};
use leanwright_tests::machine::machine;
use serde_json::{Value, json};

fn main() {
    let asked: Value = serde_json::from_reader(std::io::stdin()).expect("JSON is expected");
    let linkage = Linkage::new(&machine(&asked["vehicle"])).expect("a sound machine");
    let sweeps: Vec<Vec<Drive<f64>>> = list(&asked["sweeps"])
        .iter()
        .map(|sweep| {
            list(sweep)
                .iter()
                .map(|t| Drive::new(&target_of(t)))
                .collect()
        })
        .collect();
    let repeats = asked["repeats"].as_u64().expect("a count of repeats");
    let side_by_side: Vec<Drive<Row<8>>> = (0..sweeps[0].len())
        .map(|i| Drive::gather(&sweeps.iter().map(|sweep| sweep[i]).collect::<Vec<_>>()))
        .collect();
    let count = (sweeps.len() * sweeps[0].len()) as f64;
    let per_pose = |work: &dyn Fn()| -> Vec<f64> {
        let timed = |_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64() / count
        };
        (0..repeats).map(timed).collect()
    };
    let one = per_pose(&|| sweeps.iter().for_each(|sweep| one_lane(&linkage, sweep)));
    let eight = per_pose(&|| eight_lanes(&linkage, &side_by_side));
    let poses: Vec<Vec<Value>> = sweeps
        .iter()
        .map(|sweep| answers(&linkage, sweep))
        .collect();
    println!("{}", json!({ "one": one, "eight": eight, "poses": poses }));
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list is expected")
}

fn one_lane(linkage: &Linkage, sweep: &[Drive<f64>]) {
    let mut near = *linkage.design_pose();
    for drive in sweep {
        near = black_box(linkage.solve(drive, &near));
    }
}

fn eight_lanes(linkage: &Linkage, sweep: &[Drive<Row<8>>]) {
    let mut near: Pose<Row<8>> = linkage.design_in_lanes();
    for drive in sweep {
        near = black_box(linkage.solve(drive, &near));
    }
}

fn answers(linkage: &Linkage, sweep: &[Drive<f64>]) -> Vec<Value> {
    let mut near = *linkage.design_pose();
    let follow = |drive| {
        near = linkage.solve(drive, &near);
        describe(&near)
    };
    sweep.iter().map(follow).collect()
}
