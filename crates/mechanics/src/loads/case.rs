//! Load cases as data.

/// One load case. Standing and riding loads come from statics; impacts multiply the static load
/// of the struck wheel.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadCase {
    /// Lean of the machine.
    pub lean: CaseLean,
    /// The steering stands at its stop.
    pub lock: bool,
    /// Sideways acceleration of the turn in g; the case never goes beyond that at which a wheel
    /// lifts.
    pub sideways_g: f64,
    /// Deceleration in g; never beyond friction, nor that at which a wheel lifts.
    pub braking_g: f64,
    /// Which front wheels brake.
    pub braked: Braked,
    /// Coefficient of friction that bounds the brake force of a wheel.
    pub friction: f64,
    /// Which front wheels the factors below belong to.
    pub struck: Struck,
    /// Vertical load of a struck wheel, as a multiple of its load.
    pub vertical_factor: f64,
    /// Force backwards on a struck wheel (through its centre, the wheel rolls), as a multiple of
    /// its load.
    pub rearward_factor: f64,
    /// Force inwards at the contact of a struck wheel, as a multiple of its load.
    pub inward_factor: f64,
    /// From what the load comes and to what it returns in each cycle.
    pub cycle: Cycle,
    /// How often in the life of the machine it goes how far.
    pub spectrum: Vec<Step>,
}

/// One step of a load spectrum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// How far the load goes from the other end of its cycle to that of the case, 1 all the way.
    pub share: f64,
    /// Cycles in the life of the machine.
    pub cycles: f64,
}

/// Lean of a case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CaseLean {
    /// Upright.
    Upright,
    /// To the lean limit of reach, into the turn.
    Limit,
    /// So many degrees into the turn.
    Degrees(f64),
}

/// Which front wheels brake.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Braked {
    /// Both, in proportion to their loads.
    Both,
    /// One.
    One,
}

/// Which front wheels are struck.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Struck {
    /// Both.
    Both,
    /// One; each in turn.
    One,
}

/// The other end of a load cycle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cycle {
    /// The machine standing upright.
    Standing,
    /// No load at all.
    Unloaded,
    /// The same case in a turn to the other side.
    Opposite,
}

impl LoadCase {
    /// Left and right turn differ.
    pub(crate) fn turns(&self) -> bool {
        self.lean != CaseLean::Upright || self.lock || self.sideways_g > 0.0
    }

    /// One wheel is meant, left or right.
    pub(crate) fn one_sided(&self) -> bool {
        let strikes =
            self.vertical_factor != 1.0 || self.rearward_factor != 0.0 || self.inward_factor != 0.0;
        (self.struck == Struck::One && strikes)
            || (self.braked == Braked::One && self.braking_g > 0.0)
    }
}
