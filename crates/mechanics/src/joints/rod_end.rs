//! Misalignment of the two ends of a rod.
//!
//! The eye axis of each end is perpendicular to the rod. With p the part of a bolt
//! perpendicular to the rod, |p| = B, the end spun by x from its own best has the cosine
//! |B cos x|. One spin of the rod serves both ends: the eyes' clock angle about the rod is
//! fixed, so if the bolts' directions about the rod have moved apart by Δ against it, the ends
//! have |B₁ cos x| and |B₂ cos(x − Δ)|, and x is taken where the smaller cosine is largest.
//! That is at one end's own best or where both are equal, so four candidates tell all.

use super::{Tilts, drawn_kingpin, on_side};
use crate::set_up::outward;
use crate::settings::Fittings;
use kinematics::{Layout, Linkage, Pose, Side, V3};

/// The bolt of a rod's inner end.
#[derive(Clone, Copy, Debug)]
enum InnerBolt {
    /// Turns with the crank, by as much as the rod end does about its axis. In frame axes in
    /// the design pose, like the rod end's radius vector.
    OnCrank {
        bolt: V3<f64>,
        axis: V3<f64>,
        point: V3<f64>,
        reach: V3<f64>,
    },
    /// On a rail or a centre link: keeps its direction.
    Carried(V3<f64>),
    /// On the other knuckle, in that knuckle's coordinates.
    OnKnuckle { bolt: [f64; 3], of: Side },
}

impl InnerBolt {
    fn new(
        linkage: &Linkage,
        side: Side,
        given: Option<V3<f64>>,
        tilts: &Tilts,
        design: &Pose<f64>,
    ) -> InnerBolt {
        let machine = linkage.machine();
        let axis = machine.crank.direction.unit();
        let point = machine.crank.point;
        let or = |usual: V3<f64>| {
            let drawn = given.map_or(usual, |v| on_side(v, side).unit());
            tilts.tilted(side, 2, drawn)
        };
        match machine.layout {
            Layout::CentreCrank => InnerBolt::OnCrank {
                bolt: or(axis),
                axis,
                point,
                reach: (design.corner(side).rod_inner - point).across(axis),
            },
            // Upright, and square to the rail.
            Layout::Slider => InnerBolt::Carried(or(V3::new(0.0, 0.0, 1.0).across(axis).unit())),
            Layout::IdlerParallelogram { .. } => InnerBolt::Carried(or(axis)),
            Layout::CrossRod { .. } => {
                let of = match side {
                    Side::Left => Side::Right,
                    Side::Right => Side::Left,
                };
                let bolt = or(drawn_kingpin(linkage, of));
                InnerBolt::OnKnuckle {
                    bolt: linkage.knuckle_coordinates(of, bolt),
                    of,
                }
            }
        }
    }

    fn in_pose(&self, pose: &Pose<f64>, side: Side) -> V3<f64> {
        match *self {
            InnerBolt::OnCrank {
                bolt,
                axis,
                point,
                reach,
            } => {
                let to = (pose.corner(side).rod_inner - point).across(axis);
                let scale = 1.0 / reach.norm2();
                let cosine = reach.dot(to) * scale;
                let sine = axis.dot(reach.cross(to)) * scale;
                bolt.rotated(axis, cosine, sine)
            }
            InnerBolt::Carried(bolt) => bolt,
            InnerBolt::OnKnuckle { bolt, of } => pose.corner(of).knuckle_vector(bolt),
        }
    }
}

/// Both rod ends of one side.
#[derive(Clone, Copy, Debug)]
pub(super) struct RodEnds {
    inner_bolt: InnerBolt,
    /// Outer bolt in knuckle coordinates.
    outer_bolt: [f64; 3],
    /// Cosine and sine of the clock angle from inner to outer eye about the rod.
    clock: [f64; 2],
    /// What both ends allow, radians, where that differs.
    allowed: Option<[f64; 2]>,
}

