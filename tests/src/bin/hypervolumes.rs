//! Reads one front per line (`{"points": [[…], …], "reference": […]}`) and prints its exact
//! hypervolume, with all digits.

use std::io::{BufRead, BufWriter, Write, stdin, stdout};

use serde_json::{Value, from_str};

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().expect("a list of numbers");
    list.iter()
        .map(|number| number.as_f64().expect("a number"))
        .collect()
}

fn main() -> std::io::Result<()> {
    let mut out = BufWriter::new(stdout().lock());
    for line in stdin().lock().lines() {
        let case: Value = from_str(&line?)?;
        let list = case["points"].as_array().expect("a list of points");
        let points: Vec<Vec<f64>> = list.iter().map(numbers).collect();
        let found = search::hypervolume(&points, &numbers(&case["reference"])).expect("valid");
        writeln!(out, "{found:?}")?;
    }
    out.flush()
}
