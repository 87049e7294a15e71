//! Every answer over the other states of loading too.

use super::{Plan, Scratch};
use crate::Answer;
use crate::joints::Tilts;
use kinematics::Linkage;

impl Plan {
    /// Makes every answer the worst over all states of loading.
    pub(super) fn over_states(
        &self,
        linkage: &Linkage,
        tilts: &Tilts,
        scratch: &mut Scratch,
        answers: &mut [Answer],
    ) {
        let mut bars = scratch.bars.take();
        let mut others = core::mem::take(&mut scratch.others);
        for ((plan, of), (room, found)) in self.others.iter().zip(&mut others) {
            room.bars = bars.take();
            plan.evaluate_built(linkage, tilts, room, found);
            bars = room.bars.take();
            let own = self.inner.group.states.first();
            for (&i, other) in of.iter().zip(found.iter()) {
                let mut other = *other;
                let [state, first] = [plan.inner.group.states.first(), own]
                    .map(|state| state.map(|(index, _)| *index));
                other.worst.state = other.worst.state.or(state);
                answers[i].worst.state = answers[i].worst.state.or(first);
                answers[i].worsen(&other, self.asks[i].ask.quantity);
            }
            scratch.poses += room.poses;
        }
        (scratch.bars, scratch.others) = (bars, others);
    }
}
