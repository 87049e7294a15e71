//! Poses per second on one core: `cargo bench -p leanwright-kinematics`.

#[path = "../tests/common/mod.rs"]
mod common;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use leanwright_kinematics::{Drive, Lane, Linkage, Pose, Row, Target};
use std::hint::black_box;

const LEANS: usize = 8;
const STEERS: usize = 25;

/// Lean −10.5…10.5° in 3° steps, crank 0…36° in 1.5° steps.
fn drives() -> Vec<[Drive<f64>; LEANS]> {
    (0..STEERS)
        .map(|s| {
            std::array::from_fn(|l| {
                Drive::new(&Target {
                    lean: (3.0 * l as f64 - 10.5).to_radians(),
                    steer: (1.5 * s as f64).to_radians(),
                    mean_travel: None,
                })
            })
        })
        .collect()
}

/// One sweep of the steering at every lean, each pose started from its neighbours.
fn one_lane(linkage: &Linkage, drives: &[[Drive<f64>; LEANS]], starts: &[Pose<f64>; LEANS]) -> f64 {
    let mut sum = 0.0;
    for lean in 0..LEANS {
        let (mut before, mut near) = (starts[lean], starts[lean]);
        for row in drives {
            let pose = linkage.solve_ahead(&row[lean], &before, &near, 1.0);
            black_box(&pose);
            sum += pose.left.contact_ground[0];
            (before, near) = (near, pose);
        }
    }
    sum
}

fn rows<const N: usize>(linkage: &Linkage, drives: &[Drive<Row<N>>], start: &Pose<Row<N>>) -> f64 {
    let mut sum = 0.0;
    let (mut before, mut near) = (*start, *start);
    for drive in drives {
        let pose = linkage.solve_ahead(drive, &before, &near, 1.0);
        black_box(&pose);
        sum += pose.left.contact_ground[0].get(0);
        (before, near) = (near, pose);
    }
    sum
}

fn poses(c: &mut Criterion) {
    let linkage = Linkage::new(&common::orchard_hauler()).expect("a sound machine");
    let drives = drives();
    let starts: [Pose<f64>; LEANS] =
        std::array::from_fn(|l| linkage.solve(&drives[0][l], linkage.design_pose()));
    let mut group = c.benchmark_group("poses");
    group.throughput(Throughput::Elements((LEANS * STEERS) as u64));
    group.bench_function("one lane", |b| {
        b.iter(|| one_lane(black_box(&linkage), &drives, &starts))
    });
    let four: Vec<Vec<Drive<Row<4>>>> = (0..2)
        .map(|h| {
            drives
                .iter()
                .map(|d| Drive::gather(&d[4 * h..4 * h + 4]))
                .collect()
        })
        .collect();
    let start4: Vec<Pose<Row<4>>> = four
        .iter()
        .map(|d| linkage.solve(&d[0], &linkage.design_in_lanes()))
        .collect();
    group.bench_function("four lanes", |b| {
        b.iter(|| {
            (0..2)
                .map(|h| rows(black_box(&linkage), &four[h], &start4[h]))
                .sum::<f64>()
        })
    });
    let eight: Vec<Drive<Row<8>>> = drives.iter().map(|d| Drive::gather(d)).collect();
    let start8 = linkage.solve(&eight[0], &linkage.design_in_lanes());
    group.bench_function("eight lanes", |b| {
        b.iter(|| rows(black_box(&linkage), &eight, &start8))
    });
    group.finish();
    let target = Target {
        lean: 0.2,
        steer: 0.3,
        mean_travel: None,
    };
    c.bench_function("one pose from the design pose", |b| {
        b.iter(|| linkage.pose(black_box(&target)))
    });
}

criterion_group!(benches, poses);
criterion_main!(benches);
