//! From a claim to its slice's function and back into the store.

use std::sync::Arc;
use std::time::Instant;

use store::{Border, Claim, Completion, Error, JobInput, JobKind, SliceKey, SliceKind};

use crate::as_built;
use crate::documents::{EndedBy, SearchEnd};
use crate::model::Model;
use crate::plan::Plan;
use crate::progress;
use crate::slices::{
    Halt, Left, Stopped, after_merge, run_merge, run_polish, run_publish, run_search, run_study,
};
use crate::thread::Desk;

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
        JobKind::Search => of_search(desk, claim, halt),
        JobKind::AsBuilt => as_built::run(desk, claim, halt),
    }
}

fn of_search(desk: &Desk, claim: &Claim, halt: Halt<'_>) -> Result<(), Unfinished> {
    let model = model(desk, claim)?;
    let plan = Plan {
        islands: model.budget().lanes(),
        epochs: claim.epochs,
    };
    match claim.kind {
        SliceKind::Search => search(desk, claim, &*model, plan, halt),
        SliceKind::Merge => merge(desk, claim, &*model, plan),
        SliceKind::Polish => polish(desk, claim, &*model, plan, halt),
        SliceKind::Study => study(desk, claim, &*model, plan, halt),
        SliceKind::Publish => publish(desk, claim, &*model, plan, halt),
    }
}

fn model(desk: &Desk, claim: &Claim) -> Result<Arc<dyn Model>, Unfinished> {
    if let Some(model) = desk.cache.get(&claim.job) {
        return Ok(model);
    }
    let model = (desk.compile)(&input(desk, claim)?).map_err(Unfinished::Fail)?;
    desk.cache.put(&claim.job, model.clone());
    Ok(model)
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

fn search(
    desk: &Desk,
    claim: &Claim,
    model: &dyn Model,
    plan: Plan,
    halt: Halt<'_>,
) -> Result<(), Unfinished> {
    let reads = plan.search_reads(claim.key);
    let inputs = read(desk, claim, &reads)?;
    let hands = || desk.hands();
    let searched = run_search(model, claim.key, &inputs, &hands, halt)?;
    if desk.due.take(claim) {
        let begun = Instant::now();
        let spent = searched.evaluations;
        desk.wait(progress::write(
            &desk.store,
            claim,
            model,
            &searched.checkpoint,
            spent,
        ))?;
        desk.due.cost(claim, begun.elapsed());
    }
    let border = border(model, plan, claim.key, searched.figure);
    let done = Completion {
        checkpoint: &searched.checkpoint,
        // A border holds it until it is decided.
        readers: plan.search_readers(claim.key) + u32::from(border.is_some()),
        read: &reads,
        successors: &plan.search_wakes(claim.key),
        evaluations: searched.evaluations,
        event: None,
        border,
    };
    complete(desk, claim, &done)
}

/// What may end the search behind this epoch; behind the last there is nothing to end.
fn border(model: &dyn Model, plan: Plan, key: SliceKey, figure: Option<f64>) -> Option<Border> {
    let stop = model.early_stop()?;
    (key.epoch + 1 < plan.epochs).then_some(Border {
        figure,
        window: stop.epochs,
        gain: stop.gain,
        has_settled: ::search::has_settled,
    })
}

fn merge(desk: &Desk, claim: &Claim, model: &dyn Model, plan: Plan) -> Result<(), Unfinished> {
    let reads = plan.last_epoch();
    let merged = run_merge(model, &read(desk, claim, &reads)?)?;
    let done = Completion {
        checkpoint: &merged.checkpoint,
        // Every polish, every study, and publish.
        readers: merged.after.polishes + merged.after.studies + 1,
        read: &reads,
        successors: &plan.merge_wakes(merged.after),
        event: Some(("merged", &merged.progress)),
        ..Completion::default()
    };
    complete(desk, claim, &done)
}

fn polish(
    desk: &Desk,
    claim: &Claim,
    model: &dyn Model,
    plan: Plan,
    halt: Halt<'_>,
) -> Result<(), Unfinished> {
    let reads = [plan.merge()];
    let archive = read(desk, claim, &reads)?;
    let hands = || desk.hands();
    let polished = run_polish(model, &archive[0], claim.key.island, &hands, halt)?;
    let (point, of) = (claim.key.island, polished.after.polishes);
    let event = format!("{{\"point\":{point},\"of\":{of}}}");
    let done = Completion {
        checkpoint: &polished.checkpoint,
        // Every study, and publish.
        readers: polished.after.studies + 1,
        read: &reads,
        successors: &plan.polish_wakes(polished.after),
        evaluations: polished.evaluations,
        event: Some(("polished", event.as_bytes())),
        ..Completion::default()
    };
    complete(desk, claim, &done)
}

fn study(
    desk: &Desk,
    claim: &Claim,
    model: &dyn Model,
    plan: Plan,
    halt: Halt<'_>,
) -> Result<(), Unfinished> {
    let archive = read(desk, claim, &[plan.merge()])?;
    let after = after_merge(model, &archive[0])?;
    let polishes = plan.polishes(after);
    let polished = read(desk, claim, &polishes)?;
    let studied = run_study(model, &archive[0], &polished, claim.key.island, halt)?;
    let event = studied.number.map(|number| {
        let of = after.studies;
        format!("{{\"candidate\":{number},\"of\":{of}}}")
    });
    let done = Completion {
        checkpoint: &studied.checkpoint,
        readers: 1,
        read: &[&[plan.merge()], polishes.as_slice()].concat(),
        successors: &plan.study_wakes(after),
        event: event.as_ref().map(|body| ("studied", body.as_bytes())),
        ..Completion::default()
    };
    complete(desk, claim, &done)
}

fn publish(
    desk: &Desk,
    claim: &Claim,
    model: &dyn Model,
    plan: Plan,
    halt: Halt<'_>,
) -> Result<(), Unfinished> {
    let archive = read(desk, claim, &[plan.merge()])?;
    let after = after_merge(model, &archive[0])?;
    let left = Left {
        archive: &archive[0],
        polishes: &read(desk, claim, &plan.polishes(after))?,
        studies: &read(desk, claim, &plan.studies(after))?,
    };
    let result = run_publish(model, left, end(model, claim), halt)?;
    Ok(desk.wait(desk.store.publish(claim, &result))?)
}

fn end(model: &dyn Model, claim: &Claim) -> SearchEnd {
    let planned = model.budget().epochs;
    SearchEnd {
        by: if claim.stopped {
            EndedBy::EarlyStop
        } else {
            EndedBy::Budget
        },
        epochs: claim.epochs * model.budget().epochs_together.max(1),
        planned_epochs: planned,
    }
}

pub(crate) fn complete(
    desk: &Desk,
    claim: &Claim,
    done: &Completion<'_>,
) -> Result<(), Unfinished> {
    Ok(desk.wait(desk.store.complete(claim, done))?)
}
