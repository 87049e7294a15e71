//! Thinning a set by what its points add.

use super::contribution::Contributions;
use crate::standing::{Goals, lexicographic};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// An entry of the heap: the least contribution first, then the greatest position.
#[derive(PartialEq)]
struct Least {
    contribution: f64,
    position: usize,
    computed: bool,
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
/// again. A contribution only grows while others leave, so one that is the least, and as it was when
/// it was computed, is the least of all; a bound is enough until a point comes up first. Points
/// flagged in `protected` stay unless only such are left.
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
    let bounds = set.bounds();
    let mut heap: BinaryHeap<Least> = (0..points.len())
        .map(|position| Least {
            contribution: if protected[position] {
                f64::INFINITY
            } else {
                bounds[position]
            },
            position,
            computed: protected[position],
        })
        .collect();
    let mut left = points.len();
    while left > keep {
        let Some(least) = heap.pop() else { break };
        let position = least.position;
        if least.computed && (protected[position] || set.stands(position)) {
            set.remove(position);
            left -= 1;
        } else {
            heap.push(Least {
                contribution: set.of(position),
                position,
                computed: true,
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
        computed: true,
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
    use crate::hypervolume::contribution::tests::{REFERENCE, sphere, without};
    use crate::hypervolume::volume;

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
