//! How children are made.
//!
//! Draw order of child `c` of generation `g`, from the stream (seed, island, g, c): one draw picks
//! the operator, then come those for the parent, then the operator's own follow in the order of its lines below, coordinates
//! ascending; last come the draws of `differ`, made only for a child that equals its parent. A
//! Latin hypercube (generation 0, and the scouts' beginnings) draws one permutation per coordinate
//! from the stream (seed, island, g, whole) and one offset per coordinate from each child's own.

use super::credit::Operator;
use super::mating::Mating;
use crate::problem::Problem;
use crate::random::{Stream, WHOLE};

/// Distribution index of polynomial mutation. That of crossover is 15, so that its powers of 16 and
/// 1/16 are products and square roots.
const MUTATION_INDEX: f64 = 20.0;
/// Share of the children moved along the front that are mutated too.
const MUTATED: f64 = 0.3;
/// How many members of the best front count as neighbours.
const NEIGHBOURS: usize = 8;

/// Latin hypercube points (McKay, Beckman & Conover 1979); the key is island and generation.
pub(super) fn hypercube(
    problem: &Problem,
    seed: u64,
    key: [u32; 2],
    count: usize,
) -> Vec<Vec<f64>> {
    let [island, generation] = key;
    let mut whole = Stream::new(seed, island, generation, WHOLE);
    let mut own: Vec<Stream> = (0..count as u32)
        .map(|child| Stream::new(seed, island, generation, child))
        .collect();
    let mut units = vec![Vec::with_capacity(problem.free()); count];
    let mut cells: Vec<usize> = (0..count).collect();
    for coordinate in 0..problem.free() {
        whole.shuffle(&mut cells);
        for ((unit, stream), cell) in units.iter_mut().zip(&mut own).zip(&cells) {
            let at = (*cell as f64 + stream.unit()) / count as f64;
            unit.push(problem.snap(coordinate, at));
        }
    }
    units
}

/// One child of the parents by the operator.
pub(super) fn child(
    problem: &Problem,
    parents: &Mating,
    operator: Operator,
    stream: &mut Stream,
) -> Vec<f64> {
    let base = match operator {
        Operator::Outward => parents.end(stream),
        _ => parents.tournament(stream),
    };
    let mut unit = parents.members[base].unit.clone();
    match operator {
        Operator::Recombine => {
            let other = parents.tournament(stream);
            cross(&mut unit, &parents.members[other].unit, stream);
            mutate(&mut unit, stream);
        }
        Operator::Differential => differential(&mut unit, parents, stream),
        Operator::Line => line(&mut unit, base, parents, stream),
        Operator::Neighbours => neighbours(&mut unit, base, parents, stream),
        Operator::Outward => outward(&mut unit, base, parents, stream),
        Operator::Step => step(&mut unit, stream),
        Operator::Place => place(&mut unit, parents, stream),
    }
    for (coordinate, value) in unit.iter_mut().enumerate() {
        *value = problem.snap(coordinate, *value);
    }
    differ(problem, &mut unit, &parents.members[base].unit, stream);
    unit
}

/// Simulated binary crossover with bounds (Deb & Agrawal 1995). Per coordinate: whether it is
/// crossed, then which of the two children is kept, then the spread.
fn cross(unit: &mut [f64], other: &[f64], stream: &mut Stream) {
    for (x, y) in unit.iter_mut().zip(other) {
        if !stream.chance(0.5) {
            continue;
        }
        let lower_child = stream.chance(0.5);
        let draw = stream.unit();
        let (low, high) = (x.min(*y), x.max(*y));
        if high - low < 1e-14 {
            continue;
        }
        let room = if lower_child { low } else { 1.0 - high };
        let alpha = 2.0 - 1.0 / power_16(1.0 + 2.0 * room / (high - low));
        let scaled = draw * alpha;
        let spread = root_16(if scaled <= 1.0 {
            scaled
        } else {
            1.0 / (2.0 - scaled)
        });
        let half = 0.5 * spread * (high - low);
        let middle = 0.5 * (low + high);
        *x = if lower_child {
            middle - half
        } else {
            middle + half
        };
    }
}

fn power_16(x: f64) -> f64 {
    let fourth = (x * x) * (x * x);
    (fourth * fourth) * (fourth * fourth)
}

fn root_16(x: f64) -> f64 {
    x.sqrt().sqrt().sqrt().sqrt()
}

/// Polynomial mutation (Deb & Goyal 1996) of one coordinate on average. Per coordinate: whether,
/// then how far.
fn mutate(unit: &mut [f64], stream: &mut Stream) {
    let share = 1.0 / unit.len() as f64;
    for x in unit {
        if stream.chance(share) {
            *x = polynomial(*x, MUTATION_INDEX, stream.unit());
        }
    }
}

/// A mutation of some children only: behind a move along the front it breaks what links coordinates.
/// Draws: whether, then the mutation's.
fn mutate_at_times(unit: &mut [f64], stream: &mut Stream) {
    if stream.chance(MUTATED) {
        mutate(unit, stream);
    }
}

/// The coordinate must lie within 0…1.
fn polynomial(x: f64, index: f64, draw: f64) -> f64 {
    let power = index + 1.0;
    let moved = if draw < 0.5 {
        let rest = 2.0 * draw + (1.0 - 2.0 * draw) * libm::pow(1.0 - x, power);
        x + libm::pow(rest, 1.0 / power) - 1.0
    } else {
        let rest = 2.0 * (1.0 - draw) + (2.0 * draw - 1.0) * libm::pow(x, power);
        x + 1.0 - libm::pow(rest, 1.0 / power)
    };
    moved.clamp(0.0, 1.0)
}

