//! What each point of a set adds to the set's hypervolume, and thinning by it.

use super::Wfg;
use super::limit::limit;
use super::staircase::Staircase;
use crate::standing::{Goals, lexicographic};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// A set of points from which some leave, and the exclusive volume of each that stays.
struct Contributions<'a> {
    points: &'a [Goals],
    goals: usize,
    reference: Goals,
    alive: Vec<bool>,
    /// Positions by the first goal, and by the last of up to three goals.
    by_first: Vec<u32>,
    by_last: Vec<u32>,
    stairs: Staircase,
    limited: Vec<Goals>,
    wfg: Wfg,
}

impl<'a> Contributions<'a> {
    /// All points must be better than the reference in every goal.
    fn new(points: &'a [Goals], goals: usize, reference: &Goals) -> Self {
        let sorted = |goal: usize| {
            let mut order: Vec<u32> = (0..points.len() as u32).collect();
            order.sort_by(|a, b| points[*a as usize][goal].total_cmp(&points[*b as usize][goal]));
            order
        };
        Self {
            points,
            goals,
            reference: *reference,
            alive: vec![true; points.len()],
            by_first: sorted(0),
            by_last: if goals == 3 { sorted(2) } else { Vec::new() },
            stairs: Staircase::default(),
            limited: Vec::new(),
            wfg: Wfg::default(),
        }
    }

    fn remove(&mut self, position: usize) {
        self.alive[position] = false;
    }

    /// The volume that only the point at `position` dominates.
    fn of(&mut self, position: usize) -> f64 {
        match self.goals {
            1 | 2 => self.in_plane(position),
            3 => self.in_space(position),
            _ => self.in_more(position),
        }
    }

    fn in_more(&mut self, position: usize) -> f64 {
        let point = &self.points[position];
        let others = (0..self.points.len()).filter(|i| *i != position && self.alive[*i]);
        let others = others.map(|i| &self.points[i]);
        limit(point, others, self.goals, &mut self.limited);
        self.wfg
            .left(point, &self.limited, self.goals, &self.reference)
    }

    /// One goal is a plane whose second goal is 0 for every point.
    fn in_plane(&self, position: usize) -> f64 {
        let point = &self.points[position];
        let (mut right, mut top) = (self.reference[0], self.reference[1]);
        for (i, other) in self.points.iter().enumerate() {
            if i == position || !self.alive[i] {
                continue;
            }
            if other[0] <= point[0] {
                top = top.min(other[1]);
            }
            if other[1] <= point[1] {
                right = right.min(other[0]);
            }
        }
        (right - point[0]).max(0.0) * (top - point[1]).max(0.0)
    }

    /// A sweep along the third goal over what the others leave of the point's own area.
    fn in_space(&mut self, position: usize) -> f64 {
        let point = self.points[position];
        let [right, top, far, ..] = self.reference;
        let mut stairs = std::mem::take(&mut self.stairs);
        stairs.reset(right, top);
        let mut area = (right - point[0]) * (top - point[1]);
        let clip = |other: &Goals| (other[0].max(point[0]), other[1].max(point[1]));
        for i in &self.by_first {
            let (i, other) = (*i as usize, &self.points[*i as usize]);
            if other[2] <= point[2] && i != position && self.alive[i] {
                let (x, y) = clip(other);
                area -= stairs.insert(x, y);
            }
        }
        let mut depth = point[2];
        let mut volume = 0.0;
        let behind = self
            .by_last
            .partition_point(|i| self.points[*i as usize][2] <= depth);
        for i in &self.by_last[behind..] {
            let (i, other) = (*i as usize, &self.points[*i as usize]);
            if !self.alive[i] {
                continue;
            }
            let (x, y) = clip(other);
            let lost = stairs.insert(x, y);
            if lost > 0.0 {
                volume += area * (other[2] - depth);
                (depth, area) = (other[2], area - lost);
            }
            if x == point[0] && y == point[1] {
                area = 0.0;
                break;
            }
        }
        volume += area * (far - depth);
        self.stairs = stairs;
        volume.max(0.0)
    }
}

/// An entry of the heap: the least contribution first, then the greatest position.
#[derive(PartialEq)]
struct Least {
    contribution: f64,
    position: usize,
    round: usize,
}

impl Eq for Least {}

impl Ord for Least {
    fn cmp(&self, other: &Self) -> Ordering {
        other
            .contribution
            .total_cmp(&self.contribution)
            .then(self.position.cmp(&other.position))
    }
}

