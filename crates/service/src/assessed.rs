//! Assessments lately made of vehicles that others are measured against.

use std::sync::{Arc, Mutex, PoisonError};

use design::Assessment;
use sha2::{Digest, Sha256};

use crate::problem::Problem;

const KEPT: usize = 16;

/// The most recently used assessments, newest last. Each is a pure function of what its key is made of.
#[derive(Default)]
pub struct Assessed {
    kept: Mutex<Vec<([u8; 32], Arc<Assessment>)>>,
}

impl Assessed {
    /// The assessment kept under this text, or the one that `make` gives, which is then kept.
    ///
    /// # Errors
    /// Those of `make`.
    pub fn get_or(
        &self,
        text: &str,
        make: impl FnOnce() -> Result<Assessment, Problem>,
    ) -> Result<Arc<Assessment>, Problem> {
        let key: [u8; 32] = Sha256::digest(text.as_bytes()).into();
        if let Some(kept) = self.find(&key) {
            return Ok(kept);
        }
        let made = Arc::new(make()?);
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|(other, _)| *other != key);
        if kept.len() == KEPT {
            kept.remove(0);
        }
        kept.push((key, made.clone()));
        Ok(made)
    }

    fn find(&self, key: &[u8; 32]) -> Option<Arc<Assessment>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let at = kept.iter().position(|(other, _)| other == key)?;
        let entry = kept.remove(at);
        let found = entry.1.clone();
        kept.push(entry);
        Some(found)
    }
}
