//! Gradient-free multi-objective search as a step machine: ask, tell, snapshot. Knows nothing of
//! vehicles; no I/O, no clock, no threads, no serde.
//!
//! An [`Island`] hands out a [`Batch`] of vectors, is told one [`Evaluation`] for each of them, and
//! goes on. Its whole state is a byte string ([`Island::snapshot`]) from which [`Island::resume`]
//! continues to the last bit. Several islands exchange [`Migrant`]s; [`Archive::merge`] joins what
//! they found, and [`Polish`] refines single points.
//!
//! ```
//! use leanwright_search::{Archive, Evaluation, Island, Problem, Settings, Variable};
//!
//! let problem = Problem::new(vec![Variable::Real { low: -3.0, high: 5.0 }], 2, 0)?;
//! let mut island = Island::start(&problem, &Settings::new(7, 0))?;
//! while island.evaluations() < 1_000 {
//!     let told: Vec<Evaluation> = island
//!         .ask()
//!         .iter()
//!         .map(|x| Evaluation::met(vec![x[0] * x[0], (x[0] - 2.0) * (x[0] - 2.0)]))
//!         .collect();
//!     island.tell(&told)?;
//! }
//! let front = Archive::merge(&problem, &[&island.snapshot()])?.choose(10);
//! assert_eq!(front.len(), 10);
//! assert!(front.iter().all(|point| (-0.05..=2.05).contains(&point.vector[0])));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Rules
//!
//! All goals are minimised. One candidate is better than another (constrained dominance) by:
//!
//! 1. one that meets every requirement beats one that doesn't;
//! 2. of two that don't, the smaller sum of positive violations wins; a candidate without numbers
//!    (see [`Evaluation::apart`]) is worse than every one that has them, and of two without, the
//!    smaller distance from assembling wins;
//! 3. of two that meet every requirement, Pareto dominance decides.
//!
//! The budget is the caller's and is counted in evaluations. Every multiple of [`BORDER`]
//! evaluations is a batch border of every island.

mod archive;
mod axis;
mod batch;
mod blocks;
mod boxes;
mod bytes;
mod elite;
mod evaluation;
mod evolution;
mod front;
mod hypervolume;
mod island;
mod marks;
mod overlay;
mod pieces;
mod polish;
mod problem;
mod progress;
mod random;
mod standing;
mod stop;
mod subset;

pub use archive::{Archive, Point};
pub use batch::Batch;
pub use blocks::{Blocks, Failing, LeastViolated};
pub use bytes::SnapshotFault;
pub use evaluation::{Evaluation, LARGEST, TellFault};
pub use front::{knees, nearest};
pub use hypervolume::{HypervolumeFault, hypervolume};
pub use island::{
    BORDER, Island, MOST_STARTS, Migrant, ReceiveFault, Settings, StartFault, deal_starts,
};
pub use overlay::Overlay;
pub use polish::{Polish, PolishFault};
pub use problem::{MOST_GOALS, Problem, ProblemFault, Variable};
pub use progress::{Progress, Scales};
pub use stop::has_settled;
