//! Sound files and changes to them.
#![allow(dead_code, reason = "each test program uses a part")]

use serde_json::Value;

fn demo(name: &str) -> Value {
    let path = format!("{}/../../demo-jobs/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect("a demo file is read");
    serde_json::from_str(&text).expect("a demo file is JSON")
}

/// The example job.
pub fn example_job() -> Value {
    demo("example-job.json")
}

/// The job with rod ends only.
pub fn rod_ends() -> Value {
    demo("rod-ends.json")
}

/// The job that chooses diameters of a stub axle.
pub fn axle_job() -> Value {
    demo("axle-and-hub.json")
}

/// The vehicle with a rocker.
pub fn rocker_vehicle() -> Value {
    demo("vehicles/orchard-hauler-rocker.json")
}

/// The vehicle measured as welded.
pub fn welded_vehicle() -> Value {
    demo("vehicles/orchard-hauler-as-welded.json")
}

/// A demo vehicle by its file's name without the ending.
pub fn demo_vehicle(name: &str) -> Value {
    demo(&format!("vehicles/{name}.json"))
}

/// A copy with values set at JSON pointers; a missing last step is added.
pub fn changed(base: &Value, changes: &[(&str, Value)]) -> Value {
    let mut copy = base.clone();
    for (pointer, value) in changes {
        let (parent, key) = pointer.rsplit_once('/').expect("a pointer has steps");
        match copy
            .pointer_mut(parent)
            .unwrap_or_else(|| panic!("no {parent}"))
        {
            Value::Object(map) => {
                map.insert(key.to_owned(), value.clone());
            }
            Value::Array(list) => list[key.parse::<usize>().expect("an index")] = value.clone(),
            other => panic!("{parent} is {other}"),
        }
    }
    copy
}
