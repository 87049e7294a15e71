//! What several islands do together, and what comes after them: migrants, merging, extending, polish.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Case, beam, bnh, c2_dtlz2, dtlz2_five, dtlz2_six, run, shell, zdt1, zdt4};
use leanwright_search::{
    Archive, Evaluation, Island, Polish, Problem, ReceiveFault, Settings, Variable,
};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Islands in a ring for some epochs: each begins an epoch from its own snapshot and its neighbour's
/// migrants of the epoch before, as workers do.
fn ring(problem: &Problem, case: &Case, islands: Vec<Vec<u8>>, epochs: u32) -> Vec<Vec<u8>> {
    (0..epochs).fold(islands, |before, _| {
        let read = |i: usize| Island::resume(problem, &before[i]).unwrap();
        let epoch = |i: usize| {
            let mut island = read(i);
            let neighbour = read((i + before.len() - 1) % before.len());
            island.receive(&neighbour.migrants()).unwrap();
            let border = island.evaluations() + 500;
            run(&mut island, case.evaluate, border);
            island.snapshot()
        };
        (0..before.len()).map(epoch).collect()
    })
}

/// A finished job that is extended goes on from its islands as they were before any polish.
#[test]
fn extended_equals_one_longer_run() {
    for case in [zdt4(), c2_dtlz2(), shell(), beam()] {
        let problem = case.problem();
        let start = |number| {
            let mut island = Island::start(&problem, &Settings::new(9, number)).unwrap();
            run(&mut island, case.evaluate, 500);
            island.snapshot()
        };
        let begun: Vec<Vec<u8>> = (0..3).map(start).collect();
        let long = ring(&problem, &case, begun.clone(), 6);
        let short = ring(&problem, &case, begun, 4);
        let mut archive = Archive::merge(&problem, &short).unwrap();
        let point = archive.choose(1).remove(0);
        let mut polish = Polish::start(&archive, &point, 100).unwrap();
        drive(&mut polish, case.evaluate);
        archive.take_polish(&polish).unwrap();
        let extended = ring(&problem, &case, short, 2);
        assert_eq!(extended, long, "{}", case.name);
        let merged = |islands: &[Vec<u8>]| Archive::merge(&problem, islands).unwrap();
        assert_eq!(merged(&extended).points(), merged(&long).points());
    }
}

/// A batch evaluated by several threads, each of which takes what is left and writes it into its
/// place.
fn told_by_threads(island: &mut Island, case: &Case, threads: usize) -> Vec<Evaluation> {
    let batch = island.ask().clone();
    let vectors: Vec<&[f64]> = batch.iter().collect();
    let next = AtomicUsize::new(0);
    let places: Vec<OnceLock<Evaluation>> = vectors.iter().map(|_| OnceLock::new()).collect();
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(vector) = vectors.get(at) else { break };
                    places[at].set((case.evaluate)(vector)).unwrap();
                }
            });
        }
    });
    places
        .into_iter()
        .map(|place| place.into_inner().unwrap())
        .collect()
}

#[test]
fn threads_give_the_bits_of_one() {
    for case in [zdt4(), c2_dtlz2(), shell(), dtlz2_five()] {
        let problem = case.problem();
        let run_on = |threads| {
            let mut island = Island::start(&problem, &Settings::new(4, 0)).unwrap();
            while island.evaluations() < 1_500 {
                let told = told_by_threads(&mut island, &case, threads);
                island.tell(&told).unwrap();
            }
            island.snapshot()
        };
        let alone = run_on(1);
        for threads in [2, 3, 8] {
            assert_eq!(run_on(threads), alone, "{} on {threads} threads", case.name);
        }
    }
}

#[test]
fn migrants_arrive_and_are_not_counted() {
    let case = bnh();
    let problem = case.problem();
    let mut rich = Island::start(&problem, &Settings::new(1, 0)).unwrap();
    run(&mut rich, case.evaluate, 2_000);
    let mut poor = Island::start(&problem, &Settings::new(1, 1)).unwrap();
    run(&mut poor, case.evaluate, 100);
    let before = (poor.evaluations(), poor.progress().best.unwrap());
    poor.receive(&rich.migrants()).unwrap();
    assert_eq!(poor.evaluations(), before.0);
    assert_eq!(poor.progress().best, rich.progress().best);
    assert_ne!(poor.progress().best.unwrap(), before.1);
    poor.ask();
    assert_eq!(
        poor.receive(&rich.migrants()),
        Err(ReceiveFault::BatchWaiting)
    );
    let mut strange = Island::start(&zdt4().problem(), &Settings::new(1, 0)).unwrap();
    assert_eq!(
        strange.receive(&rich.migrants()),
        Err(ReceiveFault::OtherProblem { index: 0 })
    );
}

