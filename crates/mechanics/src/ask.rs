//! What a caller asks for and what it gets.

mod place;

use crate::{Quantity, Worse};
pub use place::{Joint, Stop, Where};

/// One quantity over a range of poses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// Which quantity.
    pub quantity: Quantity,
    /// Over which poses; must be of a kind that the quantity accepts.
    pub over: Over,
}

impl Ask {
    /// The quantity over its default range.
    pub fn usual(quantity: Quantity) -> Ask {
        Ask {
            quantity,
            over: quantity.info().default_over,
        }
    }
}

/// The poses a quantity is taken over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Over {
    /// The design pose alone (for limits of lean: steering straight).
    Design,
    /// Lean from–to, degrees, ISO roll (positive leans right), steering straight. For what is
    /// taken up to the steering stop: the leans at which the steering is swept.
    Lean([f64; 2]),
    /// Mean travel of the wheels from–to, mm (positive: the wheels rise), upright and straight.
    Travel([f64; 2]),
    /// Crank angle from–to, degrees, right-handed about the crank's own axis.
    Steer([f64; 2]),
    /// The steer × lean corners that a rider meets, see [`crate::Reach`].
    Reach,
    /// The poses of the load cases, see [`crate::LoadCase`].
    Cases,
}

impl Over {
    /// The kind of this range.
    pub fn kind(&self) -> OverKind {
        match self {
            Over::Design => OverKind::Design,
            Over::Lean(_) => OverKind::Lean,
            Over::Travel(_) => OverKind::Travel,
            Over::Steer(_) => OverKind::Steer,
            Over::Reach => OverKind::Reach,
            Over::Cases => OverKind::Cases,
        }
    }
}

/// What a range of poses runs over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum OverKind {
    /// The design pose; takes no range.
    Design,
    /// Lean, degrees.
    Lean,
    /// Mean travel, mm.
    Travel,
    /// Crank angle, degrees.
    Steer,
    /// Reach; takes no range of its own.
    Reach,
    /// The load cases; takes no range of its own.
    Cases,
}

impl OverKind {
    /// The field under `over` that holds the range, if there is one.
    pub fn field(self) -> Option<&'static str> {
        match self {
            OverKind::Design | OverKind::Reach | OverKind::Cases => None,
            OverKind::Lean => Some("lean_deg"),
            OverKind::Travel => Some("travel_mm"),
            OverKind::Steer => Some("steer_deg"),
        }
    }

    /// Lowest and highest number that a range of this kind may hold.
    pub fn bounds(self) -> [f64; 2] {
        match self {
            OverKind::Design | OverKind::Reach | OverKind::Cases => [0.0, 0.0],
            OverKind::Lean => [-60.0, 60.0],
            OverKind::Travel => [-300.0, 300.0],
            OverKind::Steer => [-170.0, 170.0],
        }
    }
}

/// The answer to one [`Ask`]. Both numbers are always finite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Answer {
    /// The reduced value in the unit of the quantity's name; over the part of the range that was
    /// reached when `shortfall` > 0.
    pub value: f64,
    /// 0 when every pose of the range was reached, else the missing share of it, in (0, 1];
    /// continuous in the hardpoints.
    pub shortfall: f64,
    /// The pose, side and joint where the value is taken.
    pub worst: Where,
}

impl Default for Answer {
    fn default() -> Self {
        Answer {
            value: 0.0,
            shortfall: 0.0,
            worst: Where::default(),
        }
    }
}

impl Answer {
    /// Nothing was reached.
    pub(crate) fn lost() -> Answer {
        Answer {
            shortfall: 1.0,
            ..Answer::default()
        }
    }

    /// Takes the worse value of two and the larger shortfall.
    pub(crate) fn worsen(&mut self, other: &Answer, quantity: Quantity) {
        let size = |value: f64| match quantity {
            Quantity::BrakeSteerArm => value.abs(),
            _ => value,
        };
        let worse = match quantity.info().worse {
            Worse::Smaller => other.value < self.value,
            _ => size(other.value) > size(self.value),
        };
        let shortfall = self.shortfall.max(other.shortfall);
        // A value of no pose at all is no value.
        if other.shortfall < 1.0 && (worse || self.shortfall >= 1.0) {
            *self = *other;
        }
        self.shortfall = shortfall;
    }
}
