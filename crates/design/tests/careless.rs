//! Machines and vectors far from any sensible design: an evaluation has finite numbers or a
//! finite distance, never a panic, and is the same when asked again.

mod common;

use common::{example_job, rocker_vehicle, welded_vehicle};
use leanwright_design::{Compiled, parse_job};
use proptest::prelude::*;
use serde_json::Value;

/// Every coordinate of every point moved by its own share of `reach`, on its own side of the
/// machine; wheels and weight stay where they are.
fn jittered(value: &mut Value, shares: &mut impl Iterator<Item = f64>, reach: f64) {
    let Value::Object(map) = value else { return };
    for (key, inner) in map {
        match inner {
            Value::Array(point) if key.ends_with("_mm") && !key.starts_with("centre") => {
                for x in point.iter_mut().filter(|x| x.is_number()) {
                    let start = x.as_f64().unwrap_or(0.0);
                    let moved = start + reach * shares.next().unwrap_or(0.0);
                    *x = if start * moved < 0.0 { start } else { moved }.into();
                }
            }
            other => jittered(other, shares, reach),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 30, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn evaluations_are_finite_and_repeatable(
        kind in 0..3u8,
        reach in prop_oneof![Just(5.0), Just(25.0), Just(60.0)],
        shares in prop::collection::vec(-1.0..1.0f64, 80),
        vectors in prop::collection::vec(prop::collection::vec(-1000.0..1000.0f64, 6), 8),
    ) {
        let mut job = example_job();
        job["freedoms"][2]["offset_from_mm"] = 0.into();
        match kind {
            0 => {}
            1 => job["vehicle"] = rocker_vehicle(),
            _ => {
                job["vehicle"] = welded_vehicle();
                job["holds"][0]["by"]["point"] = "right.lower_wishbone.ball_joint_mm".into();
            }
        }
        jittered(&mut job["vehicle"], &mut shares.into_iter(), reach);
        let Ok(job) = parse_job(&job.to_string()) else { return Ok(()) };
        let Ok(compiled) = Compiled::new(&job) else { return Ok(()) };
        let mut scratch = compiled.scratch();
        for vector in vectors {
            let evaluation = compiled.evaluate(&vector, &mut scratch);
            let numbers = evaluation.goals.iter().chain(&evaluation.violations);
            prop_assert!(numbers.chain(&evaluation.apart).all(|x| x.is_finite()), "{evaluation:?}");
            let inside = compiled.round(&vector);
            let first = compiled.evaluate(&inside, &mut scratch);
            prop_assert_eq!(&first, &compiled.evaluate(&inside, &mut compiled.scratch()));
            let candidate = compiled.candidate(&inside);
            prop_assert_eq!(candidate.failure.is_some(), first.apart.is_some());
        }
    }
}
