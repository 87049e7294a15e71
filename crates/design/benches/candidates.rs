//! Candidates per second on one core: the demo jobs, at vectors spread over their ranges.

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use leanwright_design::{Compiled, Reach, assessment, parse_job, parse_vehicle};

fn job(name: &str) -> Compiled {
    let path = format!("{}/../../demo-jobs/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("a demo job is read");
    let job = parse_job(&text).expect("a demo job is sound");
    Compiled::new(&job).expect("a demo job compiles")
}

/// The k-th vector of an even spread (multiples of square roots, modulo 1).
fn vector(job: &Compiled, k: u32) -> Vec<f64> {
    let freedoms = job.job().freedoms.iter().enumerate();
    let spread = freedoms.map(|(i, f)| {
        let part = (f64::from(k) * (i as f64 + 2.0).sqrt()) % 1.0;
        let [from, to] = f.offsets_mm(&job.job().vehicle);
        from + part * (to - from)
    });
    job.round(&spread.collect::<Vec<_>>())
}

fn candidates(c: &mut Criterion) {
    let mut group = c.benchmark_group("candidates");
    group.throughput(Throughput::Elements(1));
    for name in ["rod-ends.json", "example-job.json", "packaging.json"] {
        let job = job(name);
        let mut scratch = job.scratch();
        let mut k = 0;
        group.bench_function(name, |b| {
            b.iter_batched(
                || {
                    k = k % 4096 + 1;
                    vector(&job, k)
                },
                |x| job.evaluate(&x, &mut scratch),
                BatchSize::SmallInput,
            );
        });
    }
    group.finish();
}

/// Each layout of the layouts' job, on the same terms.
fn layouts(c: &mut Criterion) {
    let all = job("layouts.json");
    let mut group = c.benchmark_group("layouts");
    group.throughput(Throughput::Elements(1));
    for layout in 0..all.layouts() {
        let job = all.layout(layout);
        let alone = Compiled::new(&all.job().of_layout(layout)).expect("a layout compiles");
        let mut scratch = job.scratch();
        let mut k = 0;
        group.bench_function(all.job().layout_name(layout), |b| {
            b.iter_batched(
                || {
                    k = k % 4096 + 1;
                    vector(&alone, k)
                },
                |x| job.evaluate(&x, &mut scratch),
                BatchSize::SmallInput,
            );
        });
    }
    group.finish();
}

/// One whole assessment, every quantity and curve, of a vehicle of every layout and handlebar.
fn assessments(c: &mut Criterion) {
    let mut group = c.benchmark_group("assessments");
    for name in [
        "",
        "-rocker",
        "-slider",
        "-parallelogram",
        "-cross-rod",
        "-cross-rod-rocker",
        "-handlebar",
        "-cables",
    ] {
        let path = format!(
            "{}/../../demo-jobs/vehicles/orchard-hauler{name}.json",
            env!("CARGO_MANIFEST_DIR")
        );
        let text = std::fs::read_to_string(path).expect("a demo vehicle is read");
        let vehicle = parse_vehicle(&text).expect("a demo vehicle is sound");
        group.bench_function(format!("orchard-hauler{name}"), |b| {
            b.iter(|| assessment(&vehicle, &Reach::default()));
        });
    }
    group.finish();
}

/// Feasible drawings of the job with wishes at the 95th percentile, each built 64 times, and the
/// same without them.
fn percentiles(c: &mut Criterion) {
    let robust = job("buildable.json");
    let mut plain = robust.job().clone();
    for goal in &mut plain.goals {
        goal.at = None;
    }
    for requirement in &mut plain.requirements {
        requirement.at = None;
    }
    let plain = Compiled::new(&plain).expect("the job compiles");
    let mut scratch = robust.scratch();
    let built: Vec<Vec<f64>> = (1..20_000)
        .map(|k| vector(&robust, k))
        .filter(|x| {
            let found = robust.evaluate(x, &mut scratch);
            found.violations.last() == Some(&0.0)
        })
        .take(16)
        .collect();
    assert!(!built.is_empty(), "no drawing of the spread is feasible");
    let mut group = c.benchmark_group("percentiles");
    group.throughput(Throughput::Elements(1));
    for (name, job) in [("as drawn", &plain), ("95th of 64 built", &robust)] {
        let mut scratch = job.scratch();
        let mut each = built.iter().cycle();
        group.bench_function(name, |b| {
            b.iter(|| each.next().map(|x| job.evaluate(x, &mut scratch)));
        });
    }
    group.finish();
}

criterion_group!(benches, candidates, layouts, assessments, percentiles);
criterion_main!(benches);