impl PartialOrd for Least {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// Leaves `keep` points (positions, ascending) by removing the one that adds least, again and
/// again. A contribution only grows while others leave, so one that is still the least after it
/// was computed anew is the least of all. Points flagged in `protected` stay unless only such are
/// left.
///
/// With two goals the points must not dominate each other; equal ones are allowed.
pub(crate) fn thin(
    points: &[Goals],
    goals: usize,
    reference: &Goals,
    keep: usize,
    protected: &[bool],
) -> Vec<usize> {
    if goals == 2 {
        return thin_plane(points, reference, keep, protected);
    }
    let mut set = Contributions::new(points, goals, reference);
    let mut heap: BinaryHeap<Least> = (0..points.len())
        .map(|position| {
            let contribution = if protected[position] {
                f64::INFINITY
            } else {
                set.of(position)
            };
            Least {
                contribution,
                position,
                round: 0,
            }
        })
        .collect();
    let mut round = 0;
    while points.len() - round > keep {
        let Some(least) = heap.pop() else { break };
        if least.round == round || protected[least.position] {
            set.remove(least.position);
            round += 1;
        } else {
            let contribution = set.of(least.position);
            heap.push(Least {
                contribution,
                round,
                ..least
            });
        }
    }
    (0..points.len()).filter(|i| set.alive[*i]).collect()
}

/// In the plane a contribution is a rectangle between the two neighbours along the front.
fn thin_plane(points: &[Goals], reference: &Goals, keep: usize, protected: &[bool]) -> Vec<usize> {
    let count = points.len();
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|a, b| lexicographic(&points[*a], &points[*b]));
    // Neighbours along the front; `count` stands for the reference on either side.
    let mut before = vec![count; count + 1];
    let mut after = vec![count; count + 1];
    for pair in order.windows(2) {
        (after[pair[0]], before[pair[1]]) = (pair[1], pair[0]);
    }
    let contribution = |i: usize, before: &[usize], after: &[usize]| {
        if protected[i] {
            return f64::INFINITY;
        }
        let right = points.get(after[i]).map_or(reference[0], |p| p[0]);
        let top = points.get(before[i]).map_or(reference[1], |p| p[1]);
        (right - points[i][0]) * (top - points[i][1])
    };
    let mut current: Vec<f64> = (0..count)
        .map(|i| contribution(i, &before, &after))
        .collect();
    let entry = |position: usize, contribution: f64| Least {
        contribution,
        position,
        round: 0,
    };
    let mut heap: BinaryHeap<Least> = (0..count).map(|i| entry(i, current[i])).collect();
    let mut alive = vec![true; count];
    let mut left = count;
    while left > keep {
        let Some(least) = heap.pop() else { break };
        let i = least.position;
        if !alive[i] || least.contribution.to_bits() != current[i].to_bits() {
            continue;
        }
        (alive[i], left) = (false, left - 1);
        let (previous, next) = (before[i], after[i]);
        (after[previous], before[next]) = (next, previous);
        for neighbour in [previous, next] {
            if neighbour < count && !protected[neighbour] {
                current[neighbour] = contribution(neighbour, &before, &after);
                heap.push(entry(neighbour, current[neighbour]));
            }
        }
    }
    (0..count).filter(|i| alive[*i]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hypervolume::volume;
    use crate::random::Stream;

    const REFERENCE: Goals = [1.1; 6];

    fn sphere(goals: usize, count: usize) -> Vec<Goals> {
        let mut stream = Stream::new(11, 0, 0, 0);
        let point = |_| {
            let mut point = [0.0; 6];
            point[..goals]
                .iter_mut()
                .for_each(|v| *v = 0.01 + stream.unit());
            let length = point.iter().map(|v| v * v).sum::<f64>().sqrt();
            point.map(|v| v / length)
        };
        (0..count).map(point).collect()
    }

    fn without(points: &[Goals], gone: usize) -> Vec<Goals> {
        let kept = points.iter().enumerate().filter(|(i, _)| *i != gone);
        kept.map(|(_, point)| *point).collect()
    }

    /// A contribution is the whole without the rest, by definition.
    #[test]
    fn contributions_are_differences_of_volumes() {
        for goals in 3..=5 {
            let mut points = sphere(goals, 25);
            // A duplicate adds nothing, and takes away what its twin adds.
            points.push(points[3]);
            let whole = volume(&points, goals, &REFERENCE);
            let mut set = Contributions::new(&points, goals, &REFERENCE);
            for i in 0..points.len() {
                let expected = whole - volume(&without(&points, i), goals, &REFERENCE);
                assert!(
                    (set.of(i) - expected).abs() < 1e-12,
                    "{goals} goals, point {i}"
                );
            }
            assert_eq!(set.of(3), 0.0);
        }
    }

    /// Lazy removal must be the same as computing every contribution anew each time.
    #[test]
    fn lazy_thinning_removes_the_least_each_time() {
        for goals in 2..=4 {
            let points = sphere(goals, 30);
            let found = thin(&points, goals, &REFERENCE, 12, &[false; 30]);
            let mut left: Vec<usize> = (0..30).collect();
            while left.len() > 12 {
                let values: Vec<Goals> = left.iter().map(|i| points[*i]).collect();
                let whole = volume(&values, goals, &REFERENCE);
                let share = |i: usize| whole - volume(&without(&values, i), goals, &REFERENCE);
                let least = (0..left.len()).min_by(|a, b| share(*a).total_cmp(&share(*b)));
                left.remove(least.expect("some are left"));
            }
            assert_eq!(found, left, "{goals} goals");
        }
    }

    #[test]
    fn protected_points_stay() {
        let points = sphere(3, 20);
        let mut protected = [false; 20];
        (protected[4], protected[9]) = (true, true);
        let found = thin(&points, 3, &REFERENCE, 3, &protected);
        assert!(found.len() == 3 && found.contains(&4) && found.contains(&9));
    }
}
