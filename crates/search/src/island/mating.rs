//! The parents of one generation: who is better, who is near whom.

use crate::random::Stream;
use crate::standing::{Frame, Goals, Member};

/// How many members next to an end of the front count as ends.
const ENDS: usize = 3;

/// A population seen as parents. Derived from its members alone.
pub(super) struct Mating<'a> {
    pub members: &'a [Member],
    rank: Vec<u32>,
    /// Crowding distance within the front; larger is lonelier.
    spread: Vec<f64>,
    normal: Vec<Goals>,
    /// The positions of the best front.
    pub first: &'a [usize],
    goals: usize,
}

impl<'a> Mating<'a> {
    pub fn new(members: &'a [Member], fronts: &'a [Vec<usize>], goals: usize) -> Self {
        let mut rank = vec![0; members.len()];
        let mut spread = vec![0.0; members.len()];
        for (front, number) in fronts.iter().zip(0..) {
            front.iter().for_each(|i| rank[*i] = number);
            for (i, distance) in front.iter().zip(crowding(members, front, goals)) {
                spread[*i] = distance;
            }
        }
        let first = fronts.first().map_or(&[][..], Vec::as_slice);
        let frame = Frame::of(first.iter().map(|i| &members[*i].goals));
        let normal = members.iter().map(|m| frame.map(&m.goals)).collect();
        Self {
            members,
            rank,
            spread,
            normal,
            first,
            goals,
        }
    }

    /// Two draws: the better of two, by rank, then by loneliness.
    pub fn tournament(&self, stream: &mut Stream) -> usize {
        let a = stream.below(self.members.len());
        let b = stream.below(self.members.len());
        let better = self.rank[b] < self.rank[a]
            || (self.rank[b] == self.rank[a] && self.spread[b] > self.spread[a]);
        if better { b } else { a }
    }

    /// One of the few members of the best front that are best in a goal. Draws: the goal, which one.
    pub fn end(&self, stream: &mut Stream) -> usize {
        let goal = stream.below(self.goals);
        let value = |i: usize| self.members[i].goals[goal];
        let mut order = self.first.to_vec();
        let place = stream.below(order.len().min(ENDS));
        let (_, end, _) = order
            .select_nth_unstable_by(place, |a, b| value(*a).total_cmp(&value(*b)).then(a.cmp(b)));
        *end
    }

    /// The `count` members of the best front that are nearest to a member in normalised goals, it
    /// excepted; in no particular but reproducible order.
    pub fn near(&self, member: usize, count: usize) -> Vec<usize> {
        let own = &self.normal[member];
        let mut keyed: Vec<(f64, usize)> = self
            .first
            .iter()
            .filter(|i| **i != member)
            .map(|i| {
                (
                    own.iter()
                        .zip(&self.normal[*i])
                        .map(|(a, b)| (a - b) * (a - b))
                        .sum(),
                    *i,
                )
            })
            .collect();
        if keyed.len() > count {
            keyed.select_nth_unstable_by(count, |a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            keyed.truncate(count);
        }
        keyed.into_iter().map(|(_, i)| i).collect()
    }
}

/// Crowding distances of one front (Deb, Pratap, Agarwal & Meyarivan 2002), infinite at the ends
/// of each goal.
pub(super) fn crowding(members: &[Member], front: &[usize], goals: usize) -> Vec<f64> {
    let mut distance = vec![0.0; front.len()];
    let mut order: Vec<usize> = (0..front.len()).collect();
    for goal in 0..goals {
        let value = |i: usize| members[front[i]].goals[goal];
        order.sort_unstable_by(|a, b| value(*a).total_cmp(&value(*b)).then(a.cmp(b)));
        let (first, last) = (order[0], order[front.len() - 1]);
        let range = value(last) - value(first);
        distance[first] = f64::INFINITY;
        distance[last] = f64::INFINITY;
        if range > 0.0 {
            for three in order.windows(3) {
                distance[three[1]] += (value(three[2]) - value(three[0])) / range;
            }
        }
    }
    distance
}
