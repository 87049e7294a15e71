//! Models of the jobs that this worker has lately worked on.

use std::sync::{Arc, Mutex, PoisonError};

use store::JobId;

use crate::model::Model;

/// Models kept at most; compiling one costs some tenths of a second.
const KEPT: usize = 8;

/// The most recently used models, newest last.
#[derive(Default)]
pub(crate) struct Cache {
    models: Mutex<Vec<(JobId, Arc<dyn Model>)>>,
}

impl Cache {
    /// The job's model, if it is kept.
    pub(crate) fn get(&self, job: &JobId) -> Option<Arc<dyn Model>> {
        let mut models = self.models.lock().unwrap_or_else(PoisonError::into_inner);
        let at = models.iter().position(|(kept, _)| kept == job)?;
        let entry = models.remove(at);
        let model = entry.1.clone();
        models.push(entry);
        Some(model)
    }

    /// Keeps a model, and lets the longest unused one go.
    pub(crate) fn put(&self, job: &JobId, model: Arc<dyn Model>) {
        let mut models = self.models.lock().unwrap_or_else(PoisonError::into_inner);
        models.retain(|(kept, _)| kept != job);
        if models.len() == KEPT {
            models.remove(0);
        }
        models.push((job.clone(), model));
    }
}
