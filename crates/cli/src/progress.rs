//! The line of progress on standard error.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use serde_json::Value;

/// Shows how far a job has come: a bar on a terminal, nothing elsewhere.
#[derive(Debug)]
pub struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// A bar for a job of this many evaluations; hidden when `quiet` or without a terminal.
    pub fn new(planned: u64, quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(Some(planned), target(quiet));
        let template = "{elapsed_precise} [{bar:30}] {human_pos}/{human_len} evaluations {msg}";
        // The template is a constant; were it refused, the plain bar would serve as well.
        if let Ok(style) = ProgressStyle::with_template(template) {
            bar.set_style(style);
        }
        Self { bar }
    }

    /// Shows the newest figures.
    pub fn show(&self, figures: &Value) {
        if let Some(done) = figures["evaluations"].as_u64() {
            self.bar.set_position(done);
        }
        let feasible = figures["feasible"].as_u64();
        let hypervolume = figures["hypervolume"].as_f64();
        let mut words = Vec::new();
        words.extend(feasible.map(|count| format!("feasible {count}")));
        words.extend(hypervolume.map(|volume| format!("hypervolume {volume:.4}")));
        self.bar.set_message(words.join("  "));
    }

    /// Leaves the terminal to what follows.
    pub fn finish(&self) {
        self.bar.finish_and_clear();
    }
}

fn target(quiet: bool) -> ProgressDrawTarget {
    if quiet {
        ProgressDrawTarget::hidden()
    } else {
        ProgressDrawTarget::stderr()
    }
}
