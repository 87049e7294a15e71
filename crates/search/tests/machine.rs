//! The step machine: the same result however it is driven, and no harm from a careless caller.
#![allow(clippy::unwrap_used)]

mod common;

use common::{beam, bnh, c2_dtlz2, dtlz2_five, dtlz2_four, dtlz2_six, run, shell, zdt4};
use leanwright_search::{
    Archive, Evaluation, Island, Problem, Settings, SnapshotFault, TellFault, Variable,
};

fn step(island: &mut Island, evaluate: fn(&[f64]) -> Evaluation) {
    let told: Vec<Evaluation> = island.ask().iter().map(evaluate).collect();
    island.tell(&told).unwrap();
}

#[test]
fn resumed_at_every_batch_gives_the_same_bits() {
    let cases = [
        zdt4(),
        bnh(),
        c2_dtlz2(),
        shell(),
        dtlz2_four(),
        dtlz2_five(),
        dtlz2_six(),
        beam(),
    ];
    for case in cases {
        let problem = case.problem();
        let mut settings = Settings::new(3, 1);
        settings.starts = vec![
            case.bounds
                .iter()
                .map(|(low, high)| 0.5 * (low + high))
                .collect(),
        ];
        let mut whole = Island::start(&problem, &settings).unwrap();
        let mut parts = whole.clone();
        while whole.evaluations() < 2_500 {
            step(&mut whole, case.evaluate);
            parts = Island::resume(&problem, &parts.snapshot()).unwrap();
            // Asking for a batch and dropping it must not change anything either.
            parts.ask();
            parts = Island::resume(&problem, &parts.snapshot()).unwrap();
            step(&mut parts, case.evaluate);
            assert_eq!(whole.snapshot(), parts.snapshot(), "{}", case.name);
        }
        let archive = Archive::merge(&problem, &[whole.snapshot()]).unwrap();
        let again = Archive::resume(&problem, &archive.snapshot()).unwrap();
        assert_eq!(archive.snapshot(), again.snapshot());
        assert_eq!(archive.choose(20), again.choose(20));
    }
}

#[test]
fn every_multiple_of_the_border_is_a_batch_border() {
    for case in [zdt4(), bnh()] {
        let mut island = Island::start(&case.problem(), &Settings::new(1, 0)).unwrap();
        let mut borders = Vec::new();
        while island.evaluations() < 6_000 {
            step(&mut island, case.evaluate);
            borders.push(island.evaluations());
        }
        let border = leanwright_search::BORDER;
        assert!(
            (1..=6_000 / border).all(|i| borders.contains(&(i * border))),
            "{borders:?}"
        );
    }
}

#[test]
fn seeds_and_islands_differ() {
    let problem = bnh().problem();
    let first = |seed, island| {
        Island::start(&problem, &Settings::new(seed, island))
            .unwrap()
            .ask()
            .clone()
    };
    assert_eq!(first(1, 0), first(1, 0));
    assert_ne!(first(1, 0), first(2, 0));
    assert_ne!(first(1, 0), first(1, 1));
}

#[test]
fn a_fault_of_the_teller_changes_nothing() {
    let problem = bnh().problem();
    let mut island = Island::start(&problem, &Settings::new(1, 0)).unwrap();
    assert_eq!(island.tell(&[]), Err(TellFault::NothingAsked));
    let batch = island.ask().clone();
    let good: Vec<Evaluation> = batch.iter().map(bnh().evaluate).collect();
    let before = island.snapshot();
    assert_eq!(
        island.tell(&good[1..]),
        Err(TellFault::Count {
            expected: good.len(),
            found: good.len() - 1
        })
    );
    let spoil = |change: fn(&mut Evaluation)| {
        let mut told = good.clone();
        change(&mut told[7]);
        told
    };
    let bad = [
        spoil(|e| e.goals[1] = f64::NAN),
        spoil(|e| e.goals[0] = f64::INFINITY),
        spoil(|e| e.goals[0] = -1e300),
        spoil(|e| e.violations[1] = f64::NAN),
        spoil(|e| e.violations[0] = f64::NEG_INFINITY),
        spoil(|e| e.apart = Some(1.0)),
        spoil(|e| *e = Evaluation::apart(-1.0)),
        spoil(|e| *e = Evaluation::apart(f64::NAN)),
        spoil(|e| e.goals.truncate(1)),
        spoil(|e| e.violations.push(0.0)),
    ];
    for told in bad {
        let fault = island.tell(&told).unwrap_err();
        assert!(fault.to_string().contains("evaluation 7"), "{fault}");
        assert_eq!((island.snapshot(), island.ask()), (before.clone(), &batch));
    }
    let fault = island
        .tell(&spoil(|e| e.violations[1] = f64::NAN))
        .unwrap_err();
    let text = "evaluation 7: violations[1] is NaN, must be from -1";
    assert!(fault.to_string().starts_with(text), "{fault}");
    island.tell(&good).unwrap();
}

