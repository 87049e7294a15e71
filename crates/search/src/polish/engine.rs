//! What proposes points: a simplex up to ten variables, an evolution strategy beyond.

use super::simplex::Simplex;
use crate::evolution::Evolution;
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
    },
    Evolution {
        strategy: Evolution,
        generation: u32,
    },
}

impl Engine {
    /// A solver around a start with at least one coordinate.
    pub fn around(start: &[f64]) -> Self {
        if start.len() <= MOST_SIMPLEX {
            Self::Simplex {
                simplex: Box::new(Simplex::new(start, FIRST_SIZE)),
                size: FIRST_SIZE,
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
            Self::Simplex { simplex, size } => {
                let mut points = simplex.wanted();
                while points.is_empty() && *size * SHRINK >= LEAST_SIZE {
                    *size *= SHRINK;
                    **simplex = Simplex::new(best, *size);
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

/// Reflects a coordinate back into 0…1 as often as needed.
fn fold(x: f64) -> f64 {
    let within = x - 2.0 * (0.5 * x).floor();
    if within > 1.0 { 2.0 - within } else { within }
}
