//! The slices of a job that searches: what each reads and what it leaves.

use std::sync::Arc;
use std::time::Instant;

use store::{Border, Claim, Completion, Error, SliceKey, SliceKind};

use crate::documents::{EndedBy, SearchEnd};
use crate::model::Model;
use crate::plan::{AfterMerge, Plan};
use crate::progress;
use crate::run::{self, Unfinished};
use crate::slices::{
    Halt, Left, after_merge, run_merge, run_polish, run_publish, run_search, run_study,
};
use crate::thread::Desk;

pub(crate) fn run(desk: &Desk, claim: &Claim, halt: Halt<'_>) -> Result<(), Unfinished> {
    let model = &*model(desk, claim)?;
    let plan = Plan {
        islands: model.budget().lanes(),
        rings: model.layouts() as u32,
        epochs: claim.epochs,
    };
    let slice = Slice {
        desk,
        claim,
        model,
        plan,
        halt,
    };
    match claim.kind {
        SliceKind::Search => slice.search(),
        SliceKind::Merge => slice.merge(),
        SliceKind::Polish => slice.polish(),
        SliceKind::Study => slice.study(),
        SliceKind::Publish => slice.publish(),
    }
}

fn model(desk: &Desk, claim: &Claim) -> Result<Arc<dyn Model>, Unfinished> {
    if let Some(model) = desk.cache.get(&claim.job) {
        return Ok(model);
    }
    let model = (desk.compile)(&run::input(desk, claim)?).map_err(Unfinished::Fail)?;
    desk.cache.put(&claim.job, model.clone());
    Ok(model)
}

/// A claimed slice with all that it is computed from.
struct Slice<'a> {
    desk: &'a Desk,
    claim: &'a Claim,
    model: &'a dyn Model,
    plan: Plan,
    halt: Halt<'a>,
}

impl Slice<'_> {
    fn search(&self) -> Result<(), Unfinished> {
        let (desk, claim, model) = (self.desk, self.claim, self.model);
        let reads = self.plan.search_reads(claim.key);
        let inputs = self.read(&reads)?;
        let searched = run_search(model, claim.key, &inputs, &|| desk.hands(), self.halt)?;
        if desk.due.take(claim) {
            let begun = Instant::now();
            let (found, spent) = (&searched.checkpoint, searched.evaluations);
            desk.wait(progress::write(&desk.store, claim, model, found, spent))?;
            desk.due.cost(claim, begun.elapsed());
        }
        let border = self.border(searched.figure);
        self.complete(&Completion {
            checkpoint: &searched.checkpoint,
            // A border holds it until it is decided.
            readers: self.plan.search_readers(claim.key) + u32::from(border.is_some()),
            read: &reads,
            successors: &self.plan.search_wakes(claim.key),
            evaluations: searched.evaluations,
            event: None,
            border,
        })
    }

    /// What may end the search behind this epoch; behind the last there is nothing to end.
    fn border(&self, figure: Option<f64>) -> Option<Border> {
        let stop = self.model.early_stop()?;
        (self.claim.key.epoch + 1 < self.plan.epochs).then_some(Border {
            figure,
            window: stop.epochs,
            gain: stop.gain,
            has_settled: ::search::has_settled,
        })
    }

    fn merge(&self) -> Result<(), Unfinished> {
        let reads = self.plan.last_epoch();
        let merged = run_merge(self.model, &self.read(&reads)?)?;
        self.complete(&Completion {
            checkpoint: &merged.checkpoint,
            // Every polish, every study, and publish.
            readers: merged.after.polishes + merged.after.studies + 1,
            read: &reads,
            successors: &self.plan.merge_wakes(merged.after),
            event: Some(("merged", &merged.progress)),
            ..Completion::default()
        })
    }

    fn polish(&self) -> Result<(), Unfinished> {
        let (archive, after) = self.merged()?;
        let point = self.claim.key.island;
        let hands = || self.desk.hands();
        let polished = run_polish(self.model, &archive, point, &hands, self.halt)?;
        let event = format!("{{\"point\":{point},\"of\":{}}}", after.polishes);
        self.complete(&Completion {
            checkpoint: &polished.checkpoint,
            // Every study, and publish.
            readers: after.studies + 1,
            read: &[self.plan.merge()],
            successors: &self.plan.polish_wakes(after),
            evaluations: polished.evaluations,
            event: Some(("polished", event.as_bytes())),
            ..Completion::default()
        })
    }

    fn study(&self) -> Result<(), Unfinished> {
        let (archive, after) = self.merged()?;
        let polishes = self.plan.polishes(after);
        let polished = self.read(&polishes)?;
        let place = self.claim.key.island;
        let studied = run_study(self.model, &archive, &polished, place, self.halt)?;
        let of = after.studies;
        let told = |number| format!("{{\"candidate\":{number},\"of\":{of}}}");
        let event = studied.number.map(told);
        self.complete(&Completion {
            checkpoint: &studied.checkpoint,
            readers: 1,
            read: &[&[self.plan.merge()], polishes.as_slice()].concat(),
            successors: &self.plan.study_wakes(after),
            event: event.as_ref().map(|body| ("studied", body.as_bytes())),
            ..Completion::default()
        })
    }

    fn publish(&self) -> Result<(), Unfinished> {
        let (archive, after) = self.merged()?;
        let left = Left {
            archive: &archive,
            polishes: &self.read(&self.plan.polishes(after))?,
            studies: &self.read(&self.plan.studies(after))?,
        };
        let result = run_publish(self.model, left, self.end(), self.halt)?;
        let desk = self.desk;
        Ok(desk.wait(desk.store.publish(self.claim, &result))?)
    }

    fn end(&self) -> SearchEnd {
        let budget = self.model.budget();
        SearchEnd {
            by: if self.claim.stopped {
                EndedBy::EarlyStop
            } else {
                EndedBy::Budget
            },
            epochs: self.claim.epochs * budget.epochs_together.max(1),
            planned_epochs: budget.epochs,
        }
    }

    /// The merged archive, and what comes behind it.
    fn merged(&self) -> Result<(Vec<u8>, AfterMerge), Unfinished> {
        let archive = self.read(&[self.plan.merge()])?.remove(0);
        let after = after_merge(self.model, &archive)?;
        Ok((archive, after))
    }

    fn read(&self, keys: &[SliceKey]) -> Result<Vec<Vec<u8>>, Error> {
        run::read(self.desk, self.claim, keys)
    }

    fn complete(&self, done: &Completion<'_>) -> Result<(), Unfinished> {
        run::complete(self.desk, self.claim, done)
    }
}
