//! Strength of a stub axle and of rods: nominal beam stress, notches, fatigue, deflection,
//! buckling. Newtons, millimetres, megapascals.
//!
//! Sources, by their usual names: Shigley's *Mechanical Engineering Design* (editions differ in
//! their surface factors: those here are of the 9th); Roark's *Formulas for Stress and Strain*,
//! table 17.1, for shoulder fillets. A first figure, no proof of strength.

mod axle;
mod buckling;
mod deflection;
mod fatigue;
mod material;
mod notch;
mod sizing;
mod spots;

pub use axle::{Section, StubAxle, WheelLoad};
pub use buckling::{Tube, critical_load};
pub use deflection::Tilt;
pub(crate) use fatigue::MOST_DAMAGE;
pub use fatigue::{Criterion, Stress, WoehlerLine, miner};
pub use material::{Finish, Material, Notch, Reliability};
pub use notch::{Mode, Seat, press_fit, shoulder_fillet};
pub use sizing::{BEARING_BORES_MM, smallest_diameters};
pub use spots::{Spot, SpotStress};
