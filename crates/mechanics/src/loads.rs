//! Forces at the contacts and what they do to the linkage.
//!
//! Contact forces come from the statics of the whole machine on its three contacts (every case
//! is balanced by d'Alembert's inertia force at the centre of gravity); forces in the members
//! from the equilibrium of knuckles and wishbones. Rigid, frictionless joints; weights of
//! wheels and links count with the machine's.

mod book;
mod case;
mod contact;
mod linear;
mod path;
mod stance;

pub use case::{Braked, CaseLean, Cycle, LoadCase, Step, Struck};
pub use path::{CornerForces, WheelForce, corner_forces};
pub use stance::Stance;

pub(crate) use book::{Book, Loaded};
pub(crate) use contact::parked;
pub(crate) use stance::downhill;
