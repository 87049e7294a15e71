//! From a claim to its slice's function and back into the store.

use store::{Claim, Completion, Error, JobInput, JobKind, SliceKey};

use crate::slices::{Halt, Stopped};
use crate::thread::Desk;
use crate::{as_built, of_search};

/// Why a claim ended without its slice being complete.
#[derive(Debug)]
pub(crate) enum Unfinished {
    /// Interrupted, or a fault that may pass: hand the slice back.
    HandBack,
    /// The claim is void.
    Lost,
    /// An input is damaged: the job goes back to where it is whole.
    Rewind(SliceKey),
    /// The job can't be finished; this is why.
    Fail(String),
    /// The store failed in a way that may pass.
    Store(Error),
}

impl From<Stopped> for Unfinished {
    fn from(stopped: Stopped) -> Unfinished {
        match stopped {
            Stopped::Interrupted => Unfinished::HandBack,
            Stopped::Failed(reason) => Unfinished::Fail(reason),
        }
    }
}

impl From<Error> for Unfinished {
    fn from(fault: Error) -> Unfinished {
        match fault {
            Error::LeaseLost => Unfinished::Lost,
            Error::Damaged { key } => Unfinished::Rewind(key),
            fault => Unfinished::Store(fault),
        }
    }
}

/// Computes the claim's slice and stores what it leaves.
pub(crate) fn run(desk: &Desk, claim: &Claim, halt: Halt<'_>) -> Result<(), Unfinished> {
    match claim.job_kind {
        JobKind::Search => of_search::run(desk, claim, halt),
        JobKind::AsBuilt => as_built::run(desk, claim, halt),
    }
}

/// What the claim's job is a function of.
pub(crate) fn input(desk: &Desk, claim: &Claim) -> Result<JobInput, Unfinished> {
    match desk.wait(desk.store.inputs(&claim.job)) {
        Ok(input) => Ok(input),
        // The job was deleted under the claim.
        Err(Error::NotFound { .. }) => Err(Unfinished::Lost),
        Err(fault) => Err(fault.into()),
    }
}

pub(crate) fn read(desk: &Desk, claim: &Claim, keys: &[SliceKey]) -> Result<Vec<Vec<u8>>, Error> {
    keys.iter()
        .map(|key| desk.wait(desk.store.checkpoint(claim, *key)))
        .collect()
}

pub(crate) fn complete(
    desk: &Desk,
    claim: &Claim,
    done: &Completion<'_>,
) -> Result<(), Unfinished> {
    Ok(desk.wait(desk.store.complete(claim, done))?)
}
