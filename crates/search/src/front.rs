//! Reading a front: knees, and the points nearest to what the caller aspires to.

use crate::archive::Point;
use crate::standing::{Frame, Goals, padded};

/// A point is compared with this many nearest neighbours when knees are looked for.
const NEIGHBOURS: usize = 4;
/// A knee bulges at least this far below the plane through the extremes, in normalised goals.
const BULGE: f64 = 0.05;

/// Positions, ascending, of the knees of a front: points that lie deeper below the plane through
/// (1, 0, …), (0, 1, …), … of the normalised goals than each of their four nearest neighbours, and
/// by at least 0.05 (after Das 1999). A straight or bulging-out front has none. With one goal, or
/// fewer than three points, there are none.
pub fn knees(front: &[Point]) -> Vec<usize> {
    let normal = normalised(front);
    let goals = front.first().map_or(0, |point| point.goals.len());
    if goals < 2 || front.len() < 3 {
        return Vec::new();
    }
    let depth = |v: &Goals| (1.0 - v.iter().sum::<f64>()) / (goals as f64).sqrt();
    (0..front.len())
        .filter(|i| {
            let own = depth(&normal[*i]);
            let rivals = neighbours(&normal, *i);
            own >= BULGE && rivals.iter().all(|j| own > depth(&normal[*j]))
        })
        .collect()
}

/// Positions of at most `count` points, the nearest to the aspirations first: by the largest
/// shortfall over the goals that have one, in units of the front's own extent, then by the sum of
/// all goals (Wierzbicki's achievement function). `aspirations` has one entry per goal, in the
/// goal's unit, `None` for goals that don't matter here; missing entries count as `None`.
pub fn nearest(front: &[Point], aspirations: &[Option<f64>], count: usize) -> Vec<usize> {
    let frame = frame(front);
    let wanted: Vec<f64> = aspirations
        .iter()
        .map(|a| a.unwrap_or(0.0))
        .take(6)
        .collect();
    let wanted = frame.map(&padded(&wanted));
    let short = |point: &Point| {
        let own = frame.map(&padded(&point.goals));
        let worst = (0..aspirations.len().min(point.goals.len()))
            .filter(|i| aspirations[*i].is_some())
            .map(|i| own[i] - wanted[i])
            .fold(f64::NEG_INFINITY, f64::max);
        (worst, own.iter().sum::<f64>())
    };
    let mut keyed: Vec<((f64, f64), usize)> = front.iter().map(short).zip(0..).collect();
    keyed.sort_by(|(a, i), (b, j)| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(i.cmp(j)));
    keyed.into_iter().map(|(_, i)| i).take(count).collect()
}

fn frame(front: &[Point]) -> Frame {
    let goals: Vec<Goals> = front.iter().map(|point| padded(&point.goals)).collect();
    Frame::of(goals.iter())
}

fn normalised(front: &[Point]) -> Vec<Goals> {
    let frame = frame(front);
    front
        .iter()
        .map(|point| frame.map(&padded(&point.goals)))
        .collect()
}

fn neighbours(normal: &[Goals], i: usize) -> Vec<usize> {
    let distance = |j: usize| -> f64 {
        normal[i]
            .iter()
            .zip(&normal[j])
            .map(|(a, b)| (a - b) * (a - b))
            .sum()
    };
    let mut others: Vec<usize> = (0..normal.len()).filter(|j| *j != i).collect();
    others.sort_by(|a, b| distance(*a).total_cmp(&distance(*b)).then(a.cmp(b)));
    others.truncate(NEIGHBOURS);
    others
}
