//! What proposes points: a simplex up to ten variables, an evolution strategy beyond.

use super::simplex::Simplex;
use crate::evolution::{Evolution, fold};
use crate::problem::Problem;
use crate::random::{Stream, WHOLE};
use crate::standing::{Member, Standing, padded};

/// Nelder & Mead's simplex slows down beyond about ten variables.
const MOST_SIMPLEX: usize = 10;
/// The first size in units of the variables' ranges; each further simplex is a quarter of the last.
const FIRST_SIZE: f64 = 0.05;
const SHRINK: f64 = 0.25;
const LEAST_SIZE: f64 = 1e-7;
/// Children of the strategy per generation.
const CHILDREN: u32 = 12;

/// The solver of one polish. Its draws are keyed by (0, 0, generation, child): two polishes differ
/// by where they start.
#[derive(Clone)]
pub(super) enum Engine {
    Simplex {
        simplex: Box<Simplex>,
        size: f64,
        /// How many simplices came before.
        turn: u32,
    },
    Evolution {
        strategy: Evolution,
        generation: u32,
    },
}

impl Engine {
    /// A solver around a start with at least one coordinate.
    pub fn around(problem: &Problem, start: &[f64]) -> Self {
        if start.len() <= MOST_SIMPLEX {
            let steps = steps(problem, start, FIRST_SIZE, 0);
            Self::Simplex {
                simplex: Box::new(Simplex::new(start, &steps)),
                size: FIRST_SIZE,
                turn: 0,
            }
        } else {
            Self::Evolution {
                strategy: Evolution::near(start, FIRST_SIZE),
                generation: 0,
            }
        }
    }

    /// The points to cost next, on the variables' values; none when nothing improves any more.
    pub fn wanted(&mut self, problem: &Problem, best: &[f64]) -> Vec<Vec<f64>> {
        match self {
            Self::Simplex {
                simplex,
                size,
                turn,
            } => {
                let mut points = simplex.wanted();
                while points.is_empty() && *size * SHRINK >= LEAST_SIZE {
                    *size *= SHRINK;
                    *turn += 1;
                    let steps = steps(problem, best, *size, *turn);
                    **simplex = Simplex::new(best, &steps);
                    points = simplex.wanted();
                }
                let snap = |(i, x): (usize, &f64)| problem.snap(i, fold(*x));
                points
                    .iter()
                    .map(|point| point.iter().enumerate().map(snap).collect())
                    .collect()
            }
            Self::Evolution {
                strategy,
                generation,
            } => (0..CHILDREN)
                .map(|child| strategy.child(problem, &mut Stream::new(0, 0, *generation, child)))
                .collect(),
        }
    }

    /// Takes the costs of all points wanted, in their order.
    pub fn tell(&mut self, units: &[Vec<f64>], costs: &[f64], best: &[f64]) {
        match self {
            Self::Simplex { simplex, .. } => costs.iter().for_each(|cost| simplex.tell(*cost)),
            Self::Evolution {
                strategy,
                generation,
            } => {
                // Only the last batch of a budget can be cut short, and nothing follows it.
                if units.len() < CHILDREN as usize {
                    return;
                }
                let member = |(unit, cost): (&Vec<f64>, &f64)| Member {
                    unit: unit.clone(),
                    goals: padded(&[*cost]),
                    standing: Standing::Feasible,
                };
                let members: Vec<Member> = units.iter().zip(costs).map(member).collect();
                let streams = (0..).map(|child| Stream::new(0, 0, *generation, child));
                let children: Vec<_> = members.iter().zip(streams).collect();
                strategy.learn(&children, best, &mut Stream::new(0, 0, *generation, WHOLE));
                *generation += 1;
            }
        }
    }
}

/// How far the corners of a simplex lie from its centre: the size, or one spacing of a variable with
/// few values, so that a corner is another candidate. First away from the nearer bound, then, from
/// simplex to simplex, to either side in turn.
fn steps(problem: &Problem, center: &[f64], size: f64, turn: u32) -> Vec<f64> {
    let step = |(i, x): (usize, &f64)| {
        let length = size.max(problem.spacing(i));
        let up = (*x < 0.5) == turn.is_multiple_of(2);
        let inside = (0.0..=1.0).contains(&if up { x + length } else { x - length });
        if up == inside { length } else { -length }
    };
    center.iter().enumerate().map(step).collect()
}