#[test]
fn merging_is_a_pure_function_in_island_order() {
    let case = c2_dtlz2();
    let problem = case.problem();
    let islands: Vec<Vec<u8>> = (0..3)
        .map(|number| {
            let mut island = Island::start(&problem, &Settings::new(5, number)).unwrap();
            run(&mut island, case.evaluate, 1_500);
            island.snapshot()
        })
        .collect();
    let merged = Archive::merge(&problem, &islands).unwrap();
    assert_eq!(
        merged.snapshot(),
        Archive::merge(&problem, &islands).unwrap().snapshot()
    );
    assert_eq!(merged.evaluations(), 4_500);
    let single = Archive::merge(&problem, &islands[..1]).unwrap();
    assert!(merged.feasible() > single.feasible());
    assert!(merged.progress().hypervolume >= single.progress().hypervolume);
}

fn drive(polish: &mut Polish, evaluate: fn(&[f64]) -> Evaluation) {
    while let Some(batch) = polish.ask().cloned() {
        let told: Vec<Evaluation> = batch.iter().map(evaluate).collect();
        polish.tell(&told).unwrap();
    }
}

/// Polishes points of a short run and checks that the front gets better, within the budget, and
/// that a polish resumed at every batch is the same to the last bit.
fn check_polish(case: &Case, budget: u32) {
    let problem = case.problem();
    let mut island = Island::start(&problem, &Settings::new(1, 0)).unwrap();
    run(&mut island, case.evaluate, 1_000);
    let mut archive = Archive::merge(&problem, &[island.snapshot()]).unwrap();
    let chosen = archive.choose(8);
    let goals = |archive: &Archive| -> Vec<Vec<f64>> {
        archive.choose(8).into_iter().map(|p| p.goals).collect()
    };
    let before = goals(&archive);
    for point in &chosen {
        let mut polish = Polish::start(&archive, point, budget).unwrap();
        let mut parts = polish.clone();
        drive(&mut polish, case.evaluate);
        while let Some(batch) = parts.ask().cloned() {
            parts = Polish::resume(&problem, &parts.snapshot()).unwrap();
            assert_eq!(parts.ask(), Some(&batch));
            let told: Vec<Evaluation> = batch.iter().map(case.evaluate).collect();
            parts.tell(&told).unwrap();
        }
        assert_eq!(polish.snapshot(), parts.snapshot());
        assert!(polish.is_finished() && polish.evaluations() <= u64::from(budget));
        let seen = archive.evaluations();
        archive.take_polish(&polish).unwrap();
        assert_eq!(archive.evaluations(), seen + polish.evaluations());
    }
    // The eight are chosen on the front's own scale, which new ends move: count them with the old.
    let together: Vec<Vec<f64>> = before.iter().cloned().chain(goals(&archive)).collect();
    assert!(case.score(&together) > case.score(&before), "{}", case.name);
}

#[test]
fn polish_by_simplex_improves_points() {
    check_polish(&bnh(), 150);
}

#[test]
fn polish_by_evolution_improves_points() {
    check_polish(&zdt1(), 300);
}

#[test]
fn polish_under_linked_requirements_and_with_many_goals() {
    check_polish(&c2_dtlz2(), 200);
    check_polish(&dtlz2_five(), 200);
    check_polish(&dtlz2_six(), 200);
}

/// Grid and listed values stay what they are, and the best of them all is found: the grid value and
/// the size nearest to the goals' common optimum.
#[test]
fn polish_keeps_to_grids_and_lists() {
    let sizes = vec![16.0, 18.0, 20.0, 22.0, 25.0];
    let grid = Variable::Grid {
        low: -5.0,
        high: 5.0,
        step: 0.5,
    };
    let variables = vec![grid, Variable::List(sizes.clone())];
    let problem = Problem::new(variables, 2, 0).unwrap();
    let evaluate = |x: &[f64]| {
        let off = (x[0] - 1.6).powi(2) + (x[1] - 20.7).powi(2);
        Evaluation::met(vec![off, 2.0 * off + 1.0])
    };
    let mut archive = {
        let mut island = Island::start(&problem, &Settings::new(1, 0)).unwrap();
        let told: Vec<Evaluation> = island
            .ask()
            .iter()
            .map(|x| evaluate(&[x[0].max(3.0), 25.0]))
            .collect();
        island.tell(&told).unwrap();
        Archive::merge(&problem, &[island.snapshot()]).unwrap()
    };
    let mut polish = Polish::start(&archive, &archive.choose(1)[0], 200).unwrap();
    while let Some(batch) = polish.ask().cloned() {
        for x in batch.iter() {
            assert!(
                (2.0 * x[0]).fract() == 0.0 && sizes.contains(&x[1]),
                "{x:?}"
            );
        }
        let told: Vec<Evaluation> = batch.iter().map(evaluate).collect();
        polish.tell(&told).unwrap();
    }
    archive.take_polish(&polish).unwrap();
    assert_eq!(archive.choose(1)[0].vector, [1.5, 20.0]);
}
