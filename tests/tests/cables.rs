//! Taut cables over sheaves against recorded shortest lengths.
//!
//! Source: a general-purpose library as oracle. `fixtures/cables.jsonl` was recorded by
//! `python/cables.py record` from SciPy's SLSQP over the angles of contact; `tests/run` solves
//! every case again.

use mechanics::{Bend, taut};
use serde_json::Value;

fn triple(value: &Value) -> [f64; 3] {
    [0, 1, 2].map(|i| value[i].as_f64().expect("a number"))
}

fn eye(at: &Value) -> Bend {
    Bend {
        centre: triple(at).into(),
        axis: [0.0, 0.0, 1.0].into(),
        radius: 0.0,
        turn: 1.0,
    }
}

fn sheave(given: &Value) -> Bend {
    Bend {
        centre: triple(&given["centre"]).into(),
        axis: triple(&given["axis"]).into(),
        radius: given["radius"].as_f64().expect("a number"),
        turn: given["turn"].as_f64().expect("a number"),
    }
}

#[test]
fn lengths_agree_with_the_outside_minimiser() {
    let mut count = 0;
    for line in include_str!("../fixtures/cables.jsonl").lines() {
        let case: Value = serde_json::from_str(line).expect("a fixture line is JSON");
        let mut bends = vec![eye(&case["first"])];
        let sheaves = case["sheaves"].as_array().expect("a list");
        bends.extend(sheaves.iter().map(sheave));
        bends.push(eye(&case["last"]));
        let path = taut(&bends).expect("clear of every sheave");
        let theirs = case["length"].as_f64().expect("a number");
        let apart = (path.length - theirs).abs();
        assert!(
            apart < 1e-6,
            "case {count}: {} against {theirs}",
            path.length
        );
        count += 1;
    }
    assert!(count >= 40);
}
