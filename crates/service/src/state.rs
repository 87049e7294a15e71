//! What the routes share.

use std::sync::Arc;

use store::Store;
use tokio::sync::{OwnedSemaphorePermit, Semaphore, SemaphorePermit, watch};

use crate::assessed::Assessed;
use crate::compute::Compute;
use crate::guard::{Hosts, Token};
use crate::limits::Limits;
use crate::made_ready::MadeReady;
use crate::metrics::Metrics;
use crate::problem::Problem;
use crate::problem_kind::Kind;

/// The shared state of a server; clones share it.
#[derive(Clone)]
pub struct App(Arc<Inner>);

struct Inner {
    store: Store,
    compute: Compute,
    reports: Compute,
    limits: Limits,
    hosts: Hosts,
    token: Option<Token>,
    metrics: Metrics,
    made_ready: MadeReady,
    assessed: Assessed,
    listeners: Arc<Semaphore>,
    carrying: Arc<Semaphore>,
    preparing: Semaphore,
    stop: watch::Sender<bool>,
}

/// What a server is made of.
#[derive(Debug)]
pub struct Setup {
    /// Caps and time-outs.
    pub limits: Limits,
    /// The hosts the server answers for.
    pub hosts: Hosts,
    /// The token callers must present, if any.
    pub token: Option<Token>,
}

impl App {
    /// The state of a server on this store.
    ///
    /// # Errors
    /// When the operating system gives no thread for assessments.
    pub fn new(store: Store, setup: Setup) -> std::io::Result<Self> {
        let Setup {
            limits,
            hosts,
            token,
        } = setup;
        Ok(Self(Arc::new(Inner {
            store,
            compute: Compute::start("assess", limits.waiting_assessments)?,
            reports: Compute::start("report", limits.waiting_assessments)?,
            listeners: Arc::new(Semaphore::new(limits.listeners)),
            carrying: Arc::new(Semaphore::new(limits.job_files)),
            preparing: Semaphore::new(2),
            limits,
            hosts,
            token,
            metrics: Metrics::default(),
            made_ready: MadeReady::default(),
            assessed: Assessed::default(),
            stop: watch::Sender::new(false),
        })))
    }

    /// The store.
    pub fn store(&self) -> &Store {
        &self.0.store
    }

    /// The thread for answers of some milliseconds: assessments, poses, comparisons.
    pub fn compute(&self) -> &Compute {
        &self.0.compute
    }

    /// The thread for answers that take longer: reports, fits, slopes, studies. Apart from the other
    /// one, so that a vehicle can be changed by hand while somebody opens a report.
    pub fn reports(&self) -> &Compute {
        &self.0.reports
    }

    /// Caps and time-outs.
    pub fn limits(&self) -> &Limits {
        &self.0.limits
    }

    /// The hosts the server answers for.
    pub fn hosts(&self) -> &Hosts {
        &self.0.hosts
    }

    /// The token callers must present, if any.
    pub fn token(&self) -> Option<&Token> {
        self.0.token.as_ref()
    }

    /// Counters of requests.
    pub fn metrics(&self) -> &Metrics {
        &self.0.metrics
    }

    /// Assessments of vehicles that others are measured against.
    pub(crate) fn assessed(&self) -> &Assessed {
        &self.0.assessed
    }

    /// Jobs lately made ready; [`App::made_ready`] looks there first.
    pub(crate) fn kept(&self) -> &MadeReady {
        &self.0.made_ready
    }

    /// Open event streams.
    pub fn open_listeners(&self) -> usize {
        self.0.limits.listeners - self.0.listeners.available_permits()
    }

    /// A place for one more event stream, given back when dropped.
    ///
    /// # Errors
    /// [`Kind::Busy`] when all places are taken.
    pub fn listener_place(&self) -> Result<OwnedSemaphorePermit, Problem> {
        self.0.listeners.clone().try_acquire_owned().map_err(|_| {
            Problem::new(
                Kind::Busy,
                format!("{} event streams are open already", self.0.limits.listeners),
            )
        })
    }

    /// A place for one more job file in memory, given back when dropped.
    ///
    /// # Errors
    /// [`Kind::Busy`] when all places are taken.
    pub fn carrying_place(&self) -> Result<OwnedSemaphorePermit, Problem> {
        self.0.carrying.clone().try_acquire_owned().map_err(|_| {
            Problem::new(
                Kind::Busy,
                format!(
                    "{} job files are coming or going already",
                    self.0.limits.job_files
                ),
            )
        })
    }

    /// Waits for a place to validate a job and look at a sample of its candidates.
    pub async fn preparing(&self) -> Option<SemaphorePermit<'_>> {
        // The semaphore is never closed, so a permit always comes.
        self.0.preparing.acquire().await.ok()
    }

    /// Tells the server and its event streams to end.
    pub fn stop(&self) {
        self.0.stop.send_replace(true);
    }

    /// Waits until [`App::stop`] was called.
    pub async fn stopped(&self) {
        let mut stop = self.0.stop.subscribe();
        // The sender lives as long as this state, so waiting cannot fail.
        let _ = stop.wait_for(|stop| *stop).await;
    }
}
