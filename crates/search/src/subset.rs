//! The best subset of a front: few points that together dominate the most.

use crate::hypervolume::volume;
use crate::standing::{Frame, Goals, covers, lexicographic};
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::ops::Range;

/// The reference in normalised goals, where a front's own extent is 0…1.
pub(crate) const REFERENCE: Goals = [1.1; 6];

/// Positions of at most `count` points with the greatest hypervolume, in lexicographic order of
/// their goals. Exact for two goals; beyond, greedy, which reaches at least 1 − 1/e of the best
/// (Nemhauser, Wolsey & Fisher 1978). The points must not dominate each other.
pub(crate) fn best(points: &[Goals], goals: usize, count: usize) -> Vec<usize> {
    let frame = Frame::of(points.iter());
    let normal: Vec<Goals> = points.iter().map(|p| frame.map(p)).collect();
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|a, b| lexicographic(&points[*a], &points[*b]));
    if count >= points.len() {
        return order;
    }
    match goals {
        1 => order[..count].to_vec(),
        2 => exact(&normal, &order, count),
        _ => {
            let mut chosen = greedy(&normal, goals, count);
            exchange(&normal, goals, &mut chosen);
            chosen.sort_by(|a, b| lexicographic(&points[*a], &points[*b]));
            chosen
        }
    }
}

/// Dynamic programming along the front: the best area that ends at a point is the best one that
/// ends at an earlier point plus the strip between the two.
fn exact(normal: &[Goals], order: &[usize], count: usize) -> Vec<usize> {
    let (n, right, top) = (order.len(), REFERENCE[0], REFERENCE[1]);
    if count == 0 {
        return Vec::new();
    }
    let x: Vec<f64> = order.iter().map(|i| normal[*i][0]).collect();
    let depth: Vec<f64> = order.iter().map(|i| top - normal[*i][1]).collect();
    let mut area = vec![0.0; n];
    let mut from: Vec<Vec<u32>> = Vec::with_capacity(count - 1);
    for taken in 1..count {
        let strip = |l: usize, i: usize| area[l] + (x[i] - x[l]) * depth[l];
        let mut links = vec![0u32; n];
        link(&strip, taken..n, taken - 1..n, &mut links);
        area = (0..n)
            .map(|i| {
                if i < taken {
                    0.0
                } else {
                    strip(links[i] as usize, i)
                }
            })
            .collect();
        from.push(links);
    }
    let total = |i: &usize| area[*i] + (right - x[*i]) * depth[*i];
    let mut at = (count - 1..n)
        .max_by(|a, b| total(a).total_cmp(&total(b)).then(b.cmp(a)))
        .expect("count is below n");
    let mut chosen = vec![order[at]];
    for link in from.iter().rev() {
        at = link[at] as usize;
        chosen.push(order[at]);
    }
    chosen.reverse();
    chosen
}

/// For each position of a range the best earlier one, by halving: the deeper an earlier point, the
/// later it pays, so the best one never moves back along the front.
fn link(
    strip: &impl Fn(usize, usize) -> f64,
    range: Range<usize>,
    allowed: Range<usize>,
    links: &mut [u32],
) {
    if range.is_empty() {
        return;
    }
    let middle = range.start.midpoint(range.end);
    let mut best = allowed.start;
    for l in allowed.start..allowed.end.min(middle) {
        if strip(l, middle) > strip(best, middle) {
            best = l;
        }
    }
    links[middle] = best as u32;
    link(strip, range.start..middle, allowed.start..best + 1, links);
    link(strip, middle + 1..range.end, best..allowed.end, links);
}

