//! One chosen point of the archive, refined on its own budget.

use super::{Halt, Hands, Stopped, evaluate_all};
use crate::model::{Model, part};
use crate::together::Together;
use search::Polish;

/// What a polish leaves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Polished {
    /// The polish's snapshot.
    pub checkpoint: Vec<u8>,
    /// Evaluations that it spent.
    pub evaluations: u64,
}

/// Refines point `index` of those that the archive chooses for the job.
///
/// # Errors
/// [`Stopped::Interrupted`] when `halt` says so; [`Stopped::Failed`] when the archive can't be read.
pub fn run_polish(
    model: &dyn Model,
    archive: &[u8],
    index: u32,
    hands: Hands<'_>,
    halt: Halt<'_>,
) -> Result<Polished, Stopped> {
    let together = Together::resume(model, archive)?;
    let (layout, archive, point) = together
        .polished(model, index as usize)
        .ok_or_else(|| Stopped::Failed(format!("there is no point {index} to polish")))?;
    let mut polish = Polish::start(archive, &point, model.polish_evaluations())
        .map_err(|fault| Stopped::Failed(format!("the polish can't start: {fault}")))?;
    let own = part(model, layout);
    let mut evaluate = own.evaluator();
    while let Some(batch) = polish.ask() {
        if halt() {
            return Err(Stopped::Interrupted);
        }
        let batch: Vec<&[f64]> = batch.iter().collect();
        let told = evaluate_all(own, &batch, &mut *evaluate, hands);
        polish.tell(&told)?;
    }
    Ok(Polished {
        checkpoint: polish.snapshot(),
        evaluations: polish.evaluations(),
    })
}
