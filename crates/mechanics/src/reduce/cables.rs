//! Quantities of a cable drive.

use super::Worst;
use crate::plan::View;
use crate::{Answer, Quantity};

/// The answer of a quantity of the cables; `None` for any other. Poses in which a cable runs
/// through a sheave count as missing, and the first of them is the worst place.
pub(super) fn answer(view: &View) -> Option<Answer> {
    let quantity = view.ask().quantity;
    let mine = matches!(
        quantity,
        Quantity::CablePathChange
            | Quantity::CableSlack
            | Quantity::CableSteer
            | Quantity::CableStretch
            | Quantity::CableFriction
    );
    if !mine {
        return None;
    }
    let candidate = view.candidate;
    let (mut poses, mut through, mut first) = (0.0, 0.0, None);
    let mut worst = Worst::largest();
    view.each(|sample, _| {
        poses += 1.0;
        let Some((state, cables)) = candidate.cables(sample) else {
            through += 1.0;
            first.get_or_insert_with(|| candidate.place(sample));
            return;
        };
        let value = match quantity {
            Quantity::CablePathChange => state.common(&cables).abs(),
            Quantity::CableSlack => state.slack(&cables),
            Quantity::CableSteer => state.handlebar(&cables).abs().to_degrees(),
            Quantity::CableStretch => state.stretch(&cables).to_degrees(),
            _ => state.friction(&cables),
        };
        worst.see(value, || candidate.place(sample));
    });
    let missing = through / f64::max(poses, 1.0);
    let mut answer = worst.answer(view.shortfall().max(missing), |value| value);
    answer.worst = first.unwrap_or(answer.worst);
    Some(answer)
}
