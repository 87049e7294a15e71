//! What each point of a set adds to the set's hypervolume.

use super::Wfg;
use super::limit::{Named, larger, limit};
use super::staircase::Staircase;
use super::together;
use crate::standing::Goals;

/// So many of the others bound what a point adds.
const NEAR: usize = 12;
/// More than rounding can be wrong by in a volume below a reference near 1.
const ROUNDING: f64 = 1e-12;

/// A set of points from which some leave, and the exclusive volume of each that stays.
pub(super) struct Contributions<'a> {
    points: &'a [Goals],
    goals: usize,
    reference: Goals,
    pub alive: Vec<bool>,
    /// Positions by the first goal, and by the last of up to three goals.
    by_first: Vec<u32>,
    by_last: Vec<u32>,
    /// For each point a set of those that take of what it would add, as they were when that was
    /// computed last: one bit each, in `words` words.
    takers: Vec<u64>,
    words: usize,
    gone: Vec<u64>,
    stairs: Staircase,
    limited: Named,
    reach: Vec<(f64, u32)>,
    wfg: Wfg,
}

impl<'a> Contributions<'a> {
    /// All points must be better than the reference in every goal.
    pub fn new(points: &'a [Goals], goals: usize, reference: &Goals) -> Self {
        let sorted = |goal: usize| {
            let mut order: Vec<u32> = (0..points.len() as u32).collect();
            order.sort_by(|a, b| points[*a as usize][goal].total_cmp(&points[*b as usize][goal]));
            order
        };
        let words = points.len().div_ceil(64);
        Self {
            takers: vec![0; points.len() * words],
            words,
            gone: vec![0; words],
            points,
            goals,
            reference: *reference,
            alive: vec![true; points.len()],
            by_first: sorted(0),
            by_last: if goals == 3 { sorted(2) } else { Vec::new() },
            stairs: Staircase::default(),
            limited: Named::default(),
            reach: Vec::new(),
            wfg: Wfg::default(),
        }
    }

    pub fn remove(&mut self, position: usize) {
        self.alive[position] = false;
        self.gone[position / 64] |= 1 << (position % 64);
    }

    /// Whether what the point adds is still as it was computed last, because none of those that take
    /// of it has left.
    pub fn stands(&self, position: usize) -> bool {
        let takers = &self.takers[position * self.words..][..self.words];
        takers.iter().zip(&self.gone).all(|(t, g)| t & g == 0)
    }

    /// For each point less than what it adds, but not much less.
    pub fn bounds(&mut self) -> Vec<f64> {
        match self.goals {
            3 => {
                let all = together::contributions(self.points, &self.reference);
                all.iter().map(|volume| volume - ROUNDING).collect()
            }
            _ if self.points.len() <= NEAR + 1 => vec![0.0 - ROUNDING; self.points.len()],
            _ => (0..self.points.len()).map(|i| self.bound(i)).collect(),
        }
    }

    /// What the nearest others leave of the cube at the point into which no further one reaches.
    fn bound(&mut self, position: usize) -> f64 {
        let point = &self.points[position];
        let reach = |other: &Goals| {
            (0..self.goals).fold(f64::NEG_INFINITY, |most, g| {
                larger(most, other[g] - point[g])
            })
        };
        self.reach.clear();
        let others = (0..self.points.len()).filter(|i| *i != position);
        let reaches = others.map(|i| (reach(&self.points[i]), i as u32));
        self.reach.extend(reaches);
        let order = |a: &(f64, u32), b: &(f64, u32)| a.0.total_cmp(&b.0);
        let (near, (side, _), _) = self.reach.select_nth_unstable_by(NEAR, order);
        let corner: Goals = std::array::from_fn(|g| self.reference[g].min(point[g] + *side));
        let inside = |other: &&Goals| (0..self.goals).all(|g| other[g] < corner[g]);
        let near = near.iter().map(|(_, i)| &self.points[*i as usize]);
        let limited = &mut self.limited.points;
        limit(point, near.filter(inside), self.goals, limited);
        let volume = self.wfg.left(point, limited, self.goals, &corner);
        volume - ROUNDING
    }

    /// The volume that only the point at `position` dominates.
    pub fn of(&mut self, position: usize) -> f64 {
        match self.goals {
            1 | 2 => self.in_plane(position),
            3 => self.in_space(position),
            _ => self.in_more(position),
        }
    }

    fn in_more(&mut self, position: usize) -> f64 {
        let point = &self.points[position];
        let others = (0..self.points.len()).filter(|i| *i != position && self.alive[*i]);
        let named = others.map(|i| (i as u32, &self.points[i]));
        self.limited.limit(point, named, self.goals);
        let takers = &mut self.takers[position * self.words..][..self.words];
        takers.fill(0);
        for name in &self.limited.names {
            takers[*name as usize / 64] |= 1 << (name % 64);
        }
        self.wfg
            .left(point, &self.limited.points, self.goals, &self.reference)
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
        let takers = &mut self.takers[position * self.words..][..self.words];
        takers.fill(0);
        let mut takes = |i: usize| takers[i / 64] |= 1 << (i % 64);
        let mut area = (right - point[0]) * (top - point[1]);
        let clip = |other: &Goals| (other[0].max(point[0]), other[1].max(point[1]));
        for i in &self.by_first {
            let (i, other) = (*i as usize, &self.points[*i as usize]);
            if other[2] <= point[2] && i != position && self.alive[i] {
                let (x, y) = clip(other);
                let lost = stairs.insert(x, y);
                if lost > 0.0 {
                    takes(i);
                    area -= lost;
                }
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
                takes(i);
                volume += area * (other[2] - depth);
                (depth, area) = (other[2], area - lost);
            }
            if x == point[0] && y == point[1] {
                takes(i);
                area = 0.0;
                break;
            }
        }
        volume += area * (far - depth);
        self.stairs = stairs;
        volume.max(0.0)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::hypervolume::volume;
    use crate::random::Stream;

    pub const REFERENCE: Goals = [1.1; 6];

    pub fn sphere(goals: usize, count: usize) -> Vec<Goals> {
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

    pub fn without(points: &[Goals], gone: usize) -> Vec<Goals> {
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
}
