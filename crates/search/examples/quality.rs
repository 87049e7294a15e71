//! Hypervolume of the answers on known problems: median and worst of some seeds, and the time that
//! the search itself takes. `quality [SEEDS] [NAME]`, both budgets.

#[path = "../tests/common/mod.rs"]
mod common;

use leanwright_search::{Archive, Evaluation, Island, Settings};
use std::time::{Duration, Instant};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let seeds: u64 = arguments.next().and_then(|a| a.parse().ok()).unwrap_or(11);
    let name = arguments.next().unwrap_or_default();
    let budgets: Vec<u64> = arguments.next().map_or(vec![5_000, 20_000], |b| {
        vec![b.parse().expect("a number of evaluations")]
    });
    println!(
        "{:14} {:>7} {:>9} {:>9} {:>9} {:>9} {:>8}",
        "problem", "evals", "median", "worst", "best", "peer", "us/eval"
    );
    let cases = common::all().into_iter().chain([
        common::zdt2(),
        common::zdt6(),
        common::dtlz2_four(),
        common::dtlz2_five(),
    ]);
    for case in cases.filter(|case| case.name.contains(&name)) {
        for budget in &budgets {
            let mut own = Duration::ZERO;
            let mut scores: Vec<f64> = (0..seeds)
                .map(|seed| {
                    let problem = case.problem();
                    let mut island =
                        Island::start(&problem, &Settings::new(seed, 0)).expect("valid");
                    while island.evaluations() < *budget {
                        let from = Instant::now();
                        let batch = island.ask();
                        own += from.elapsed();
                        let told: Vec<Evaluation> = batch.iter().map(case.evaluate).collect();
                        let from = Instant::now();
                        island.tell(&told).expect("valid");
                        own += from.elapsed();
                    }
                    let archive = Archive::merge(&problem, &[island.snapshot()]).expect("whole");
                    let front: Vec<Vec<f64>> = archive
                        .choose(case.answer)
                        .into_iter()
                        .map(|p| p.goals)
                        .collect();
                    case.score(&front)
                })
                .collect();
            scores.sort_by(f64::total_cmp);
            let per = own.as_secs_f64() * 1e6 / (seeds * budget) as f64;
            let (median, best) = (scores[scores.len() / 2], scores[scores.len() - 1]);
            let peer = if *budget == 20_000 { case.peer } else { 0.0 };
            println!(
                "{:14} {:>7} {:>9.5} {:>9.5} {:>9.5} {:>9.5} {:>8.2}",
                case.name, budget, median, scores[0], best, peer, per
            );
        }
    }
}
