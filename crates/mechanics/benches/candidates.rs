//! Candidates per second on one core, for asks like those of the demo jobs.
//!
//! `cargo bench -p leanwright-mechanics`

#[path = "../tests/common/mod.rs"]
mod common;

use common::{bare, hauler, settings};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use kinematics::{Linkage, Machine};
use leanwright_mechanics::{Answer, Ask, Loading, Over, Plan, Quantity, Sag, Settings};
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

/// The smallest gaps of every kind over reach.
fn gaps() -> Vec<Ask> {
    use Quantity::{BoxClearance, Clearance, GroundClearance, RodClearance, WheelClearance};
    [
        Clearance,
        WheelClearance,
        RodClearance,
        BoxClearance,
        GroundClearance,
    ]
    .map(Ask::usual)
    .to_vec()
}

/// What the handlebar takes, riding and parked.
fn effort() -> Vec<Ask> {
    use Quantity::{HandlebarFlop, HandlebarTorque, ParkingTorque, RidingTorque, SelfCentring};
    [
        HandlebarTorque,
        HandlebarFlop,
        RidingTorque,
        ParkingTorque,
        SelfCentring,
    ]
    .map(Ask::usual)
    .to_vec()
}

/// Sizes of the parts, so that what meets first stops steering and lean.
fn sized() -> Settings {
    let mut sized = settings();
    sized.parts.body = Some(common::parts::body());
    sized
}

/// The same machine in three states of loading, each at a mean travel of its own.
fn three_states(mut settings: Settings) -> Settings {
    let state = |travel| Loading {
        masses: common::masses(),
        sag: Sag::Given(travel),
        reach: None,
    };
    settings.parts.states = vec![state(-12.0), state(-25.0)];
    settings
}

fn candidates(c: &mut Criterion) {
    let mut lopsided = steerable();
    lopsided.right.rod_outer.y -= 0.5;
    let everything: Vec<Ask> = Quantity::ALL.iter().copied().map(Ask::usual).collect();
    let one = |quantity| vec![Ask::usual(quantity)];
    let cases = [
        ("job, symmetric machine", steerable(), whole_job(), bare()),
        ("job, measured machine", lopsided, whole_job(), bare()),
        (
            "job, three states of loading",
            steerable(),
            whole_job(),
            three_states(bare()),
        ),
        ("job, sizes given", steerable(), whole_job(), sized()),
        (
            "job, sizes given, three states",
            steerable(),
            whole_job(),
            three_states(sized()),
        ),
        ("every clearance", steerable(), gaps(), sized()),
        ("effort", steerable(), effort(), bare()),
        ("every quantity", steerable(), everything, settings()),
        (
            "lean steer alone",
            steerable(),
            one(Quantity::LeanSteer),
            bare(),
        ),
        (
            "bump steer alone",
            steerable(),
            one(Quantity::BumpSteer),
            bare(),
        ),
        (
            "steering error alone",
            steerable(),
            one(Quantity::SteeringError),
            bare(),
        ),
        (
            "kerb radius alone",
            steerable(),
            one(Quantity::TurningRadiusKerb),
            bare(),
        ),
    ];
    let mut group = c.benchmark_group("candidates");
    group.throughput(Throughput::Elements(1));
    for (name, machine, asks, settings) in cases {
        let plan = Plan::new(&asks, &settings).expect("the asks make sense");
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
