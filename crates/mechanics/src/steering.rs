//! Steering correctness: curvatures, error, slips.
//!
//! Origin at the rear contact, x along the rear heading. A front wheel at (x, y) with heading
//! δ implies the curvature κ = sin δ / (x cos δ + y sin δ) of the point on the rear wheel's
//! sideways line; rolling is free of scrub exactly when both wheels imply the same.

use crate::candidate::SIDES;
use kinematics::{Pose, Side};

/// Smallest part of x that the denominator of a curvature may fall to: the wheel then points
/// almost along the line to the rear contact's sideways line.
const SMALLEST_REACH: f64 = 1e-3;

/// Where the front wheels stand on the ground and where they point; left first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrontWheels {
    /// Contacts from the rear contact, mm: x along the rear heading, y left.
    contact: [[f64; 2]; 2],
    /// Headings, cosine and sine of the steer angle.
    heading: [[f64; 2]; 2],
}

impl FrontWheels {
    /// Contacts on the ground from the rear contact, mm (x along the rear heading and > 0, y
    /// left), and steer angles, degrees, positive left. Left first.
    pub fn new(contact_mm: [[f64; 2]; 2], steer_deg: [f64; 2]) -> FrontWheels {
        let heading = steer_deg.map(|d| {
            let angle = d.to_radians();
            [libm::cos(angle), libm::sin(angle)]
        });
        FrontWheels {
            contact: contact_mm,
            heading,
        }
    }

    /// Curvature of the rear contact's path that each wheel implies, 1/m, positive left.
    pub fn implied_curvature_per_m(&self) -> [f64; 2] {
        SIDES.map(|side| 1e3 * self.curvature(side))
    }

    /// K, the mean of both, 1/m.
    pub fn curvature_per_m(&self) -> f64 {
        1e3 * self.mean_curvature()
    }

    /// Steer angles, degrees, of scrub-free rolling about a curvature of the rear contact's path.
    pub fn ideal_steer_deg(&self, curvature_per_m: f64) -> [f64; 2] {
        SIDES.map(|side| {
            let [cosine, sine] = self.ideal(side, 1e-3 * curvature_per_m);
            libm::atan2(sine, cosine).to_degrees()
        })
    }

    /// The steering error e, degrees: δR − δL beyond what rolling about K needs; positive is too
    /// parallel or too much toe-in.
    pub fn error_deg(&self) -> f64 {
        self.error().to_degrees()
    }

    /// Slip angles, degrees, about the turn centre that makes the larger of them smallest.
    pub fn slip_deg(&self) -> [f64; 2] {
        self.slips().map(f64::to_degrees)
    }

    pub(crate) fn of(pose: &Pose<f64>) -> FrontWheels {
        FrontWheels {
            contact: SIDES.map(|side| contact(pose, side)),
            heading: SIDES.map(|side| pose.corner(side).heading),
        }
    }

    /// x cos δ + y sin δ, kept off zero.
    fn reach(&self, side: Side) -> f64 {
        let [x, y] = self.contact[side as usize];
        let [cosine, sine] = self.heading[side as usize];
        (x * cosine + y * sine).max(SMALLEST_REACH * x.abs())
    }

    fn curvature(&self, side: Side) -> f64 {
        self.heading[side as usize][1] / self.reach(side)
    }

    /// K, 1/mm.
    pub(crate) fn mean_curvature(&self) -> f64 {
        0.5 * (self.curvature(Side::Left) + self.curvature(Side::Right))
    }

    /// d(K) / d(drive) from the steer rates of both wheels: dκ/dδ = x / (x cos δ + y sin δ)².
    pub(crate) fn curvature_rate(&self, rates: [f64; 2]) -> f64 {
        let one = |side: Side| {
            let reach = self.reach(side);
            self.contact[side as usize][0] / (reach * reach) * rates[side as usize]
        };
        0.5 * (one(Side::Left) + one(Side::Right))
    }

    /// Direction (cosine, sine times the same length) of scrub-free rolling about curvature `k`.
    fn ideal(&self, side: Side, k: f64) -> [f64; 2] {
        let [x, y] = self.contact[side as usize];
        [1.0 - k * y, k * x]
    }

    /// Slip angles about curvature `k` as directions.
    fn slips_about(&self, k: f64) -> [[f64; 2]; 2] {
        SIDES.map(|side| turned_back(self.heading[side as usize], self.ideal(side, k)))
    }

    /// The steering error, radians.
    pub(crate) fn error(&self) -> f64 {
        let [left, right] = self.slips_about(self.mean_curvature());
        angle(turned_back(right, left))
    }

    /// The slip angles, radians. Each falls as the curvature grows, so the best centre is where
    /// they are opposite and equal: a root found by three Newton steps from K.
    pub(crate) fn slips(&self) -> [f64; 2] {
        let mut k = self.mean_curvature();
        for _ in 0..3 {
            let [left, right] = self.slips_about(k);
            let slope = |side: Side| {
                let [c, d] = self.ideal(side, k);
                self.contact[side as usize][0] / (c * c + d * d).max(1e-12)
            };
            let both = slope(Side::Left) + slope(Side::Right);
            k += angle(turned_on(left, right)) / both.abs().max(1e-9);
        }
        self.slips_about(k).map(angle)
    }
}

/// Front contact against the rear contact on the ground, mm.
pub(crate) fn contact(pose: &Pose<f64>, side: Side) -> [f64; 2] {
    let (front, rear) = (pose.corner(side).contact_ground, pose.rear_contact_ground);
    [front[0] - rear[0], front[1] - rear[1]]
}

/// K of a pose, 1/mm.
pub(crate) fn mean_curvature(pose: &Pose<f64>) -> f64 {
    FrontWheels::of(pose).mean_curvature()
}

/// Angle from one heading to another, radians, positive to the left.
pub(crate) fn turn_between(from: [f64; 2], to: [f64; 2]) -> f64 {
    angle(turned_back(to, from))
}

fn angle([cosine, sine]: [f64; 2]) -> f64 {
    libm::atan2(sine, cosine)
}

/// a · b̄ of two directions taken as complex numbers: the direction of angle a − b.
fn turned_back(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] * b[0] + a[1] * b[1], a[1] * b[0] - a[0] * b[1]]
}

/// a · b of two directions taken as complex numbers: the direction of angle a + b.
fn turned_on(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] * b[0] - a[1] * b[1], a[1] * b[0] + a[0] * b[1]]
}
