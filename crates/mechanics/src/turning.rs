//! Radii of a turn from the pose at the steering stop.
//!
//! On the ground, from the rear contact, x along the rear heading; the turn centre lies on the
//! rear wheel's sideways line at 1/K.

use crate::candidate::{Candidate, SIDES};
use crate::set_up::outward;
use crate::steering::{contact, mean_curvature};
use kinematics::{Pose, Side, V3};

/// Curvatures below this, 1/mm, are as good as straight ahead (a radius of 1 km).
const STRAIGHT: f64 = 1e-6;

/// A turn about one centre.
pub(crate) struct Turn<'t, 'a> {
    candidate: &'t Candidate<'a>,
    pose: &'t Pose<f64>,
    into: Side,
    /// Radius of the rear contact's path, mm, > 0.
    radius: f64,
}

impl<'t, 'a> Turn<'t, 'a> {
    pub fn new(candidate: &'t Candidate<'a>, pose: &'t Pose<f64>, into: Side) -> Turn<'t, 'a> {
        let k = mean_curvature(pose) * outward(into);
        // Straight ahead and beyond, the radius goes on growing evenly instead of passing
        // through infinity, so that a search still sees which way is better.
        let radius = match k > STRAIGHT {
            true => 1.0 / k,
            false => (2.0 - k / STRAIGHT) / STRAIGHT,
        };
        Turn {
            candidate,
            pose,
            into,
            radius,
        }
    }

    /// Distance of a ground point from the turn centre, mm.
    fn distance(&self, [x, y]: [f64; 2]) -> f64 {
        let y = y - outward(self.into) * self.radius;
        (x * x + y * y).sqrt()
    }

    /// Contact and section radius of every tyre: left, right, rear.
    fn tyres(&self) -> [([f64; 2], f64); 3] {
        let machine = self.candidate.linkage.machine();
        let [left, right] = SIDES.map(|s| contact(self.pose, s));
        [
            (left, machine.left.wheel.section_radius),
            (right, machine.right.wheel.section_radius),
            ([0.0; 2], machine.rear.section_radius),
        ]
    }

    /// Overhang points on the ground, from the rear contact.
    fn overhangs(&self) -> impl Iterator<Item = [f64; 2]> {
        let pose = self.pose;
        let flat = move |p: &V3<f64>| {
            let from_rear = *p - pose.rear_contact;
            [from_rear.dot(pose.ground_x), from_rear.dot(pose.ground_y)]
        };
        self.candidate.inner.fittings.overhangs.iter().map(flat)
    }

    /// Radius of the rear contact's path, m.
    pub fn rear_m(&self) -> f64 {
        1e-3 * self.radius
    }

    /// Outer front contact plus section radius, m.
    pub fn kerb_m(&self) -> f64 {
        let [left, right, _] = self.tyres();
        let reach = |(at, section)| self.distance(at) + section;
        1e-3 * reach(left).max(reach(right))
    }

    /// Outermost tyre or overhang point, m.
    pub fn wall_m(&self) -> f64 {
        let tyres = self.tyres();
        let tyres = tyres
            .iter()
            .map(|(at, section)| self.distance(*at) + section);
        let points = self.overhangs().map(|at| self.distance(at));
        1e-3 * tyres.chain(points).fold(0.0, f64::max)
    }

    /// Innermost tyre or overhang point, m; 0 where a tyre covers the centre.
    pub fn inner_m(&self) -> f64 {
        let tyres = self.tyres();
        let tyres = tyres
            .iter()
            .map(|(at, section)| self.distance(*at) - section);
        let points = self.overhangs().map(|at| self.distance(at));
        1e-3 * tyres.chain(points).fold(f64::INFINITY, f64::min).max(0.0)
    }

    /// How far rear tyre or overhangs run inside the inner front tyre's inner edge, m.
    pub fn cut_in_m(&self) -> f64 {
        let tyres = self.tyres();
        let edge = |(at, section): ([f64; 2], f64)| self.distance(at) - section;
        let points = self.overhangs().map(|at| self.distance(at));
        let behind = points.fold(edge(tyres[2]), f64::min);
        1e-3 * (edge(tyres[self.into as usize]) - behind)
    }

    /// Steer angle of the inner front wheel, degrees, positive into the turn.
    pub fn inner_wheel_deg(&self) -> f64 {
        (self.pose.steer_angle(self.into) * outward(self.into)).to_degrees()
    }
}
