//! The candidates of the answer: what studies and publication are about. A pure function of the
//! merged archive and the polishes, so each of them finds the same.

use std::cmp::Ordering;

use search::{Point, knees, nearest};

use super::Stopped;
use crate::documents::own_sense;
use crate::model::Model;
use crate::together::Together;

/// Candidates shown as nearest to the aspirations.
const NEAREST: usize = 5;

/// The candidates of the answer, in its order.
pub(super) struct Answer {
    /// The archive with all polishes joined to it.
    pub archive: Together,
    /// The points; the nearest miss when nothing is feasible.
    pub points: Vec<Point>,
    /// Places of those at knees, ascending.
    pub knees: Vec<usize>,
    /// Places of those nearest to the aspirations, best first.
    pub nearest: Vec<usize>,
}

impl Answer {
    pub(super) fn new(
        model: &dyn Model,
        archive: &[u8],
        polishes: &[Vec<u8>],
    ) -> Result<Answer, Stopped> {
        let archive = joined(model, archive, polishes)?;
        let near = near(model, &archive);
        let points = together(chosen(model, &archive), &near);
        let place = |point: &Point| points.iter().position(|one| one == point);
        Ok(Answer {
            knees: knees(&points),
            nearest: near.iter().filter_map(place).collect(),
            points,
            archive,
        })
    }

    /// Places of at most so many candidates worth a study: those nearest to the aspirations, then
    /// knees, then others spread over the front. None where nothing is feasible.
    pub(super) fn studied(&self, count: usize) -> Vec<usize> {
        let last = match self.points.len() {
            0 => return vec![],
            _ if self.archive.feasible() == 0 => return vec![],
            length => length - 1,
        };
        // Ends first, then halves, quarters and so on, so that any number of them is spread.
        let spread = (0..).take_while(|level| (1 << level) <= 2 * last.max(1));
        let spread = spread.flat_map(|level: u32| {
            let parts = 1_usize << level;
            (0..=parts).map(move |part| part * last / parts)
        });
        let mut studied = vec![];
        for place in self
            .nearest
            .iter()
            .chain(&self.knees)
            .copied()
            .chain(spread)
        {
            if studied.len() < count && !studied.contains(&place) {
                studied.push(place);
            }
        }
        studied
    }
}

fn joined(model: &dyn Model, archive: &[u8], polishes: &[Vec<u8>]) -> Result<Together, Stopped> {
    let mut archive = Together::resume(model, archive)?;
    archive.take_polishes(model, polishes)?;
    Ok(archive)
}

/// The points of the front; the nearest miss when nothing is feasible.
fn chosen(model: &dyn Model, archive: &Together) -> Vec<Point> {
    let chosen = archive.choose(model.front_size());
    if !chosen.is_empty() {
        return chosen;
    }
    let nearest = archive.blocks().least;
    nearest
        .map(|least| Point {
            vector: least.vector,
            goals: vec![],
        })
        .into_iter()
        .collect()
}

/// The archive's points nearest to what the caller aspires to, best first.
fn near(model: &dyn Model, archive: &Together) -> Vec<Point> {
    let goals = model.goals();
    let wanted: Vec<Option<f64>> = goals
        .iter()
        .map(|goal| goal.aspiration.map(|value| own_sense(goal, value)))
        .collect();
    if wanted.iter().all(Option::is_none) {
        return vec![];
    }
    let points = archive.points();
    let nearest = nearest(&points, &wanted, NEAREST);
    nearest.into_iter().map(|i| points[i].clone()).collect()
}

/// The front with these points where it lacks them, in the order of its goals.
fn together(mut chosen: Vec<Point>, near: &[Point]) -> Vec<Point> {
    for point in near {
        if !chosen.contains(point) {
            chosen.push(point.clone());
        }
    }
    let order = |a: &Point, b: &Point| {
        let pairs = a.goals.iter().zip(&b.goals);
        let mut differing = pairs.map(|(x, y)| x.total_cmp(y)).filter(|o| o.is_ne());
        differing.next().unwrap_or(Ordering::Equal)
    };
    if !near.is_empty() {
        chosen.sort_by(order);
    }
    chosen
}