#[derive(PartialEq)]
struct Gain {
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
fn greedy(normal: &[Goals], goals: usize, count: usize) -> Vec<usize> {
    let mut chosen: Vec<usize> = Vec::with_capacity(count);
    let mut heap: BinaryHeap<Gain> = (0..normal.len())
        .map(|position| Gain {
            gain: gain(normal, goals, &[], position),
            position,
            round: 0,
        })
        .collect();
    while chosen.len() < count {
        let Some(most) = heap.pop() else { break };
        if most.round == chosen.len() {
            chosen.push(most.position);
        } else {
            let gain = gain(normal, goals, &chosen, most.position);
            heap.push(Gain {
                gain,
                round: chosen.len(),
                ..most
            });
        }
    }
    chosen
}

/// What a point would add to the chosen ones.
fn gain(normal: &[Goals], goals: usize, chosen: &[usize], position: usize) -> f64 {
    let point = &normal[position];
    let mut limited: Vec<Goals> = Vec::with_capacity(chosen.len());
    for i in chosen {
        let moved: Goals = std::array::from_fn(|g| point[g].max(normal[*i][g]));
        if !limited.iter().any(|kept| covers(kept, &moved)) {
            limited.retain(|kept| !covers(&moved, kept));
            limited.push(moved);
        }
    }
    let own: f64 = (0..goals).map(|g| REFERENCE[g] - point[g]).product();
    own - volume(&limited, goals, &REFERENCE)
}

/// Replaces single chosen points by near ones that add more, until none does or the passes are
/// spent. The total never falls.
fn exchange(normal: &[Goals], goals: usize, chosen: &mut [usize]) {
    let (near, passes) = match goals {
        3 => (24, 8),
        4 => (8, 2),
        5 => (8, 3),
        _ => return,
    };
    let mut taken = vec![false; normal.len()];
    chosen.iter().for_each(|i| taken[*i] = true);
    for _ in 0..passes {
        let mut changed = false;
        for at in 0..chosen.len() {
            let old = chosen[at];
            let last = chosen.len() - 1;
            chosen.swap(at, last);
            let others = &chosen[..last];
            let mut best = (gain(normal, goals, others, old), old);
            for candidate in nearest(normal, old, near) {
                if !taken[candidate] {
                    let gain = gain(normal, goals, others, candidate);
                    if gain > best.0 * (1.0 + 1e-9) {
                        best = (gain, candidate);
                    }
                }
            }
            chosen[last] = best.1;
            chosen.swap(at, last);
            if best.1 != old {
                (taken[old], taken[best.1], changed) = (false, true, true);
            }
        }
        if !changed {
            break;
        }
    }
}

fn nearest(normal: &[Goals], to: usize, count: usize) -> Vec<usize> {
    let distance = |i: usize| -> f64 {
        normal[i]
            .iter()
            .zip(&normal[to])
            .map(|(a, b)| (a - b) * (a - b))
            .sum()
    };
    let mut keyed: Vec<(f64, usize)> = (0..normal.len())
        .filter(|i| *i != to)
        .map(|i| (distance(i), i))
        .collect();
    if keyed.len() > count {
        keyed.select_nth_unstable_by(count, |a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        keyed.truncate(count);
    }
    keyed.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    keyed.into_iter().map(|(_, i)| i).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Stream;

    /// Points on a bent front, mutually non-dominated.
    fn front(goals: usize, count: usize, seed: u64) -> Vec<Goals> {
        let mut stream = Stream::new(seed, 0, 0, 0);
        let point = |_| {
            let mut point = [0.0; 6];
            point[..goals]
                .iter_mut()
                .for_each(|v| *v = 0.05 + stream.unit());
            let length = point.iter().map(|v| v * v).sum::<f64>().sqrt();
            point.map(|v| v / length)
        };
        (0..count).map(point).collect()
    }

    fn area(points: &[Goals], goals: usize, chosen: &[usize]) -> f64 {
        let frame = Frame::of(points.iter());
        let normal: Vec<Goals> = chosen.iter().map(|i| frame.map(&points[*i])).collect();
        volume(&normal, goals, &REFERENCE)
    }

    /// The greatest hypervolume of any subset of `count` points, by trying all.
    fn by_force(points: &[Goals], goals: usize, count: usize) -> f64 {
        (0u32..1 << points.len())
            .filter(|set| set.count_ones() as usize == count)
            .map(|set| {
                let chosen: Vec<usize> = (0..points.len()).filter(|i| set >> i & 1 == 1).collect();
                area(points, goals, &chosen)
            })
            .fold(0.0, f64::max)
    }

    #[test]
    fn two_goals_are_exact() {
        for seed in 0..10 {
            let points = front(2, 11, seed);
            for count in 1..11 {
                let found = best(&points, 2, count);
                assert_eq!(found.len(), count);
                let most = by_force(&points, 2, count);
                assert!(
                    (area(&points, 2, &found) - most).abs() < 1e-12,
                    "{seed} {count}"
                );
            }
        }
    }

    /// The bound 1 − 1/e is proven for greedy choice; exchange never falls below it.
    #[test]
    fn more_goals_reach_the_bound() {
        for goals in 3..=5 {
            let points = front(goals, 10, 7);
            for count in [1, 3, 6] {
                let found = area(&points, goals, &best(&points, goals, count));
                let most = by_force(&points, goals, count);
                assert!(found <= most + 1e-12 && found >= (1.0 - (-1.0f64).exp()) * most);
            }
        }
    }

    #[test]
    fn all_points_when_enough_are_asked_for() {
        let points = front(3, 6, 1);
        assert_eq!(best(&points, 3, 99).len(), 6);
        assert!(best(&points, 3, 0).is_empty() && best(&points, 2, 0).is_empty());
        assert!(best(&[], 2, 5).is_empty());
    }
}
