//! Where PostgreSQL becomes the limit: 1 to 2,000 workers on the measured costs of a claim and of the
//! end of a slice, simulated, as a table and a picture.
//!
//!   tests/postgres/with cargo run --release -p leanwright-tests --bin simulate_workers -- measure
//!   cargo run --release -p leanwright-tests --bin simulate_workers > tests/bench/workers.svg

mod measure;
mod picture;
mod simulation;

use simulation::{Costs, Outcome, simulate};

/// Workers, one compute thread each.
const WORKERS: [usize; 12] = [1, 2, 5, 10, 20, 50, 100, 200, 400, 700, 1_000, 2_000];
/// Lengths of a slice, s.
const SLICES: [f64; 4] = [0.2, 1.0, 5.0, 25.0];
/// Threads of one worker process.
const THREADS: usize = 8;
/// Connections of one worker process.
const CONNECTIONS: usize = 3;

fn main() {
    if std::env::args().nth(1).as_deref() == Some("measure") {
        return measure::measure();
    }
    let costs = Costs::measured();
    let lines: Vec<(f64, Vec<(usize, Outcome)>)> = SLICES
        .iter()
        .map(|slice| {
            let run = |workers: &usize| (*workers, simulate(*workers, *slice, costs));
            (*slice, WORKERS.iter().map(run).collect())
        })
        .collect();
    for (slice, line) in &lines {
        for (workers, outcome) in line {
            let connections = workers.div_ceil(THREADS) * CONNECTIONS;
            eprintln!(
                "slice {slice:>4} s, {workers:>4} workers: {:>6.1} of them busy, {:>7.1} slices/s, \
                 database {:>3.0} % busy, {connections:>3} connections",
                outcome.busy,
                outcome.slices_per_s,
                100.0 * outcome.database,
            );
        }
    }
    print!("{}", picture::picture(&lines));
}
