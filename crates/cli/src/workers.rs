//! Workers in this process.

use std::time::Duration;

use service::{Kind, Problem};
use store::Store;
use work::{Worker, WorkerOptions};

/// A worker that can't reach its store can hand nothing back: after this long it is left behind, and
/// its slices are rescued.
const PATIENCE: Duration = Duration::from_millis(9_500);

/// The worker of this process, if it has one.
pub struct Workers(Option<Worker>);

impl Workers {
    /// Starts this many compute threads, by default one per core; 0 starts none.
    ///
    /// # Errors
    /// When the operating system gives no thread.
    pub fn start(
        store: &Store,
        threads: Option<u32>,
        name: Option<String>,
    ) -> Result<Self, Problem> {
        let threads = threads.unwrap_or_else(cores);
        if threads == 0 {
            return Ok(Self(None));
        }
        let options = WorkerOptions {
            name,
            ..WorkerOptions::new(threads)
        };
        match Worker::start(store, &options) {
            Ok(worker) => Ok(Self(Some(worker))),
            Err(error) => Err(Problem::new(Kind::Internal, error.to_string())),
        }
    }

    /// The worker's name.
    pub fn name(&self) -> Option<&str> {
        self.0.as_ref().map(Worker::name)
    }

    /// Lets slices in flight end for some seconds and hands back the rest.
    pub async fn stop(self) {
        if let Some(worker) = self.0
            && tokio::time::timeout(PATIENCE, worker.stop()).await.is_err()
        {
            eprintln!("the store did not answer; what was in flight is left to be rescued");
        }
    }
}

fn cores() -> u32 {
    let cores = std::thread::available_parallelism();
    cores.map_or(1, |cores| u32::try_from(cores.get()).unwrap_or(u32::MAX))
}
