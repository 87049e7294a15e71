//! One epoch of one island.

use store::SliceKey;

use super::{Halt, Stopped, evaluate_all};
use crate::model::Model;
use search::{Island, Settings, deal_starts};

/// What an epoch leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Searched {
    /// The island's snapshot.
    pub checkpoint: Vec<u8>,
    /// Evaluations of this epoch.
    pub evaluations: u64,
    /// How far the island has come, for an early stop.
    pub figure: Option<f64>,
}

/// Runs one epoch. `inputs` are the checkpoints named by [`crate::Plan::search_reads`], in that
/// order: the island's own, then its neighbour's, whose migrants come in before the first batch.
///
/// # Errors
/// [`Stopped::Interrupted`] when `halt` says so; [`Stopped::Failed`] when a checkpoint can't be read.
pub fn run_search(
    model: &dyn Model,
    key: SliceKey,
    inputs: &[Vec<u8>],
    halt: Halt<'_>,
) -> Result<Searched, Stopped> {
    let mut island = begin(model, key, inputs)?;
    let before = island.evaluations();
    let target = before + u64::from(model.budget().epoch_evaluations);
    let mut evaluate = model.evaluator();
    while island.evaluations() < target {
        if halt() {
            return Err(Stopped::Interrupted);
        }
        let told = evaluate_all(island.ask().iter(), &mut *evaluate);
        island.tell(&told)?;
    }
    Ok(Searched {
        checkpoint: island.snapshot(),
        evaluations: island.evaluations() - before,
        figure: island.progress().figure(),
    })
}

fn begin(model: &dyn Model, key: SliceKey, inputs: &[Vec<u8>]) -> Result<Island, Stopped> {
    let problem = model.problem();
    let Some(own) = inputs.first() else {
        let starts = deal_starts(model.starts(), model.budget().islands, key.island);
        let settings = Settings {
            starts,
            ..Settings::new(model.seed(), key.island)
        };
        return Island::start(problem, &settings)
            .map_err(|fault| Stopped::Failed(format!("the island can't start: {fault}")));
    };
    let mut island = Island::resume(problem, own)?;
    if let Some(neighbour) = inputs.get(1) {
        let migrants = Island::resume(problem, neighbour)?.migrants();
        island.receive(&migrants).map_err(|fault| {
            Stopped::Failed(format!("the island refused its neighbour's: {fault}"))
        })?;
    }
    Ok(island)
}
