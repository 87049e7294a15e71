//! Single points of a subset, replaced by better ones.

use super::REFERENCE;
use crate::hypervolume::{Wfg, limit};
use crate::standing::{Goals, covers};

/// How much more a point must add to come in.
const MORE: f64 = 1.0 + 1e-9;

/// More than rounding can be wrong by in a volume below the reference.
const ROUNDING: f64 = 1e-12;

/// Replaces single chosen points by near ones that add more, until none does or the passes are
/// spent. The total never falls. A chosen point is looked at again only where something changed.
pub(super) fn exchange(normal: &[Goals], goals: usize, chosen: &mut [usize]) {
    let (near, passes) = match goals {
        3 => (24, 8),
        4 => (8, 2),
        5 => (8, 3),
        _ => return,
    };
    let mut near = Near::new(normal, near);
    let mut gains = Gains {
        normal,
        goals,
        limited: Vec::new(),
        wfg: Wfg::default(),
    };
    let mut taken = vec![false; normal.len()];
    chosen.iter().for_each(|i| taken[*i] = true);
    let mut swaps: Vec<Swap> = Vec::new();
    let mut settled: Vec<Option<Settled>> = vec![None; chosen.len()];
    for _ in 0..passes {
        let before = swaps.len();
        for at in 0..chosen.len() {
            let old = chosen[at];
            let candidates = near.of(old);
            if let Some(settled) = &mut settled[at]
                && settled.holds(normal, &swaps, candidates)
            {
                continue;
            }
            let last = chosen.len() - 1;
            chosen.swap(at, last);
            let look = gains.look(&chosen[..last], old, candidates, &taken);
            let best = look.best;
            chosen[last] = best;
            chosen.swap(at, last);
            if best != old {
                (taken[old], taken[best]) = (false, true);
                swaps.push(Swap { old, new: best });
            }
            settled[at] = (best == old).then_some(Settled {
                look,
                seen: swaps.len(),
            });
        }
        if swaps.len() == before {
            break;
        }
    }
}

/// One point that left for another.
struct Swap {
    old: usize,
    new: usize,
}

/// What was found about one chosen point and its candidates.
#[derive(Clone)]
struct Look {
    best: usize,
    /// The chosen point, and the candidates that were measured beside all others.
    measured: Vec<usize>,
    /// The others that count in the boxes of those.
    close: Vec<usize>,
}

/// A look that found nothing better.
#[derive(Clone)]
struct Settled {
    look: Look,
    /// How many of the swaps were made then.
    seen: usize,
}

impl Settled {
    /// Whether the swaps since leave all of that as it is.
    fn holds(&mut self, normal: &[Goals], swaps: &[Swap], candidates: &[u32]) -> bool {
        let Look {
            measured, close, ..
        } = &self.look;
        let covered = |point: &Goals, new: usize| {
            let new = moved(point, &normal[new]);
            close
                .iter()
                .any(|i| covers(&moved(point, &normal[*i]), &new))
        };
        let same = |swap: &Swap| {
            let freed = candidates.contains(&(swap.old as u32)) || close.contains(&swap.old);
            !freed && measured.iter().all(|i| covered(&normal[*i], swap.new))
        };
        let holds = swaps[self.seen..].iter().all(same);
        self.seen = swaps.len();
        holds
    }
}

/// What single points add to others.
struct Gains<'a> {
    normal: &'a [Goals],
    goals: usize,
    limited: Vec<Goals>,
    wfg: Wfg,
}

impl Gains<'_> {
    fn of(&mut self, others: &[usize], position: usize) -> f64 {
        let point = &self.normal[position];
        let others = others.iter().map(|i| &self.normal[*i]);
        limit(point, others, self.goals, &mut self.limited);
        self.wfg.left(point, &self.limited, self.goals, &REFERENCE)
    }

    /// Looks for the candidate, not taken, that adds most in place of the old point.
    fn look(&mut self, others: &[usize], old: usize, candidates: &[u32], taken: &[bool]) -> Look {
        let (mut best, mut most) = (old, self.of(others, old));
        let (mut measured, mut close) = (vec![old], Vec::new());
        self.add_close(others, old, &mut close);
        for candidate in candidates.iter().map(|i| *i as usize) {
            // Beside some of the others a point adds no less than beside all of them.
            if taken[candidate] || self.of(&close, candidate) + ROUNDING <= most * MORE {
                continue;
            }
            let gain = self.of(others, candidate);
            measured.push(candidate);
            self.add_close(others, candidate, &mut close);
            if gain > most * MORE {
                (best, most) = (candidate, gain);
            }
        }
        Look {
            best,
            measured,
            close,
        }
    }

    /// Adds the others that count in the box of a point whose gain was just computed.
    fn add_close(&self, others: &[usize], position: usize, close: &mut Vec<usize>) {
        let point = &self.normal[position];
        for other in others {
            let counts = || self.limited.contains(&moved(point, &self.normal[*other]));
            if !close.contains(other) && counts() {
                close.push(*other);
            }
        }
    }
}

fn moved(point: &Goals, other: &Goals) -> Goals {
    std::array::from_fn(|g| point[g].max(other[g]))
}

/// The nearest neighbours of single points, found once for each.
struct Near<'a> {
    normal: &'a [Goals],
    count: usize,
    found: Vec<Vec<u32>>,
}

impl<'a> Near<'a> {
    fn new(normal: &'a [Goals], count: usize) -> Self {
        Self {
            normal,
            count,
            found: vec![Vec::new(); normal.len()],
        }
    }

    /// The nearest first; of equally near ones the one that comes first.
    fn of(&mut self, to: usize) -> &[u32] {
        if self.found[to].is_empty() {
            self.found[to] = nearest(self.normal, to, self.count);
        }
        &self.found[to]
    }
}

fn nearest(normal: &[Goals], to: usize, count: usize) -> Vec<u32> {
    let own = normal[to];
    let distance = |other: &Goals| -> f64 {
        let squares: Goals = std::array::from_fn(|g| (other[g] - own[g]) * (other[g] - own[g]));
        squares.iter().sum()
    };
    let order = |a: &(f64, u32), b: &(f64, u32)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
    let mut keyed: Vec<(f64, u32)> = Vec::with_capacity(4 * count);
    let mut bound = f64::INFINITY;
    for (distance, i) in normal.iter().map(distance).zip(0..) {
        if distance > bound || i as usize == to {
            continue;
        }
        keyed.push((distance, i));
        if keyed.len() == 4 * count {
            keyed.select_nth_unstable_by(count, order);
            keyed.truncate(count);
            bound = keyed.iter().fold(0.0, |most, one| most.max(one.0));
        }
    }
    keyed.sort_unstable_by(order);
    keyed.truncate(count);
    keyed.into_iter().map(|(_, i)| i).collect()
}
