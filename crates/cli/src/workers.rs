//! Workers in this process.

use service::{Kind, Problem};
use store::Store;
use work::{Worker, WorkerOptions};

/// The worker of this process, if it has one.
pub struct Workers(Option<Worker>);

impl Workers {
    /// Starts this many compute threads, by default one per core; 0 starts none.
    ///
    /// # Errors
    /// When the operating system gives no thread.
    pub fn start(store: &Store, threads: Option<u32>) -> Result<Self, Problem> {
        let threads = threads.unwrap_or_else(cores);
        if threads == 0 {
            return Ok(Self(None));
        }
        match Worker::start(store, &WorkerOptions::new(threads)) {
            Ok(worker) => Ok(Self(Some(worker))),
            Err(error) => Err(Problem::new(Kind::Internal, error.to_string())),
        }
    }

    /// Lets slices in flight end for some seconds and hands back the rest.
    pub async fn stop(self) {
        if let Some(worker) = self.0 {
            worker.stop().await;
        }
    }
}

fn cores() -> u32 {
    let cores = std::thread::available_parallelism();
    cores.map_or(1, |cores| u32::try_from(cores.get()).unwrap_or(u32::MAX))
}
