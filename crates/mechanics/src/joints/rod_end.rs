//! Misalignment of the two ends of a rod.
//!
//! The eye axis of each end is perpendicular to the rod. With p the part of a bolt
//! perpendicular to the rod, |p| = B, the end spun by x from its own best has the cosine
//! |B cos x|. One spin of the rod serves both ends: the eyes' clock angle about the rod is
//! fixed, so if the bolts' directions about the rod have moved apart by Δ against it, the ends
//! have |B₁ cos x| and |B₂ cos(x − Δ)|, and x is taken where the smaller cosine is largest.
//! That is at one end's own best or where both are equal, so four candidates tell all.

use super::on_side;
use crate::set_up::outward;
use crate::settings::Fittings;
use kinematics::{Linkage, Pose, Side, V3};

/// Both rod ends of one side.
#[derive(Clone, Copy, Debug)]
pub(super) struct RodEnds {
    /// Crank axis, and the inner bolt in frame axes in the design pose.
    axis: V3<f64>,
    inner_bolt: V3<f64>,
    point: V3<f64>,
    inner_design: V3<f64>,
    /// Outer bolt in knuckle coordinates.
    outer_bolt: [f64; 3],
    /// Cosine and sine of the clock angle from inner to outer eye about the rod.
    clock: [f64; 2],
}

impl RodEnds {
    pub fn new(linkage: &Linkage, side: Side, fittings: &Fittings, design: &Pose<f64>) -> RodEnds {
        let crank = &linkage.machine().crank;
        let axis = crank.direction.unit();
        let corner = design.corner(side);
        let own = |v: V3<f64>| on_side(v, side).unit();
        let outer = fittings.outer_bolt.map_or(corner.kingpin, own);
        let mut ends = RodEnds {
            axis,
            inner_bolt: fittings.inner_bolt.map_or(axis, own),
            point: crank.point,
            inner_design: corner.rod_inner,
            outer_bolt: linkage.knuckle_coordinates(side, outer),
            clock: [1.0, 0.0],
        };
        ends.clock = match fittings.rod_clock_deg {
            Some(angle) => {
                // Turning about the rod changes its sense in the mirror.
                let a = angle.to_radians() * outward(side);
                [libm::cos(a), libm::sin(a)]
            }
            None => apart(&ends.about_rod(design, side)),
        };
        ends
    }

    /// The inner bolt in a pose: it turns with the crank.
    fn inner_bolt(&self, rod_inner: V3<f64>) -> V3<f64> {
        let from = (self.inner_design - self.point).across(self.axis);
        let to = (rod_inner - self.point).across(self.axis);
        let scale = 1.0 / from.norm2();
        let cosine = from.dot(to) * scale;
        let sine = self.axis.dot(from.cross(to)) * scale;
        self.inner_bolt.rotated(self.axis, cosine, sine)
    }

    /// Both bolts' parts perpendicular to the rod, and the rod's direction.
    fn about_rod(&self, pose: &Pose<f64>, side: Side) -> [V3<f64>; 3] {
        let corner = pose.corner(side);
        let rod = (corner.rod_outer - corner.rod_inner).unit();
        let inner = self.inner_bolt(corner.rod_inner).across(rod);
        let outer = corner.knuckle_vector(self.outer_bolt).across(rod);
        [inner, outer, rod]
    }

    /// Cosines of both misalignments, inner and outer, at the best spin.
    pub fn cosines(&self, pose: &Pose<f64>, side: Side) -> [f64; 2] {
        let bolts = self.about_rod(pose, side);
        let [b1, b2] = [bolts[0].norm(), bolts[1].norm()];
        let [c, s] = apart(&bolts);
        let [kc, ks] = self.clock;
        best_spin(b1, b2, [c * kc + s * ks, s * kc - c * ks])
    }
}

/// Cosine and sine of the angle from the inner to the outer bolt about the rod.
fn apart([inner, outer, rod]: &[V3<f64>; 3]) -> [f64; 2] {
    let (c, s) = (inner.dot(*outer), rod.dot(inner.cross(*outer)));
    let size = (c * c + s * s).sqrt();
    // A bolt along its rod has no direction about it: any angle serves.
    if size > 0.0 {
        [c / size, s / size]
    } else {
        [1.0, 0.0]
    }
}

/// Cosines of both ends at the spin where the smaller one is largest; `delta` is the cosine and
/// sine of Δ.
fn best_spin(b1: f64, b2: f64, [c, s]: [f64; 2]) -> [f64; 2] {
    let at = |x: [f64; 2]| [(b1 * x[0]).abs(), (b2 * (x[0] * c + x[1] * s)).abs()];
    let crossing = |sign: f64| {
        // B₁ cos x = ±B₂ cos(x − Δ)
        let (across, along) = (sign * b1 - b2 * c, b2 * s);
        let size = (across * across + along * along).sqrt();
        if size > 0.0 {
            [along / size, across / size]
        } else {
            [1.0, 0.0]
        }
    };
    let spins = [[1.0, 0.0], [c, s], crossing(1.0), crossing(-1.0)];
    let mut best = [0.0_f64; 2];
    for spin in spins {
        let found = at(spin);
        if found[0].min(found[1]) > best[0].min(best[1]) {
            best = found;
        }
    }
    best
}
