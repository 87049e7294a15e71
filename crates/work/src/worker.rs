//! A worker: its threads, and the task that speaks for it.

use std::sync::atomic::AtomicUsize;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use store::{Store, WorkerInfo};
use tokio::runtime::Handle;
use tokio::sync::watch;

use crate::build::build_id;
use crate::cache::Cache;
use crate::options::WorkerOptions;
use crate::progress::Due;
use crate::thread::{Desk, jittered, random_bits};

/// How often a worker looks for jobs whose days to be kept are over.
const HOUSEKEEPING: Duration = Duration::from_secs(600);

/// Why a worker could not start.
#[derive(Debug, thiserror::Error)]
pub enum StartError {
    /// No threads were asked for.
    #[error("threads: 0; a worker has at least 1")]
    NoThreads,
    /// It was started outside an asynchronous runtime.
    #[error("a worker starts inside a runtime")]
    NoRuntime,
    /// The system gave no thread.
    #[error("no thread could be started: {0}")]
    Thread(#[from] std::io::Error),
}

/// A running worker. Dropped without [`Worker::stop`], its threads end after the slices that they
/// have in flight.
pub struct Worker {
    desk: Arc<Desk>,
    threads: Vec<JoinHandle<()>>,
    keeper: tokio::task::JoinHandle<()>,
    grace: Duration,
}

impl Worker {
    /// Starts to work on this store. Must be called inside a Tokio runtime with a time driver, whose
    /// threads carry the store's operations; slices are computed on threads of their own.
    ///
    /// # Errors
    /// [`StartError`].
    pub fn start(store: &Store, options: &WorkerOptions) -> Result<Worker, StartError> {
        if options.threads == 0 {
            return Err(StartError::NoThreads);
        }
        let runtime = Handle::try_current().map_err(|_| StartError::NoRuntime)?;
        let info = WorkerInfo {
            name: name(options.name.as_deref()),
            build: options
                .build
                .clone()
                .unwrap_or_else(|| build_id().to_owned()),
            threads: options.threads,
        };
        let desk = Arc::new(Desk {
            store: store.clone(),
            runtime: runtime.clone(),
            info,
            compile: options.compile,
            poll: options.poll,
            cache: Cache::default(),
            due: Due::default(),
            stopping: watch::Sender::new(false),
            idle: AtomicUsize::new(0),
            deadline: Mutex::new(None),
        });
        let keeper = runtime.spawn(keep(
            store.clone(),
            desk.info.clone(),
            desk.stopping.subscribe(),
        ));
        let mut worker = Worker {
            desk,
            threads: vec![],
            keeper,
            grace: options.grace,
        };
        for number in 0..options.threads {
            worker.threads.push(worker.thread(number)?);
        }
        Ok(worker)
    }

    fn thread(&self, number: u32) -> Result<JoinHandle<()>, std::io::Error> {
        let desk = self.desk.clone();
        std::thread::Builder::new()
            .name(format!("slice-{number}"))
            .spawn(move || desk.work())
    }

    /// The name under which the store lists it.
    pub fn name(&self) -> &str {
        &self.desk.info.name
    }

    /// Claims nothing more, lets slices in flight end within the grace, hands back the rest, and
    /// answers when all threads have ended.
    pub async fn stop(mut self) {
        let deadline = Instant::now() + self.grace;
        *self
            .desk
            .deadline
            .lock()
            .unwrap_or_else(PoisonError::into_inner) = Some(deadline);
        self.desk.stopping.send_replace(true);
        let threads = std::mem::take(&mut self.threads);
        let joined = tokio::task::spawn_blocking(move || {
            // A thread that panicked outside a slice has said so on standard error.
            threads.into_iter().for_each(|thread| drop(thread.join()));
        });
        drop(joined.await);
        // No more beats: the last word is that it ends.
        self.keeper.abort();
        if let Err(fault) = self.desk.store.take_leave(&self.desk.info).await {
            tracing::warn!(%fault, "the worker could not say that it ends");
        }
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.desk.stopping.send_replace(true);
        self.keeper.abort();
    }
}

/// Says that the worker is there and takes slices back from those that are not.
async fn keep(store: Store, info: WorkerInfo, mut stopping: watch::Receiver<bool>) {
    let every = store.lease() / 4;
    let mut housekept: Option<tokio::time::Instant> = None;
    loop {
        if let Err(fault) = store.announce(&info).await {
            tracing::warn!(%fault, "the worker could not say that it is there");
        }
        match store.rescue().await {
            Ok(rescued) if rescued.slices > 0 || rescued.failed_jobs > 0 => {
                tracing::info!(rescued.slices, rescued.failed_jobs, "slices were rescued");
            }
            Ok(_) => {}
            Err(fault) => tracing::warn!(%fault, "no slice could be rescued"),
        }
        if housekept.is_none_or(|last| last.elapsed() >= HOUSEKEEPING) {
            housekept = Some(tokio::time::Instant::now());
            if let Err(fault) = store.delete_expired().await {
                tracing::warn!(%fault, "old jobs could not be deleted");
            }
        }
        tokio::select! {
            () = tokio::time::sleep(jittered(every)) => {}
            _ = stopping.changed() => return,
        }
    }
}

/// Machine, process and some random digits: a process that starts again is another worker.
fn name(begin: Option<&str>) -> String {
    format!(
        "{}-{}-{:08x}",
        begin.map_or_else(host, str::to_owned),
        std::process::id(),
        random_bits() as u32
    )
}

#[cfg(unix)]
fn host() -> String {
    let system = rustix::system::uname();
    let name = system.nodename().to_string_lossy().into_owned();
    name.chars()
        .filter(|letter| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '.'))
        .take(60)
        .collect()
}

#[cfg(not(unix))]
fn host() -> String {
    std::env::var("COMPUTERNAME").unwrap_or_else(|_| "worker".to_owned())
}
