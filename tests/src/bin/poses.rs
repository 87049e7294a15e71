//! Reads one case per line (`{"vehicle": …, "target": …}`) and prints one pose per line.

use std::io::{BufRead, BufWriter, Write, stdin, stdout};

fn main() -> std::io::Result<()> {
    let mut out = BufWriter::new(stdout().lock());
    for line in stdin().lock().lines() {
        let case = serde_json::from_str(&line?)?;
        writeln!(out, "{}", leanwright_tests::cases::answer(&case))?;
    }
    out.flush()
}
