//! Jobs lately looked at, made ready: making one costs some tenths of a second.

use std::sync::{Arc, Mutex, PoisonError};

use design::{Compiled, Fault, Job, parse_job};
use store::{JobId, JobKind};

use crate::convert::{faulty, store_problem};
use crate::problem::Problem;
use crate::published::of_kind;
use crate::state::App;

const KEPT: usize = 16;

/// The most recently used jobs, newest last. A job's input never changes, so neither does this.
#[derive(Default)]
pub struct MadeReady {
    jobs: Mutex<Vec<(JobId, Arc<Compiled>)>>,
}

impl MadeReady {
    fn get(&self, id: &JobId) -> Option<Arc<Compiled>> {
        let mut jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        let at = jobs.iter().position(|(kept, _)| kept == id)?;
        let entry = jobs.remove(at);
        let compiled = entry.1.clone();
        jobs.push(entry);
        Some(compiled)
    }

    /// The job made ready: from one lately looked at that differs in nothing that a candidate hangs on,
    /// else by a look at a sample of its candidates.
    ///
    /// # Errors
    /// The faults that are seen then.
    pub fn make(&self, job: &Job) -> Result<Compiled, Vec<Fault>> {
        let kept: Vec<Arc<Compiled>> = {
            let jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
            jobs.iter().map(|(_, compiled)| compiled.clone()).collect()
        };
        let again = kept.iter().rev().find_map(|compiled| compiled.again(job));
        again.map_or_else(|| Compiled::new(job), Ok)
    }

    /// Keeps a job that was made ready, and lets the longest unused one go.
    pub fn put(&self, id: &JobId, compiled: Arc<Compiled>) {
        let mut jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        jobs.retain(|(kept, _)| kept != id);
        if jobs.len() == KEPT {
            jobs.remove(0);
        }
        jobs.push((id.clone(), compiled));
    }
}

impl App {
    /// The job made ready to be evaluated.
    ///
    /// # Errors
    /// [`crate::Kind::NotFound`]; [`crate::Kind::NotPossible`] for a job that is no search;
    /// [`crate::Kind::BadInput`] when this build no longer accepts the
    /// file; [`crate::Kind::Busy`] when too many are waiting.
    pub async fn made_ready(&self, id: &JobId) -> Result<Arc<Compiled>, Problem> {
        let job = self.store().job(id).await.map_err(store_problem)?;
        of_kind(&job, JobKind::Search)?;
        let input = self.store().input(id).await.map_err(store_problem)?;
        if let Some(kept) = self.kept().get(id) {
            return Ok(kept);
        }
        let text = String::from_utf8_lossy(&input).into_owned();
        let app = self.clone();
        let make = move || app.kept().make(&parse_job(&text)?);
        let compiled = Arc::new(self.reports().run(make).await?.map_err(faulty)?);
        self.kept().put(id, compiled.clone());
        Ok(compiled)
    }
}
