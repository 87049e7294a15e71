//! Poses to quantities: curves, limits and set-up figures of a leaning three-wheeler. No I/O, no clock, no serde.
//!
//! [`TABLE`] names every quantity with its unit, sign, reduction and default range. A [`Plan`]
//! groups what is asked so that each sweep of poses is solved once per candidate, and
//! [`Plan::evaluate`] fills one [`Answer`] per ask without allocating. [`static_setup`] needs no
//! pose at all. A [`Survey`] gives curves, maps and limits for pictures and the assessment from
//! the same sampling code.
//!
//! The model behind every number: rigid bodies, no play, quasi-static, flat ground.
//!
//! At this crate's boundary angles are degrees, lengths millimetres, turning radii metres;
//! inside they are radians and millimetres. Signs follow ISO 8855: lean is roll, positive leans
//! the machine to the **right**; steer angles are positive to the left.

// Test machines are written once, for the tests outside the crate and those inside.
#[cfg(test)]
extern crate self as leanwright_mechanics;

mod ask;
mod bearing;
mod bracket;
mod brake;
mod cable;
mod candidate;
mod clearance;
mod effort;
mod grid;
mod handlebar;
mod joints;
mod lean_limit;
mod lean_lock;
mod link_angles;
mod loads;
mod parts;
mod plan;
mod quantity;
mod reach;
mod reduce;
mod ride;
mod rods;
mod set_up;
mod settings;
mod shapes;
mod spread;
mod states;
mod steering;
mod stop;
mod stop_rows;
mod strength;
mod survey;
mod sweep;
mod symmetry;
mod table;
mod turning;
mod walk;

pub use ask::{Answer, Ask, Joint, Over, OverKind, Stop, Where};
pub use bearing::Bearing;
pub use cable::{
    Bend, CableBend, CableDrive, CableFault, Carrier, Driven, Guide, MOST_GUIDES, Taut,
    cable_lines, check_cable, taut,
};
pub use clearance::{
    Body, Carries, Drum, FrameBox, Outline, Pair, Part, Rim, boxes_in_the_way, outlines,
};
pub use joints::Tilts;
pub use loads::{
    Braked, CaseLean, CornerForces, Cycle, LoadCase, Stance, Step, Struck, WheelForce,
    corner_forces,
};
pub use parts::{Bars, Parts, Ratings};
pub use plan::{Plan, PlanFault, Scratch};
pub use quantity::Quantity;
pub use rods::{rod_lengths, settled_toe, with_longer_rods, with_toe};
pub use set_up::{SetUp, static_setup};
pub use settings::{Brake, Effort, Fittings, Masses, Reach, Settings, Steps};
pub use shapes::Block;
pub use spread::{normal_deviation, random_share};
pub use states::{Loading, Sag, Springs};
pub use steering::FrontWheels;
pub use strength::{
    BEARING_BORES_MM, Criterion, Finish, Material, Mode, Notch, Reliability, Seat, Section, Spot,
    SpotStress, Stress, StubAxle, Tilt, Tube, WheelLoad, WoehlerLine, critical_load, miner,
    press_fit, shoulder_fillet, smallest_diameters,
};
pub use survey::{
    CablePoint, CaseLoads, JointAngles, LeanEnd, Point, SpotSheet, StandingLoads, SteeringEnd,
    Survey, TurnSpeeds,
};
pub use table::{Needs, QuantityInfo, TABLE, Unit, Worse};
