//! Rules of a job's further layouts: those of a job with each of them in place of the first.

use super::{Rules, asks, moves, vehicle};
use crate::fault::Fault;
use crate::json::MOST_FAULTS;
use crate::tables::job::{MOST_ISLANDS, MOST_LAYOUTS};
use serde_json::Value;

/// What a layout brings with it; everything else is the job's.
const OWN: [&str; 3] = ["vehicle", "freedoms", "holds"];

/// Checks all rules of the layouts of a job.
pub(crate) fn check(job: &Value, faults: &mut Vec<Fault>) {
    let Some(list) = job.get("layouts").and_then(Value::as_array) else {
        return;
    };
    for (i, layout) in list.iter().enumerate().take(MOST_LAYOUTS) {
        one(job, layout, &format!("/layouts/{i}"), faults);
    }
    if list.is_empty() {
        return;
    }
    let mut rules = Rules {
        value: job,
        base: "",
        faults,
    };
    if rules.value.get("start_from").is_some() {
        rules.fault(
            "/start_from",
            "a job with several layouts starts from no other job",
            "absent with layouts",
        );
    }
    let islands = rules.number("/search/islands").unwrap_or(8.0);
    let count = (list.len() + 1) as f64;
    if count * islands > MOST_ISLANDS {
        rules.fault(
            "/search/islands",
            format!("each of the {count} layouts has as many islands: too many together"),
            "at most 64 islands of all layouts together",
        );
    }
}

/// The rules of a job whose first layout is this one, told where the layout stands.
fn one(job: &Value, layout: &Value, at: &str, faults: &mut Vec<Fault>) {
    let mut alone = job.clone();
    let (Some(fields), Some(given)) = (alone.as_object_mut(), layout.as_object()) else {
        return;
    };
    fields.remove("layouts");
    for name in OWN {
        match given.get(name) {
            Some(value) => fields.insert(name.to_owned(), value.clone()),
            None => fields.remove(name),
        };
    }
    let mut found = Vec::new();
    if let Some(inner) = alone.get("vehicle") {
        vehicle::check(inner, "/vehicle", &mut found);
    }
    let mut rules = Rules {
        value: &alone,
        base: "",
        faults: &mut found,
    };
    moves::check(&mut rules);
    asks::check(&mut rules);
    for fault in found {
        let fault = placed(fault, at);
        if faults.len() < MOST_FAULTS && !faults.contains(&fault) {
            faults.push(fault);
        }
    }
}

/// A fault of a layout's own job, at its place in the whole job.
pub(crate) fn placed(fault: Fault, at: &str) -> Fault {
    let pointer = place(&fault.pointer, at);
    Fault { pointer, ..fault }
}

/// A pointer of a layout's own job in the whole job.
pub(crate) fn place(pointer: &str, at: &str) -> String {
    let first = pointer.trim_start_matches('/').split('/').next();
    match first.is_some_and(|name| OWN.contains(&name)) {
        true => format!("{at}{pointer}"),
        false => pointer.to_owned(),
    }
}
