//! Whatever a mutated job file holds, it is read or refused: never a panic, never a hang.

mod common;

use common::{example_job, rocker_vehicle, welded_vehicle};
use leanwright_design::{PoseQuestion, parse_job, parse_vehicle, pose};
use proptest::prelude::*;
use serde_json::{Value, json};

/// All pointers of a document.
fn pointers(value: &Value, at: &str, found: &mut Vec<String>) {
    found.push(at.to_owned());
    match value {
        Value::Object(map) => {
            map.iter()
                .for_each(|(k, v)| pointers(v, &format!("{at}/{k}"), found));
        }
        Value::Array(list) => {
            list.iter()
                .enumerate()
                .for_each(|(i, v)| pointers(v, &format!("{at}/{i}"), found));
        }
        _ => {}
    }
}

fn odd_value() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        Just(json!([])),
        Just(json!({})),
        Just(json!("steering.rod_outer_mm")),
        Just(json!("lean_steer_deg")),
        Just(json!([0, 0, 0])),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(|x| json!(x)),
        (-500.0..500.0f64).prop_map(|x| json!(x)),
        ".{0,12}".prop_map(Value::from),
    ]
}

fn mutated(base: Value) -> impl Strategy<Value = Value> {
    let change = (any::<prop::sample::Index>(), odd_value(), 0..4u8);
    prop::collection::vec(change, 1..4).prop_map(move |changes| {
        let mut value = base.clone();
        for (index, odd, how) in changes {
            let mut places = Vec::new();
            pointers(&value, "", &mut places);
            let at = index.get(&places).clone();
            let Some(target) = value.pointer_mut(&at) else {
                continue;
            };
            match (how, target) {
                (0, Value::Object(map)) => {
                    map.insert("added".into(), odd);
                }
                (1, Value::Object(map)) if !map.is_empty() => {
                    let key = map.keys().next().cloned().unwrap_or_default();
                    map.remove(&key);
                }
                (2, Value::Array(list)) => list.push(odd),
                (3, Value::Number(n)) => {
                    let x = n.as_f64().unwrap_or(0.0);
                    *n = serde_json::Number::from_f64(-1.5 * x).unwrap_or(0.into());
                }
                (_, target) => *target = odd,
            }
        }
        value
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_mutated_job_is_read_or_refused(value in mutated(example_job())) {
        if let Err(faults) = parse_job(&value.to_string()) {
            prop_assert!(!faults.is_empty());
            for f in &faults {
                prop_assert!(f.value.chars().count() <= 121 && f.message.chars().count() <= 400, "{f}");
            }
        }
    }

    #[test]
    fn broken_text_is_read_or_refused(cut in 0usize..3000, odd in ".{0,8}") {
        let text = example_job().to_string();
        let cut = cut.min(text.len());
        let _ = parse_job(&format!("{}{odd}{}", &text[..cut], &text[cut..]));
        let _ = parse_job(&text[..cut]);
    }

    #[test]
    fn a_mutated_vehicle_is_posed_or_refused(
        value in prop_oneof![mutated(rocker_vehicle()), mutated(welded_vehicle())],
        lean_deg in -90.0..90.0f64,
        steer_deg in -90.0..90.0f64,
        mean_travel_mm in prop::option::of(-200.0..200.0f64),
    ) {
        if let Ok(vehicle) = parse_vehicle(&value.to_string())
            && let Ok(answer) = pose(&vehicle, &PoseQuestion { lean_deg, steer_deg, steer_mm: None, mean_travel_mm })
        {
            prop_assert!(answer.left.contact_mm.iter().all(|x| x.is_finite()));
            prop_assert!(answer.frame.pitch_deg.is_finite());
        }
    }
}
