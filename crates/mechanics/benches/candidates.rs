//! Candidates per second on one core, for asks like those of the demo jobs.
//!
//! `cargo bench -p leanwright-mechanics`

#[path = "../tests/common/mod.rs"]
mod common;

use common::{hauler, settings};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use kinematics::{Linkage, Machine};
use leanwright_mechanics::{Answer, Ask, Over, Plan, Quantity};
use std::hint::black_box;

/// A hauler that reaches its whole reach: crank before the axle, rods further apart.
fn steerable() -> Machine {
    let mut machine = hauler();
    machine.left.rod_inner.y = 60.0;
    machine.left.rod_inner.x = -30.0;
    machine.crank.point.x = -130.0;
    machine.right = machine.left.mirrored();
    machine
}

fn ask(quantity: Quantity, over: Over) -> Ask {
    Ask { quantity, over }
}

/// Bump, lean, joints, reach, stop: the asks of a job with seven quantities.
fn whole_job() -> Vec<Ask> {
    let lean = Over::Lean([-12.0, 12.0]);
    vec![
        Ask::usual(Quantity::TurningRadiusKerb),
        ask(Quantity::BallJointAngle, lean),
        ask(Quantity::BumpSteer, Over::Travel([-30.0, 30.0])),
        Ask::usual(Quantity::TransmissionAngle),
        ask(Quantity::LeanSteer, lean),
        Ask::usual(Quantity::SteeringError),
        Ask::usual(Quantity::KingpinInclination),
    ]
}

fn candidates(c: &mut Criterion) {
    let mut lopsided = steerable();
    lopsided.right.rod_outer.y -= 0.5;
    let everything: Vec<Ask> = Quantity::ALL.iter().copied().map(Ask::usual).collect();
    let cases = [
        ("job, symmetric machine", steerable(), whole_job()),
        ("job, measured machine", lopsided, whole_job()),
        ("every quantity", steerable(), everything),
        (
            "lean steer alone",
            steerable(),
            vec![Ask::usual(Quantity::LeanSteer)],
        ),
        (
            "bump steer alone",
            steerable(),
            vec![Ask::usual(Quantity::BumpSteer)],
        ),
        (
            "steering error alone",
            steerable(),
            vec![Ask::usual(Quantity::SteeringError)],
        ),
        (
            "kerb radius alone",
            steerable(),
            vec![Ask::usual(Quantity::TurningRadiusKerb)],
        ),
    ];
    let mut group = c.benchmark_group("candidates");
    group.throughput(Throughput::Elements(1));
    for (name, machine, asks) in cases {
        let plan = Plan::new(&asks, &settings()).expect("the asks make sense");
        let mut scratch = plan.scratch();
        let mut answers = vec![Answer::default(); asks.len()];
        group.bench_function(name, |b| {
            b.iter(|| {
                let linkage = Linkage::new(black_box(&machine)).expect("the machine assembles");
                plan.evaluate(&linkage, &mut scratch, &mut answers);
                black_box(&answers);
            });
        });
        println!(
            "{name}: shortfalls {:?}",
            answers.iter().map(|a| a.shortfall).fold(0.0, f64::max)
        );
    }
    group.finish();
}

criterion_group!(benches, candidates);
criterion_main!(benches);
