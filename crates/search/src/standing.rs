//! Constrained dominance: how two evaluated points compare.

use crate::evaluation::Evaluation;
use crate::problem::MOST_GOALS;
use std::cmp::Ordering;

/// Goal values, padded with zeros up to the largest number of goals, so that loops have a fixed
/// length and padding never decides a comparison.
pub(crate) type Goals = [f64; MOST_GOALS];

/// How a point stands to the requirements.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Standing {
    /// Every requirement is met.
    Feasible,
    /// The sum of positive violations, > 0.
    Violated(f64),
    /// The distance from assembling, ≥ 0; the point has no goals.
    Apart(f64),
}

impl Standing {
    pub fn of(evaluation: &Evaluation) -> Self {
        match (evaluation.apart, evaluation.excess()) {
            (Some(distance), _) => Self::Apart(distance),
            (None, excess) if excess > 0.0 => Self::Violated(excess),
            (None, _) => Self::Feasible,
        }
    }

    pub fn is_feasible(self) -> bool {
        self == Self::Feasible
    }

    /// This standing where violations up to `slack` count as none.
    pub fn eased(self, slack: f64) -> Self {
        match self {
            Self::Violated(excess) if excess <= slack => Self::Feasible,
            other => other,
        }
    }

    fn key(self) -> (u8, f64) {
        match self {
            Self::Feasible => (0, 0.0),
            Self::Violated(excess) => (1, excess),
            Self::Apart(distance) => (2, distance),
        }
    }

    /// Less is better; all feasible points are equal.
    pub fn order(self, other: Self) -> Ordering {
        let (a, b) = (self.key(), other.key());
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    }
}

/// A point that has been evaluated.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Member {
    /// One coordinate in 0…1 per free variable.
    pub unit: Vec<f64>,
    pub goals: Goals,
    pub standing: Standing,
}

/// Pads a goal list.
pub(crate) fn padded(goals: &[f64]) -> Goals {
    let mut out = [0.0; MOST_GOALS];
    out[..goals.len()].copy_from_slice(goals);
    out
}

/// Pareto dominance: nowhere worse, somewhere better.
pub(crate) fn dominates(a: &Goals, b: &Goals) -> bool {
    let mut worse = false;
    let mut better = false;
    for (x, y) in a.iter().zip(b) {
        worse |= x > y;
        better |= x < y;
    }
    better && !worse
}

/// Nowhere worse: dominance or equality.
pub(crate) fn covers(a: &Goals, b: &Goals) -> bool {
    a.iter().zip(b).all(|(x, y)| x <= y)
}

/// A total order over goals: the first that differs decides.
pub(crate) fn lexicographic(a: &Goals, b: &Goals) -> Ordering {
    a.iter()
        .zip(b)
        .map(|(x, y)| x.total_cmp(y))
        .find(|order| order.is_ne())
        .unwrap_or(Ordering::Equal)
}

/// An affine map of goals onto about 0…1.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
    ideal: Goals,
    inverse: Goals,
}

impl Frame {
    pub fn new(ideal: &Goals, nadir: &Goals) -> Self {
        let mut inverse = [0.0; MOST_GOALS];
        for (out, (low, high)) in inverse.iter_mut().zip(ideal.iter().zip(nadir)) {
            let scale = 1.0 / (high - low);
            // A goal with one value only is left out: its coordinate is 0 for every point.
            *out = if scale.is_finite() && scale > 0.0 {
                scale
            } else {
                0.0
            };
        }
        Self {
            ideal: *ideal,
            inverse,
        }
    }

    /// The frame whose 0 and 1 are the least and greatest values of each goal.
    pub fn of<'a>(points: impl Iterator<Item = &'a Goals> + Clone) -> Self {
        let (ideal, nadir) = extent(points);
        Self::new(&ideal, &nadir)
    }

    pub fn map(&self, goals: &Goals) -> Goals {
        let mut out = [0.0; MOST_GOALS];
        for i in 0..MOST_GOALS {
            out[i] = (goals[i] - self.ideal[i]) * self.inverse[i];
        }
        out
    }
}

/// The least and the greatest value of each goal; zeros without points.
pub(crate) fn extent<'a>(points: impl Iterator<Item = &'a Goals> + Clone) -> (Goals, Goals) {
    let fold = |pick: fn(f64, f64) -> f64| {
        points
            .clone()
            .copied()
            .reduce(|a, b| std::array::from_fn(|i| pick(a[i], b[i])))
            .unwrap_or([0.0; MOST_GOALS])
    };
    (fold(f64::min), fold(f64::max))
}

/// Fronts of constrained dominance, best first, each holding positions in `members`: feasible
/// points by non-dominated sorting, then the others in the order of their standing. Violations up
/// to `slack` count as none.
pub(crate) fn fronts(members: &[Member], slack: f64) -> Vec<Vec<usize>> {
    let standing = |i: usize| members[i].standing.eased(slack);
    let mut order: Vec<usize> = (0..members.len()).collect();
    order.sort_by(|a, b| {
        standing(*a)
            .order(standing(*b))
            .then_with(|| lexicographic(&members[*a].goals, &members[*b].goals))
    });
    let feasible = order.partition_point(|i| standing(*i).is_feasible());
    let mut fronts = sort_feasible(members, &order[..feasible]);
    let rest = order[feasible..].chunk_by(|a, b| standing(*a) == standing(*b));
    fronts.extend(rest.map(<[usize]>::to_vec));
    fronts
}

/// Non-dominated sorting of positions that are in lexicographic order: each joins the first front
/// without a member that dominates it (Zhang, Tian, Cheng & Jin 2015, "ENS").
fn sort_feasible(members: &[Member], order: &[usize]) -> Vec<Vec<usize>> {
    let mut fronts: Vec<Vec<usize>> = Vec::new();
    for i in order {
        let goals = &members[*i].goals;
        let free = |front: &&mut Vec<usize>| {
            !front
                .iter()
                .rev()
                .any(|j| dominates(&members[*j].goals, goals))
        };
        match fronts.iter_mut().find(free) {
            Some(front) => front.push(*i),
            None => fronts.push(vec![*i]),
        }
    }
    fronts
}
