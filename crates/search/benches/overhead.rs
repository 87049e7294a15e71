//! What the search itself costs per evaluation, with problems that cost next to nothing.

#[allow(clippy::duplicate_mod)]
#[path = "../tests/common/mod.rs"]
mod common;

use common::{Case, dtlz2, dtlz2_five, dtlz2_four, osy, run, side_impact, water, zdt1};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use leanwright_search::{Archive, Island, Settings};
use std::hint::black_box;

const EVALUATIONS: u64 = 20_000;

fn cases() -> [Case; 7] {
    [
        zdt1(),
        osy(),
        dtlz2(),
        side_impact(),
        dtlz2_four(),
        dtlz2_five(),
        water(),
    ]
}

fn islands(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("island of 20,000 evaluations");
    group
        .throughput(Throughput::Elements(EVALUATIONS))
        .sample_size(10);
    for case in cases() {
        let problem = case.problem();
        let label = format!(
            "{}, {} goals, {} variables",
            case.name,
            case.goals,
            case.bounds.len()
        );
        group.bench_function(label, |bencher| {
            bencher.iter(|| {
                let mut island = Island::start(&problem, &Settings::new(1, 0)).expect("valid");
                run(&mut island, case.evaluate, EVALUATIONS);
                island
            });
        });
        // The evaluations alone, to be taken off.
        let middle: Vec<f64> = case
            .bounds
            .iter()
            .map(|(low, high)| 0.5 * (low + high))
            .collect();
        group.bench_function(format!("{}, evaluations alone", case.name), |bencher| {
            bencher
                .iter(|| (0..EVALUATIONS).for_each(|_| drop((case.evaluate)(black_box(&middle)))));
        });
    }
    group.finish();
}

fn archive(case: &Case) -> Archive {
    let problem = case.problem();
    let mut island = Island::start(&problem, &Settings::new(1, 0)).expect("valid");
    run(&mut island, case.evaluate, EVALUATIONS);
    Archive::merge(&problem, &[island.snapshot()]).expect("whole")
}

fn answers(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("an answer of an archive");
    group.sample_size(10);
    for case in cases() {
        let archive = archive(&case);
        let (goals, count, points) = (case.goals, case.answer, archive.len());
        let label = format!("{}, {goals} goals, {count} of {points}", case.name);
        group.bench_function(label, |bencher| bencher.iter(|| archive.choose(count)));
    }
    group.finish();
}

criterion_group!(benches, islands, answers);
criterion_main!(benches);
