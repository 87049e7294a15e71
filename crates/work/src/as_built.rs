//! The slices of a job that fits a machine as built: the fit, then its publication.

use design::{AsBuiltFit, fit_as_built_unless, parse_as_built};
use store::{Claim, Completion, Published, SliceKey, SliceKind, Successor};

use crate::compile::sentence;
use crate::documents::{ProgressDocument, bytes};
use crate::run::{Unfinished, complete, input, read};
use crate::slices::Halt;
use crate::thread::Desk;

/// The fit itself.
const FIT: SliceKey = SliceKey {
    epoch: 0,
    island: 0,
};
/// Its publication.
const PUBLISH: SliceKey = SliceKey {
    epoch: 1,
    island: 0,
};

pub(crate) fn run(desk: &Desk, claim: &Claim, halt: Halt<'_>) -> Result<(), Unfinished> {
    match claim.kind {
        SliceKind::Study => fit(desk, claim, halt),
        SliceKind::Publish => publish(desk, claim),
        other => {
            let reason = format!("a fit has no slice of the kind {}", other.as_str());
            Err(Unfinished::Fail(reason))
        }
    }
}

/// The fit is asked at every step whether it is still wanted: a cancel ends it within some
/// seconds.
fn fit(desk: &Desk, claim: &Claim, halt: Halt<'_>) -> Result<(), Unfinished> {
    let found = fitted(&input(desk, claim)?.input, halt)?;
    let done = Completion {
        checkpoint: &bytes(&found),
        readers: 1,
        successors: &[Successor {
            key: PUBLISH,
            kind: SliceKind::Publish,
            inputs: 1,
        }],
        evaluations: 1,
        ..Completion::default()
    };
    complete(desk, claim, &done)
}

fn fitted(file: &[u8], halt: Halt<'_>) -> Result<AsBuiltFit, Unfinished> {
    let text = std::str::from_utf8(file)
        .map_err(|fault| Unfinished::Fail(format!("the file is not UTF-8: {fault}")))?;
    let refused = |faults| Unfinished::Fail(sentence(faults));
    let asked = parse_as_built(text).map_err(refused)?;
    let found = fit_as_built_unless(&asked, halt).map_err(refused)?;
    found.ok_or(Unfinished::HandBack)
}

fn publish(desk: &Desk, claim: &Claim) -> Result<(), Unfinished> {
    let mut stored = read(desk, claim, &[FIT])?;
    let result = Published {
        front: stored.remove(0),
        candidates: Vec::new(),
        event: bytes(&ProgressDocument::of_one("publish")),
    };
    Ok(desk.wait(desk.store.publish(claim, &result))?)
}
