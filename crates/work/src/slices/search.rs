//! One epoch of one island; of a very cheap job, some epochs of all islands.

use store::SliceKey;

use super::together::{join, part as parted};
use super::{Halt, Hands, Stopped, evaluate_all};
use crate::model::{Model, part};
use search::{Island, Settings, deal_starts};

/// What a slice of the search leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Searched {
    /// The island's snapshot, or those of all islands joined.
    pub checkpoint: Vec<u8>,
    /// Evaluations of this slice.
    pub evaluations: u64,
    /// How far the island has come, for an early stop.
    pub figure: Option<f64>,
}

/// Runs one slice. `inputs` are the checkpoints named by [`crate::Plan::search_reads`], in that
/// order: the island's own, then its neighbour's, whose migrants come in before the first batch.
///
/// # Errors
/// [`Stopped::Interrupted`] when `halt` says so; [`Stopped::Failed`] when a checkpoint can't be read.
pub fn run_search(
    model: &dyn Model,
    key: SliceKey,
    inputs: &[Vec<u8>],
    hands: Hands<'_>,
    halt: Halt<'_>,
) -> Result<Searched, Stopped> {
    if model.budget().epochs_together > 1 {
        return run_together(model, inputs, hands, halt);
    }
    // Each layout has as many islands, one ring of them after the other.
    let ring = (model.budget().islands / model.layouts() as u32).max(1);
    let own = part(model, (key.island / ring) as usize);
    let mut island = begin(own, (key.island, ring), inputs)?;
    let evaluations = run_epoch(own, &mut island, hands, halt)?;
    Ok(Searched {
        checkpoint: island.snapshot(),
        evaluations,
        figure: island.progress().figure(),
    })
}

/// Some epochs of all islands, each epoch as its slices would be: the same bits.
fn run_together(
    model: &dyn Model,
    inputs: &[Vec<u8>],
    hands: Hands<'_>,
    halt: Halt<'_>,
) -> Result<Searched, Stopped> {
    let budget = model.budget();
    let mut last = match inputs.first() {
        Some(joined) => parted(joined)?,
        None => vec![],
    };
    let mut evaluations = 0;
    for _ in 0..budget.epochs_together {
        let mut next = vec![];
        for island in 0..budget.islands {
            let mut inputs = vec![];
            if let Some(own) = last.get(island as usize) {
                let neighbour = (island + budget.islands - 1) % budget.islands;
                inputs.push(own.clone());
                if neighbour != island {
                    inputs.push(last[neighbour as usize].clone());
                }
            }
            let mut island = begin(model, (island, budget.islands), &inputs)?;
            evaluations += run_epoch(model, &mut island, hands, halt)?;
            next.push(island.snapshot());
        }
        last = next;
    }
    Ok(Searched {
        checkpoint: join(&last),
        evaluations,
        figure: None,
    })
}

/// Runs one epoch; answers its evaluations.
fn run_epoch(
    model: &dyn Model,
    island: &mut Island,
    hands: Hands<'_>,
    halt: Halt<'_>,
) -> Result<u64, Stopped> {
    let before = island.evaluations();
    let target = before + u64::from(model.budget().epoch_evaluations);
    let mut evaluate = model.evaluator();
    while island.evaluations() < target {
        if halt() {
            return Err(Stopped::Interrupted);
        }
        let batch: Vec<&[f64]> = island.ask().iter().collect();
        let told = evaluate_all(model, &batch, &mut *evaluate, hands);
        island.tell(&told)?;
    }
    Ok(island.evaluations() - before)
}

fn begin(
    model: &dyn Model,
    (island, ring): (u32, u32),
    inputs: &[Vec<u8>],
) -> Result<Island, Stopped> {
    let problem = model.problem();
    let Some(own) = inputs.first() else {
        let starts = deal_starts(model.starts(), ring, island % ring);
        let settings = Settings {
            starts,
            ..Settings::new(model.seed(), island)
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
