//! A cable drive: two runs from a sheave on the handlebar to the crank or the knuckles.
//!
//! Each run lies taut over its guides and winds on a sheave at either end. Where the guided parts
//! move, a run's path becomes longer or shorter; with both runs equally stiff the handlebar stands
//! where both are stretched alike, so the difference of the two changes turns it and their mean
//! makes the cables tighter or slack. Housings, sag and the cable's bending stiffness are left out.

mod runs;
mod state;
mod taut;

use kinematics::{Side, V3};

pub use runs::{CableBend, CableFault, cable_lines, check_cable};
pub(crate) use state::{CableState, Cables};
pub use taut::{Bend, Taut, taut};

/// Most guides of one run.
pub const MOST_GUIDES: usize = 6;

/// A cable drive. Points and directions in frame axes, as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct CableDrive {
    /// The sheave on the handlebar, which turns about its axis; `turn` is not read.
    pub handlebar: Bend,
    /// What the cables turn.
    pub driven: Driven,
    /// The left run, which a left-handed winding pulls when the handlebar turns right-handed about
    /// its axis, and the right run, wound the other way.
    pub runs: [Vec<Guide>; 2],
    /// The runs cross: each winds on the driven sheave against its sense on the handlebar's.
    pub crossed: bool,
    /// Stiffness of the cable, N: force per unit of strain.
    pub stiffness_n: f64,
    /// Tension of both runs in the design pose, N.
    pub preload_n: f64,
    /// Force of the hands on the grips, N, as one couple's arm `grip` applies it.
    pub hand_force_n: f64,
    /// Arm of that force about the handlebar's axis, mm.
    pub grip: f64,
    /// Friction coefficient of cable on guide or sheave.
    pub friction: f64,
}

/// What the cables turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Driven {
    /// A sheave of this radius, mm, on the crank, its centre the crank axis's point.
    Crank(f64),
    /// A sheave on each knuckle about its kingpin: centre as drawn on the left, the right mirrored,
    /// and radius, mm.
    Knuckles(V3<f64>, f64),
}

/// A guide of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guide {
    /// Where it is fixed; of a wishbone that of the run's own side.
    pub on: Carrier,
    /// The sheave, or an eye of radius 0.
    pub bend: Bend,
}

/// What carries a guide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carrier {
    /// The frame.
    Frame,
    /// The lower wishbone of the run's side.
    LowerWishbone,
    /// The upper wishbone of the run's side.
    UpperWishbone,
}

/// The side of a run.
pub(crate) fn side_of(run: usize) -> Side {
    match run {
        0 => Side::Left,
        _ => Side::Right,
    }
}
