//! Candidates per second on one core: the demo jobs, at vectors spread over their ranges.

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use leanwright_design::{Compiled, parse_job};

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
        f.offset_from_mm + part * (f.offset_to_mm - f.offset_from_mm)
    });
    job.round(&spread.collect::<Vec<_>>())
}

fn candidates(c: &mut Criterion) {
    let mut group = c.benchmark_group("candidates");
    group.throughput(Throughput::Elements(1));
    for name in ["rod-ends.json", "example-job.json"] {
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

criterion_group!(benches, candidates);
criterion_main!(benches);