/// Every prefix is refused, and no changed byte makes the reader panic or run away.
#[test]
fn damaged_snapshots_are_refused_without_a_panic() {
    let case = bnh();
    let problem = case.problem();
    let mut island = Island::start(&problem, &Settings::new(1, 0)).unwrap();
    run(&mut island, case.evaluate, 300);
    let bytes = island.snapshot();
    for end in 0..bytes.len() {
        assert!(Island::resume(&problem, &bytes[..end]).is_err(), "{end}");
    }
    for at in 0..bytes.len() {
        for flip in [0x01, 0x80, 0xff] {
            let mut damaged = bytes.clone();
            damaged[at] ^= flip;
            if let Ok(mut island) = Island::resume(&problem, &damaged) {
                island.ask();
            }
        }
    }
    let mut longer = bytes.clone();
    longer.push(0);
    let fault = |bytes: &[u8]| Island::resume(&problem, bytes).unwrap_err();
    assert_eq!(fault(&longer), SnapshotFault::Trailing { count: 1 });
    assert!(matches!(fault(b"something"), SnapshotFault::Kind { .. }));
    let mut newer = bytes.clone();
    newer[5] += 1;
    assert!(matches!(fault(&newer), SnapshotFault::Version { .. }));
    let other = zdt4().problem();
    assert!(matches!(
        Island::resume(&other, &bytes),
        Err(SnapshotFault::OtherProblem { .. })
    ));
    assert!(matches!(
        Archive::resume(&problem, &bytes),
        Err(SnapshotFault::Kind { .. })
    ));
    let none: [&[u8]; 0] = [];
    assert!(matches!(
        Archive::merge(&problem, &none),
        Err(SnapshotFault::Nothing)
    ));
}

#[test]
fn grid_and_list_values_are_met_exactly() {
    let variables = vec![
        Variable::Grid {
            low: -1.0,
            high: 1.0,
            step: 0.1,
        },
        Variable::List(vec![22.0, 16.0, 20.0, 18.0, 16.0]),
        Variable::Real {
            low: 4.0,
            high: 4.0,
        },
    ];
    let problem = Problem::new(variables, 2, 0).unwrap();
    let mut island = Island::start(&problem, &Settings::new(2, 0)).unwrap();
    while island.evaluations() < 2_000 {
        let batch = island.ask().clone();
        for x in batch.iter() {
            let steps = (x[0] + 1.0) / 0.1;
            assert!((steps - steps.round()).abs() < 1e-9 && (-1.0..=1.0).contains(&x[0]));
            assert!(
                [16.0, 18.0, 20.0, 22.0].contains(&x[1]) && x[2] == 4.0,
                "{x:?}"
            );
        }
        let goals = |x: &[f64]| vec![(x[0] - 0.33).abs() + (x[1] - 18.9).abs(), -x[0]];
        let told: Vec<Evaluation> = batch.iter().map(|x| Evaluation::met(goals(x))).collect();
        island.tell(&told).unwrap();
    }
    let best = Archive::merge(&problem, &[island.snapshot()])
        .unwrap()
        .choose(usize::MAX);
    // The front is every grid value from 0.3 up, with the listed size nearest to 18.9.
    assert_eq!(best.len(), 8, "{best:?}");
    assert!(best.iter().all(|p| p.vector[1] == 18.0));
}