impl RodEnds {
    pub fn new(
        linkage: &Linkage,
        side: Side,
        fittings: &Fittings,
        tilts: &Tilts,
        design: &Pose<f64>,
    ) -> RodEnds {
        let kingpin = drawn_kingpin(linkage, side);
        let outer = fittings
            .outer_bolt
            .map_or(kingpin, |v| on_side(v, side).unit());
        let mut ends = RodEnds {
            inner_bolt: InnerBolt::new(linkage, side, fittings.inner_bolt, tilts, design),
            outer_bolt: linkage.knuckle_coordinates(side, tilts.tilted(side, 3, outer)),
            clock: [1.0, 0.0],
            allowed: None,
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

    /// The same with ends that allow these angles, radians: where they differ, the larger part of
    /// its limit counts instead of the larger angle.
    pub fn allowing(self, limits: [Option<f64>; 2]) -> RodEnds {
        let allowed = match limits {
            [Some(inner), Some(outer)] if inner != outer => Some([inner, outer]),
            _ => None,
        };
        RodEnds { allowed, ..self }
    }

    /// Both bolts' parts perpendicular to the rod, and the rod's direction.
    fn about_rod(&self, pose: &Pose<f64>, side: Side) -> [V3<f64>; 3] {
        let corner = pose.corner(side);
        let rod = (corner.rod_outer - corner.rod_inner).unit();
        let inner = self.inner_bolt.in_pose(pose, side).across(rod);
        let outer = corner.knuckle_vector(self.outer_bolt).across(rod);
        [inner, outer, rod]
    }

    /// Cosines of both misalignments, inner and outer, at the best spin.
    pub fn cosines(&self, pose: &Pose<f64>, side: Side) -> [f64; 2] {
        let bolts = self.about_rod(pose, side);
        let [b1, b2] = [bolts[0].norm(), bolts[1].norm()];
        let [c, s] = apart(&bolts);
        let [kc, ks] = self.clock;
        let delta = [c * kc + s * ks, s * kc - c * ks];
        match self.allowed {
            Some(limits) => shared_spin(b1, b2, delta, limits),
            None => best_spin(b1, b2, delta),
        }
    }
}

/// Cosine and sine of the angle from the inner to the outer bolt about the rod.
pub(super) fn apart([inner, outer, rod]: &[V3<f64>; 3]) -> [f64; 2] {
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
pub(super) fn best_spin(b1: f64, b2: f64, [c, s]: [f64; 2]) -> [f64; 2] {
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

/// Halvings of the spin between both ends' own best.
const HALVINGS: usize = 48;

/// Cosines of both ends at the spin where the larger angle as a part of its limit is smallest.
/// From one end's own best to the other's, the shorter way round, the one part grows and the other
/// falls, so that the best lies where they are equal, or at an end.
fn shared_spin(b1: f64, b2: f64, [c, s]: [f64; 2], limits: [f64; 2]) -> [f64; 2] {
    // The eyes have no sense: half a turn changes nothing.
    let delta = libm::atan2(s, c);
    let delta = delta - HALF_TURN * libm::round(delta / HALF_TURN);
    let at = |share: f64| {
        let x = share * delta;
        [b1 * libm::cos(x), b2 * libm::cos(delta - x)].map(|cosine| cosine.clamp(0.0, 1.0))
    };
    let ahead =
        |[inner, outer]: [f64; 2]| libm::acos(inner) / limits[0] - libm::acos(outer) / limits[1];
    let [first, last] = [at(0.0), at(1.0)];
    if ahead(first) >= 0.0 {
        return first;
    }
    if ahead(last) <= 0.0 {
        return last;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match ahead(at(middle)) < 0.0 {
            true => low = middle,
            false => high = middle,
        }
    }
    at(0.5 * (low + high))
}

const HALF_TURN: f64 = core::f64::consts::PI;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spread::random_share;

    /// The best spin of one rod against 20,000 spins all round, with equal and different limits.
    #[test]
    fn the_shared_spin_is_the_best_of_all_spins() {
        for case in 0..200 {
            let share = |k: u64| random_share(3, case, k);
            let (b1, b2) = (0.2 + 0.8 * share(0), 0.2 + 0.8 * share(1));
            let delta = 2.0 * HALF_TURN * share(2);
            let limits = match case % 3 {
                0 => [0.4; 2],
                _ => [0.1 + 0.9 * share(3), 0.1 + 0.9 * share(4)],
            };
            let both = [libm::cos(delta), libm::sin(delta)];
            let found = match limits[0] == limits[1] {
                true => best_spin(b1, b2, both),
                false => shared_spin(b1, b2, both, limits),
            };
            let part = |[inner, outer]: [f64; 2]| {
                (libm::acos(inner) / limits[0]).max(libm::acos(outer) / limits[1])
            };
            let spun = |x: f64| [b1 * libm::cos(x), b2 * libm::cos(x - delta)].map(f64::abs);
            let all = (0..20_000).map(|k| part(spun(HALF_TURN * f64::from(k) / 20_000.0)));
            let best = all.fold(f64::INFINITY, f64::min);
            let own = part(found);
            assert!(
                own <= best + 1e-9 && own > best - 2e-3,
                "{case}: {own} {best}"
            );
        }
    }
}
