//! Hypervolume of the answers on known problems: median, worst and best of some seeds, and the time
//! that the search itself takes.
//!
//! `quality [SEEDS] [NAME] [EVALUATIONS] [ISLANDS]`: problems whose name contains NAME; 5,000 and
//! 20,000 evaluations unless told; with several islands they share the evaluations and pass
//! migrants round a ring every 500.

#[path = "../tests/common/mod.rs"]
mod common;

use common::Case;
use leanwright_search::{Archive, Evaluation, Island, Migrant, Settings};
use std::time::{Duration, Instant};

const EPOCH: u64 = 500;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let number = |at: usize, otherwise: u64| {
        arguments
            .get(at)
            .map_or(otherwise, |a| a.parse().expect("a number"))
    };
    let (seeds, islands) = (number(0, 11), number(3, 1) as u32);
    let name = arguments.get(1).map_or("", String::as_str);
    let budgets = if arguments.len() > 2 {
        vec![number(2, 0)]
    } else {
        vec![5_000, 20_000]
    };
    println!(
        "{:14} {:>7} {:>9} {:>9} {:>9} {:>8}",
        "problem", "evals", "median", "worst", "best", "us/eval"
    );
    for case in common::all()
        .into_iter()
        .chain(common::others())
        .filter(|case| case.name.contains(name))
    {
        for budget in &budgets {
            report(&case, seeds, *budget, islands);
        }
    }
}

fn report(case: &Case, seeds: u64, budget: u64, islands: u32) {
    let mut own = Duration::ZERO;
    let mut scores: Vec<f64> = (0..seeds)
        .map(|seed| score(case, seed, budget, islands, &mut own))
        .collect();
    scores.sort_by(f64::total_cmp);
    let per = own.as_secs_f64() * 1e6 / (seeds * budget) as f64;
    let (median, best) = (scores[scores.len() / 2], scores[scores.len() - 1]);
    println!(
        "{:14} {:>7} {:>9.5} {:>9.5} {:>9.5} {:>8.2}",
        case.name, budget, median, scores[0], best, per
    );
}

fn score(case: &Case, seed: u64, budget: u64, islands: u32, own: &mut Duration) -> f64 {
    let problem = case.problem();
    let start = |number| Island::start(&problem, &Settings::new(seed, number)).expect("valid");
    let mut all: Vec<Island> = (0..islands).map(start).collect();
    let each = budget / u64::from(islands);
    let mut border = 0;
    while border < each {
        border = if islands == 1 {
            each
        } else {
            (border + EPOCH).min(each)
        };
        all.iter_mut()
            .for_each(|island| run(island, case, border, own));
        let out: Vec<Vec<Migrant>> = all.iter().map(Island::migrants).collect();
        if islands > 1 && border < each {
            for (i, island) in all.iter_mut().enumerate() {
                let neighbour = (i + out.len() - 1) % out.len();
                island.receive(&out[neighbour]).expect("at a border");
            }
        }
    }
    let snapshots: Vec<Vec<u8>> = all.iter().map(Island::snapshot).collect();
    let archive = Archive::merge(&problem, &snapshots).expect("whole");
    let front: Vec<Vec<f64>> = archive
        .choose(case.answer)
        .into_iter()
        .map(|point| point.goals)
        .collect();
    case.score(&front)
}

fn run(island: &mut Island, case: &Case, border: u64, own: &mut Duration) {
    while island.evaluations() < border {
        let from = Instant::now();
        let batch = island.ask();
        *own += from.elapsed();
        let told: Vec<Evaluation> = batch.iter().map(case.evaluate).collect();
        let from = Instant::now();
        island.tell(&told).expect("valid");
        *own += from.elapsed();
    }
}
