//! The machine as a rigid body on its three contacts.

use crate::Masses;
use kinematics::{Pose, Side};

/// Contacts and centre of gravity in ground axes, mm: x along the rear heading, y left, z up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stance {
    /// Left front, right front and rear contact.
    pub contacts: [[f64; 2]; 3],
    /// Centre of gravity.
    pub centre: [f64; 3],
    /// Weight, N.
    pub weight: f64,
}

impl Stance {
    /// A machine in a pose.
    pub fn of(pose: &Pose<f64>, masses: &Masses) -> Stance {
        let c = masses.centre_of_gravity;
        Stance {
            contacts: [
                pose.corner(Side::Left).contact_ground,
                pose.corner(Side::Right).contact_ground,
                pose.rear_contact_ground,
            ],
            centre: [
                pose.ground_x.dot(c),
                pose.ground_y.dot(c),
                pose.up.dot(c) + pose.height,
            ],
            weight: masses.total_kg * crate::reach::GRAVITY,
        }
    }

    /// Twice the area of the triangle of a point and the contacts other than `wheel`, signed.
    fn area(&self, wheel: usize, p: [f64; 2]) -> f64 {
        let (a, b) = (
            self.contacts[(wheel + 1) % 3],
            self.contacts[(wheel + 2) % 3],
        );
        (a[0] - p[0]) * (b[1] - p[1]) - (a[1] - p[1]) * (b[0] - p[0])
    }

    /// Share of the load that each contact carries when the resultant meets the ground at a
    /// point: its barycentric coordinates. They sum to 1; below 0 the wheel would have to be
    /// held down.
    pub fn shares_at(&self, p: [f64; 2]) -> [f64; 3] {
        let whole = self.area(0, self.contacts[0]);
        [0, 1, 2].map(|wheel| self.area(wheel, p) / whole)
    }

    /// Shares under a level body force at the centre of gravity, as a part of the weight
    /// (forwards, left): the force of inertia of braking points forwards, that of a right turn
    /// left.
    pub fn shares(&self, body: [f64; 2]) -> [f64; 3] {
        let [x, y, h] = self.centre;
        self.shares_at([x + h * body[0], y + h * body[1]])
    }

    /// How large a body force in a direction (added to `body`) may grow, as a part of the weight,
    /// until the first wheel lifts, and which (left, right, rear); infinite if none does.
    /// Negative where one has lifted already.
    pub fn lift(&self, body: [f64; 2], direction: [f64; 2]) -> (f64, usize) {
        let mut first = (f64::INFINITY, 0);
        for wheel in 0..3 {
            let most = self.lift_of(wheel, body, direction);
            if most < first.0 {
                first = (most, wheel);
            }
        }
        first
    }

    /// The same of one wheel (left, right, rear).
    pub fn lift_of(&self, wheel: usize, body: [f64; 2], direction: [f64; 2]) -> f64 {
        let now = self.shares(body)[wheel];
        let then = self.shares([body[0] + direction[0], body[1] + direction[1]])[wheel];
        match now - then {
            fall if fall > 1e-12 => now / fall,
            _ => f64::INFINITY,
        }
    }

    /// Restoring moment of the weight about the nearer line from a front contact to the rear
    /// one, N·mm: what a stiff, locked machine sets against tipping over.
    pub fn tipping_moment(&self) -> f64 {
        let rear = self.contacts[2];
        let arm = |wheel: usize, left: f64| {
            let a = self.contacts[wheel];
            let (dx, dy) = (a[0] - rear[0], a[1] - rear[1]);
            let off = dx * (self.centre[1] - rear[1]) - dy * (self.centre[0] - rear[0]);
            -left * off / libm::hypot(dx, dy)
        };
        self.weight * arm(0, 1.0).min(arm(1, -1.0))
    }

    /// Smallest share of the load among the contacts on a slope (radians) in four directions
    /// (nose up, nose down, left side up, right side up), with the direction's index.
    pub fn parked(&self, slope: f64) -> (f64, usize) {
        let mut least = (f64::INFINITY, 0);
        for (index, body) in downhill(slope).into_iter().enumerate() {
            for share in self.shares(body) {
                if share < least.0 {
                    least = (share, index);
                }
            }
        }
        least
    }

    /// Loads of the contacts across the slope in those four directions, N.
    pub fn parked_loads(&self, slope: f64) -> [[f64; 3]; 4] {
        let across = self.weight * libm::cos(slope);
        downhill(slope).map(|body| self.shares(body).map(|share| share * across))
    }
}

/// The pull downhill as a part of the load across the slope: nose up, nose down, left side up,
/// right side up.
pub(crate) fn downhill(slope: f64) -> [[f64; 2]; 4] {
    let tilt = libm::tan(slope);
    [[-tilt, 0.0], [tilt, 0.0], [0.0, -tilt], [0.0, tilt]]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn upright(track: f64, wheelbase: f64, from_rear: f64, height: f64) -> Stance {
        Stance {
            contacts: [[0.0, 0.5 * track], [0.0, -0.5 * track], [-wheelbase, 0.0]],
            centre: [from_rear - wheelbase, 0.0, height],
            weight: 1000.0,
        }
    }

    #[test]
    fn tip_over_of_two_front_wheels() {
        // a/g = (T/2h)(b/L), b from the rear wheel forwards: T 0.80, L 1.90, b 1.20, h 0.90 m
        // gives 0.28070. Derived from moments about the line from front to rear contact.
        let stance = upright(800.0, 1900.0, 1200.0, 900.0);
        let (left, lifted) = stance.lift([0.0; 2], [0.0, 1.0]);
        assert!((left - 0.280_70).abs() < 5e-6, "{left}");
        assert_eq!(lifted, 1, "pushed to the left, the right wheel lifts");
    }

    #[test]
    fn pitch_over() {
        // a/g = (L − b)/h: moments about the front contacts. Derived.
        let stance = upright(800.0, 1900.0, 1200.0, 900.0);
        let (most, lifted) = stance.lift([0.0; 2], [1.0, 0.0]);
        assert!((most - 700.0 / 900.0).abs() < 1e-12);
        assert_eq!(lifted, 2);
    }

    #[test]
    fn level_shares_are_levers() {
        let shares = upright(800.0, 1900.0, 1200.0, 900.0).shares([0.0; 2]);
        for (found, wanted) in shares.into_iter().zip([6.0 / 19.0, 6.0 / 19.0, 7.0 / 19.0]) {
            assert!((found - wanted).abs() < 1e-12);
        }
    }

    #[test]
    fn the_tipping_moment_is_the_weight_on_its_arm() {
        // Distance of the centre of gravity from the line, from the triangle's angle. Derived.
        let stance = upright(800.0, 1900.0, 1200.0, 900.0);
        let arm = 1200.0 * libm::sin(libm::atan(400.0 / 1900.0));
        assert!((stance.tipping_moment() / (1000.0 * arm) - 1.0).abs() < 1e-12);
    }
}
