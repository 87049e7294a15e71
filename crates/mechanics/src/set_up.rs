//! Static set-up of the machine as drawn: no pose is solved.

use crate::{Answer, Quantity, Where};
use kinematics::{Machine, Side, V3, Wheel};

/// Set-up of one front corner, and of the machine it belongs to, in the axes of the drawing
/// (z is the ground normal; each wheel stands on its own lowest point).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetUp {
    /// Sideways distance of the front contacts, mm.
    pub track_mm: f64,
    /// Distance from the rear contact to the middle of the front contacts along x, mm.
    pub wheelbase_mm: f64,
    /// Kingpin inclination, degrees, positive when the top lies inboard.
    pub kingpin_inclination_deg: f64,
    /// Caster, degrees, positive when the top lies rearward.
    pub caster_deg: f64,
    /// Mechanical trail, mm, positive when the contact lies behind the kingpin.
    pub trail_mm: f64,
    /// Scrub radius, mm, positive when the kingpin meets the ground inboard of the contact.
    pub scrub_radius_mm: f64,
    /// Kingpin offset at wheel centre, mm, positive when the kingpin lies inboard.
    pub kingpin_offset_mm: f64,
    /// Static toe-in, degrees.
    pub toe_in_deg: f64,
    /// Static camber, degrees, positive when the top leans outward.
    pub camber_deg: f64,
}

impl SetUp {
    /// The value of a set-up quantity; `None` for a quantity that needs a pose.
    pub fn get(&self, quantity: Quantity) -> Option<f64> {
        Some(match quantity {
            Quantity::Track => self.track_mm,
            Quantity::Wheelbase => self.wheelbase_mm,
            Quantity::KingpinInclination => self.kingpin_inclination_deg,
            Quantity::Caster => self.caster_deg,
            Quantity::Trail => self.trail_mm,
            Quantity::ScrubRadius => self.scrub_radius_mm,
            Quantity::KingpinOffset => self.kingpin_offset_mm,
            Quantity::ToeIn => self.toe_in_deg,
            Quantity::Camber => self.camber_deg,
            _ => return None,
        })
    }
}

/// The set-up on one side. Finite for every machine with finite hardpoints and a kingpin; a
/// kingpin that lies flat gives very large trail and scrub, never not-a-number.
pub fn static_setup(machine: &Machine, side: Side) -> SetUp {
    let corner = match side {
        Side::Left => &machine.left,
        Side::Right => &machine.right,
    };
    let outward = outward(side);
    let (left, right) = (lowest(&machine.left.wheel), lowest(&machine.right.wheel));
    let wheel = &corner.wheel;
    let contact = lowest(wheel);
    let foot = corner.lower.ball_joint;
    let kingpin = corner.upper.ball_joint - foot;
    // Heading = spin axis × ground normal; sideways = ground normal × heading.
    let heading = V3::new(wheel.axis.y, -wheel.axis.x, 0.0).unit();
    let sideways = V3::new(-heading.y, heading.x, 0.0);
    let on_ground = contact - at_height(foot, kingpin, contact.z);
    let at_centre = wheel.centre - at_height(foot, kingpin, wheel.centre.z);
    SetUp {
        track_mm: left.y - right.y,
        wheelbase_mm: 0.5 * (left.x + right.x) - lowest(&machine.rear).x,
        kingpin_inclination_deg: libm::atan2(-outward * kingpin.y, kingpin.z).to_degrees(),
        caster_deg: libm::atan2(-kingpin.x, kingpin.z).to_degrees(),
        trail_mm: -on_ground.dot(heading),
        scrub_radius_mm: outward * on_ground.dot(sideways),
        kingpin_offset_mm: outward * at_centre.dot(sideways),
        toe_in_deg: (-outward * heading_angle(machine, heading)).to_degrees() + 0.0,
        camber_deg: (-outward * libm::asin(wheel.axis.z.clamp(-1.0, 1.0))).to_degrees() + 0.0,
    }
}

/// A set-up quantity as an answer: of both sides the value of larger magnitude.
pub(crate) fn answer(machine: &Machine, quantity: Quantity) -> Answer {
    let of = |side| static_setup(machine, side).get(quantity).unwrap_or(0.0);
    let (left, right) = (of(Side::Left), of(Side::Right));
    let (value, side) = match right.abs() > left.abs() {
        true => (right, Side::Right),
        false => (left, Side::Left),
    };
    let one_sided = !matches!(quantity, Quantity::Track | Quantity::Wheelbase);
    Answer {
        value,
        shortfall: 0.0,
        worst: Where {
            side: one_sided.then_some(side),
            ..Where::default()
        },
    }
}

/// +1 where y points outward (left), −1 on the right.
pub(crate) fn outward(side: Side) -> f64 {
    match side {
        Side::Left => 1.0,
        Side::Right => -1.0,
    }
}

/// Angle of a heading against the rear wheel's heading, positive to the left.
fn heading_angle(machine: &Machine, heading: V3<f64>) -> f64 {
    let rear = V3::new(machine.rear.axis.y, -machine.rear.axis.x, 0.0).unit();
    libm::atan2(rear.cross(heading).z, rear.dot(heading))
}

/// Lowest point of a torus tyre.
fn lowest(wheel: &Wheel) -> V3<f64> {
    let up = V3::new(0.0, 0.0, 1.0);
    let rim = wheel.radius - wheel.section_radius;
    wheel.centre - up.across(wheel.axis).unit().scale(rim) - up.scale(wheel.section_radius)
}

/// The point of the line through `foot` along `kingpin` at a height.
fn at_height(foot: V3<f64>, kingpin: V3<f64>, height: f64) -> V3<f64> {
    let floor = 1e-9 * kingpin.norm();
    let rise = if kingpin.z.abs() > floor {
        kingpin.z
    } else {
        floor
    };
    foot + kingpin.scale((height - foot.z) / rise)
}