/// The base moved by the difference of two members. Draws: the two, the factor, the share of
/// coordinates, the coordinate that always moves, then whether, per coordinate.
fn differential(unit: &mut [f64], parents: &Mating, stream: &mut Stream) {
    let a = &parents.members[stream.below(parents.members.len())].unit;
    let b = &parents.members[stream.below(parents.members.len())].unit;
    let factor = 0.3 + 0.6 * stream.unit();
    let share = if stream.chance(0.5) { 0.9 } else { 0.3 };
    let always = stream.below(unit.len().max(1));
    for (i, x) in unit.iter_mut().enumerate() {
        if stream.chance(share) || i == always {
            *x += factor * (a[i] - b[i]);
        }
    }
}

/// A point on the line through the base and a neighbour on the front, beyond either end at times.
/// Draws: the neighbour, the place, then a mutation.
fn line(unit: &mut [f64], base: usize, parents: &Mating, stream: &mut Stream) {
    let near = parents.near(base, NEIGHBOURS);
    if !near.is_empty() {
        let other = &parents.members[near[stream.below(near.len())]].unit;
        let place = 2.0 * stream.unit() - 0.5;
        for (x, y) in unit.iter_mut().zip(other) {
            *x = (*x + place * (y - *x)).clamp(0.0, 1.0);
        }
    }
    mutate_at_times(unit, stream);
}

/// The base moved by the difference of two of its neighbours. Draws: the two, the factor, then a
/// mutation.
fn neighbours(unit: &mut [f64], base: usize, parents: &Mating, stream: &mut Stream) {
    let near = parents.near(base, NEIGHBOURS);
    if near.len() >= 2 {
        let a = &parents.members[near[stream.below(near.len())]].unit;
        let b = &parents.members[near[stream.below(near.len())]].unit;
        let factor = 0.3 + 0.7 * stream.unit();
        for (i, x) in unit.iter_mut().enumerate() {
            *x = (*x + factor * (a[i] - b[i])).clamp(0.0, 1.0);
        }
    }
    mutate_at_times(unit, stream);
}

/// An end of the front moved away from one of its neighbours, or by the difference of two of them.
/// Where requirements link the coordinates, a front grows at its ends only in small steps along the
/// feasible points, and other operators seldom begin there. Draws: the neighbour, which of the two,
/// the other neighbour where there is one, the factor, then a mutation.
fn outward(unit: &mut [f64], end: usize, parents: &Mating, stream: &mut Stream) {
    let near = parents.near(end, NEIGHBOURS);
    if near.len() >= 2 {
        let from = near[stream.below(near.len())];
        let away = stream.chance(0.5);
        let to = if away {
            end
        } else {
            near[stream.below(near.len())]
        };
        let draw = stream.unit();
        let factor = if away { draw } else { 0.3 + 0.7 * draw };
        let (a, b) = (&parents.members[to].unit, &parents.members[from].unit);
        for (i, x) in unit.iter_mut().enumerate() {
            *x = (*x + factor * (a[i] - b[i])).clamp(0.0, 1.0);
        }
    }
    mutate_at_times(unit, stream);
}

/// Gaussian steps of one length between 1e-4 and 0.3, log-uniform, on one to three coordinates.
/// Draws: the length, the number, then coordinate and step in turn.
fn step(unit: &mut [f64], stream: &mut Stream) {
    let length = libm::exp(-9.2 + 8.0 * stream.unit());
    let moves = 1 + stream.below(3);
    if unit.is_empty() {
        return;
    }
    for _ in 0..moves {
        let coordinate = stream.below(unit.len());
        unit[coordinate] += length * stream.normal();
    }
}

/// One coordinate put somewhere else altogether: on one of its bounds (Michalewicz 1992, boundary
/// mutation), where another member has it, or anywhere. Draws: the coordinate, which of the three,
/// then its place.
fn place(unit: &mut [f64], parents: &Mating, stream: &mut Stream) {
    if unit.is_empty() {
        return;
    }
    let coordinate = stream.below(unit.len());
    unit[coordinate] = match stream.below(4) {
        0 | 1 => f64::from(u8::from(stream.chance(0.5))),
        2 => parents.members[stream.below(parents.members.len())].unit[coordinate],
        _ => stream.unit(),
    };
}

/// A member with coordinates of a scout: one of them, or each with the same chance. What a scout
/// found in some coordinates comes in so, though as a whole it may be worse. Draws: the member,
/// which of the two, then the coordinate or, per coordinate, whether; last those of `differ`.
pub(super) fn exchange(
    problem: &Problem,
    parents: &Mating,
    scout: &[f64],
    stream: &mut Stream,
) -> Vec<f64> {
    let base = &parents.members[parents.tournament(stream)].unit;
    let mut unit = base.clone();
    if stream.chance(0.5) && !unit.is_empty() {
        let coordinate = stream.below(unit.len());
        unit[coordinate] = scout[coordinate];
    } else {
        for (x, y) in unit.iter_mut().zip(scout) {
            if stream.chance(0.5) {
                *x = *y;
            }
        }
    }
    differ(problem, &mut unit, base, stream);
    unit
}

/// Moves one coordinate of a child that would only repeat its parent, by at least one spacing.
fn differ(problem: &Problem, unit: &mut [f64], parent: &[f64], stream: &mut Stream) {
    if unit != parent || unit.is_empty() {
        return;
    }
    let coordinate = stream.below(unit.len());
    let spacing = problem.spacing(coordinate);
    let moved = polynomial(unit[coordinate], MUTATION_INDEX, stream.unit());
    let far = problem.snap(coordinate, moved);
    unit[coordinate] = if far != unit[coordinate] {
        far
    } else if unit[coordinate] >= 0.5 {
        problem.snap(coordinate, unit[coordinate] - spacing)
    } else {
        problem.snap(coordinate, unit[coordinate] + spacing)
    };
}
