//! A machine as built: which deviations from its drawing explain what was read off it, how sure
//! that is, and the smallest change that brings its readings back to those of the drawing.

mod doubts;
mod file;
mod fit;
mod least_squares;
mod model;
mod remedy;
mod wire;

pub use fit::{check_as_built, fit_as_built, fit_as_built_unless};
pub use wire::*;
