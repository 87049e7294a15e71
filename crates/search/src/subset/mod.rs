//! The best subset of a front: few points that together dominate the most.

mod exchange;
mod greedy;
mod plane;

use crate::standing::{Frame, Goals, lexicographic};
use exchange::exchange;
use greedy::greedy;

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
        2 => plane::exact(&normal, &order, count),
        _ => {
            let mut chosen = greedy(&normal, goals, count);
            exchange(&normal, goals, &mut chosen);
            chosen.sort_by(|a, b| lexicographic(&points[*a], &points[*b]));
            chosen
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hypervolume::volume;
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
