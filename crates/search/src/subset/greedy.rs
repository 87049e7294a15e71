//! Points that add most, one after the other.

use super::REFERENCE;
use crate::hypervolume::{Wfg, inclusive, keep, moved};
use crate::standing::Goals;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// An entry of the heap: the greatest gain first, then the least position.
#[derive(PartialEq)]
struct Gain {
    /// What the candidate adds to the first `round` chosen ones.
    gain: f64,
    position: usize,
    round: usize,
}

impl Eq for Gain {}

impl Ord for Gain {
    fn cmp(&self, other: &Self) -> Ordering {
        self.gain
            .total_cmp(&other.gain)
            .then(other.position.cmp(&self.position))
    }
}

impl PartialOrd for Gain {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// Takes the point that adds most, again and again. A gain only shrinks while others come in, so
/// one that is still the greatest after it was computed anew is the greatest of all.
pub(super) fn greedy(normal: &[Goals], goals: usize, count: usize) -> Vec<usize> {
    let mut search = Search {
        normal,
        goals,
        limited: vec![Vec::new(); normal.len()],
        wfg: Wfg::default(),
    };
    let mut chosen: Vec<usize> = Vec::with_capacity(count);
    let mut heap: BinaryHeap<Gain> = (0..normal.len())
        .map(|position| Gain {
            gain: inclusive(&normal[position], goals, &REFERENCE),
            position,
            round: 0,
        })
        .collect();
    while chosen.len() < count {
        let Some(most) = heap.pop() else { break };
        if most.round < chosen.len() {
            heap.push(search.follow(most, &chosen));
        } else {
            chosen.push(most.position);
        }
    }
    chosen
}

struct Search<'a> {
    normal: &'a [Goals],
    goals: usize,
    /// The chosen ones that a candidate has seen, limited to its box.
    limited: Vec<Vec<Goals>>,
    wfg: Wfg,
}

impl Search<'_> {
    /// Brings a gain up to the ones chosen since. Where others cover all that they take, it stays.
    fn follow(&mut self, entry: Gain, chosen: &[usize]) -> Gain {
        let Gain {
            mut gain,
            position,
            round,
        } = entry;
        let point = &self.normal[position];
        let limited = &mut self.limited[position];
        let mut changed = false;
        for other in &chosen[round..] {
            if let Some(taker) = moved(point, &self.normal[*other], self.goals, limited) {
                keep(limited, taker);
                changed = true;
            }
        }
        if changed {
            gain = self.wfg.left(point, limited, self.goals, &REFERENCE);
        }
        Gain {
            gain,
            position,
            round: chosen.len(),
        }
    }
}
