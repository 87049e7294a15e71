//! The problems of `bench/peers`, their evaluation over a pipe, and our own search on them.
//!
//! - `bench_search list` prints one JSON object per problem.
//! - `bench_search evaluate NAME` answers on standard output what comes on standard input. Asked: a
//!   count (32 bits, little-endian) and as many vectors (64-bit floats). Answered: nanoseconds spent
//!   on the processor, then per vector its goals, its violations and one more violation that is positive for a
//!   candidate without numbers.
//! - `bench_search search NAME EVALUATIONS SEED` runs one island and prints its answer, with the
//!   seconds of processor time that the search and the evaluations took. Processor time, because a
//!   clock on the wall would count whatever else the machine does.

// The name under which the search's own tests know it.
extern crate search as leanwright_search;

#[path = "../../../crates/search/tests/common/mod.rs"]
mod common;
#[path = "bench_search/entries.rs"]
mod entries;

use std::io::{Read, Write, stdin, stdout};
use std::time::Duration;

use entries::{Entry, entries};
use rustix::time::{ClockId, clock_gettime};
use search::{Archive, Evaluation, Island, Settings, Variable};
use serde_json::{Value, json};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["list"] => entries()
            .iter()
            .for_each(|entry| println!("{}", describe(entry))),
        ["evaluate", name] => serve(named(name)),
        ["search", name, evaluations, seed] => {
            let number = |text: &str| text.parse().expect("a whole number");
            println!("{}", run(named(name), number(evaluations), number(seed)));
        }
        _ => panic!("expected: list | evaluate NAME | search NAME EVALUATIONS SEED"),
    }
}

fn named(name: &str) -> Entry {
    let found = entries().into_iter().find(|entry| entry.name == name);
    found.unwrap_or_else(|| panic!("no problem is named {name}"))
}

fn describe(entry: &Entry) -> Value {
    let bounds = |variable: &Variable| match variable {
        Variable::Real { low, high } | Variable::Grid { low, high, .. } => [*low, *high],
        Variable::List(sizes) => [sizes[0], sizes[sizes.len() - 1]],
    };
    let bounds: Vec<[f64; 2]> = entry.problem.variables().iter().map(bounds).collect();
    json!({
        "name": entry.name, "group": entry.group, "bounds": bounds, "answer": entry.answer,
        "goals": entry.problem.goals(), "violations": entry.problem.violations(),
        "ideal": entry.ends.as_ref().map(|ends| &ends.0),
        "nadir": entry.ends.as_ref().map(|ends| &ends.1),
    })
}

fn serve(mut entry: Entry) {
    let width = entry.problem.variables().len();
    let (mut input, mut output) = (stdin().lock(), stdout().lock());
    let mut count = [0u8; 4];
    while input.read_exact(&mut count).is_ok() {
        let mut bytes = vec![0u8; u32::from_le_bytes(count) as usize * width * 8];
        input.read_exact(&mut bytes).expect("whole vectors");
        let numbers: Vec<f64> = bytes
            .as_chunks::<8>()
            .0
            .iter()
            .map(|chunk| f64::from_le_bytes(*chunk))
            .collect();
        let from = processor_time();
        let told: Vec<Evaluation> = numbers.chunks(width).map(&mut entry.evaluate).collect();
        let mut answer = vec![(processor_time() - from).as_nanos() as f64];
        told.iter()
            .for_each(|told| answer.extend(figures(&entry, told)));
        let bytes: Vec<u8> = answer.iter().flat_map(|v| v.to_le_bytes()).collect();
        output.write_all(&bytes).expect("the reader is there");
        output.flush().expect("the reader is there");
    }
}

/// A candidate without numbers is far beyond every requirement, the less the nearer it is to
/// assembling.
fn figures(entry: &Entry, told: &Evaluation) -> Vec<f64> {
    let mut out = told.goals.clone();
    out.extend(&told.violations);
    out.resize(entry.problem.goals() + entry.problem.violations(), 0.0);
    out.push(
        told.apart
            .map_or(0.0, |distance| 1_000.0 * (1.0 + distance)),
    );
    out
}

/// What all threads of this process have had of the processor so far.
fn processor_time() -> Duration {
    let now = clock_gettime(ClockId::ProcessCPUTime);
    Duration::new(now.tv_sec as u64, now.tv_nsec as u32)
}

fn run(mut entry: Entry, evaluations: u64, seed: u64) -> Value {
    let mut island = Island::start(&entry.problem, &Settings::new(seed, 0)).expect("valid");
    let (mut searching, mut evaluating) = (Duration::ZERO, Duration::ZERO);
    let mut last = processor_time();
    let mut lap = |into: &mut Duration| {
        let now = processor_time();
        *into += now - last;
        last = now;
    };
    while island.evaluations() < evaluations {
        let batch = island.ask();
        lap(&mut searching);
        let told: Vec<Evaluation> = batch.iter().map(&mut entry.evaluate).collect();
        lap(&mut evaluating);
        island.tell(&told).expect("valid");
    }
    lap(&mut searching);
    let mut choosing = Duration::ZERO;
    let archive = Archive::merge(&entry.problem, &[island.snapshot()]).expect("whole");
    let answer = archive.choose(entry.answer);
    lap(&mut choosing);
    let front: Vec<&[f64]> = answer.iter().map(|point| point.goals.as_slice()).collect();
    json!({
        "front": front, "evaluations": island.evaluations(),
        "own_cpu_s": (searching + choosing).as_secs_f64(),
        "choosing_cpu_s": choosing.as_secs_f64(),
        "evaluating_cpu_s": evaluating.as_secs_f64(),
    })
}
