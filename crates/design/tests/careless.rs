//! Machines and vectors far from any sensible design: an evaluation has finite numbers or a
//! finite distance, never a panic, and is the same when asked again.

mod common;

use common::{example_job, rocker_vehicle, welded_vehicle};
use leanwright_design::{Compiled, parse_job};
use proptest::prelude::*;
use serde_json::Value;

/// Every coordinate of every point moved by its own share of `reach`.
fn jittered(value: &mut Value, shares: &mut impl Iterator<Item = f64>, reach: f64) {
    match value {
        Value::Object(map) => map.iter_mut().for_each(|(key, inner)| {
            match inner.as_array_mut().filter(|_| key.ends_with("_mm")) {
                Some(point) => point.iter_mut().for_each(|x| {
                    let moved = x.as_f64().unwrap_or(0.0) + reach * shares.next().unwrap_or(0.0);
                    *x = moved.into();
                }),
                None => jittered(inner, shares, reach),
            }
        }),
        Value::Array(list) => list.iter_mut().for_each(|v| jittered(v, shares, reach)),
        _ => {}
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn evaluations_are_finite_and_repeatable(
        kind in 0..3u8,
        reach in prop_oneof![Just(5.0), Just(60.0), Just(200.0)],
        shares in prop::collection::vec(-1.0..1.0f64, 80),
        vectors in prop::collection::vec(prop::collection::vec(-1000.0..1000.0f64, 6), 8),
    ) {
        let mut job = example_job();
        match kind {
            0 => {}
            1 => job["vehicle"] = rocker_vehicle(),
            _ => {
                job["vehicle"] = welded_vehicle();
                job["holds"][0]["side"] = "right".into();
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
