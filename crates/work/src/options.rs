//! How a worker behaves.

use std::time::Duration;

use crate::compile::compile;
use crate::model::Compile;

/// Settings of a worker.
#[derive(Clone, Debug)]
pub struct WorkerOptions {
    /// Compute threads, each with one slice at a time; at least 1.
    pub threads: u32,
    /// How often an idle thread looks for work. What this process itself submits or completes wakes
    /// it at once; only other processes' changes wait for this.
    pub poll: Duration,
    /// How long slices in flight may go on when the worker is told to stop, before they are handed
    /// back.
    pub grace: Duration,
    /// What the worker's name begins with; by default the machine's name. Process and random digits
    /// follow, since a process that starts again is another worker.
    pub name: Option<String>,
    /// How inputs are made into models.
    pub compile: Compile,
    /// The build that this worker says it is; by default [`crate::build_id`].
    pub build: Option<String>,
}

impl WorkerOptions {
    /// The defaults, with this many threads: poll every half second, 8 s of grace.
    pub fn new(threads: u32) -> WorkerOptions {
        WorkerOptions {
            threads,
            poll: Duration::from_millis(500),
            grace: Duration::from_secs(8),
            name: None,
            compile,
            build: None,
        }
    }
}
