//! Circles: the middle lines of tyres and rims.

use super::block::signed;
use super::{Segment, smallest_convex};
use kinematics::V3;

/// A circle.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ring {
    pub centre: V3<f64>,
    /// Unit vector.
    pub axis: V3<f64>,
    pub radius: f64,
}

/// A squared sine up to which a segment counts as parallel to the circle's axis, or a face to
/// the circle's plane.
const PARALLEL: f64 = 1e-14;
/// Newton steps towards a distance's minimum, each kept within its bracket.
const STEPS: usize = 60;
/// The minimum is found to this share of the segment's length.
const MET: f64 = 1e-13;
/// Share of a segment left out at the foot of the circle's axis.
const KINK: f64 = 1e-12;
/// Places along an arc inside a box at which its depth is looked at.
const PLACES: usize = 16;

impl Ring {
    /// How far it reaches from its centre along a unit vector.
    pub fn extent(&self, along: V3<f64>) -> f64 {
        let sine = self.axis.dot(along);
        self.radius * (1.0 - sine * sine).max(0.0).sqrt()
    }

    /// Distance of a point.
    pub fn off_point(&self, p: V3<f64>) -> f64 {
        let v = p - self.centre;
        let z = v.dot(self.axis);
        let rho = (v.norm2() - z * z).max(0.0).sqrt();
        let off = rho - self.radius;
        (off * off + z * z).sqrt()
    }

    /// Distance of a segment.
    ///
    /// Along the segment, t from its start, the squared distance is G = |p|² − 2Rρ + R² with
    /// ρ² = A t² + 2B t + C the square of the distance from the axis. As ρ″ = (AC − B²)/ρ³ falls
    /// on either side of the place t* where ρ is least, G is concave next to t* and convex
    /// farther out: each side holds one minimum at most, in its convex part.
    pub fn off_segment(&self, s: &Segment) -> f64 {
        let length = s.length();
        let ends = self.off_point(s.from).min(self.off_point(s.to));
        if length <= 1e-9 {
            return ends;
        }
        let u = (s.to - s.from).scale(1.0 / length);
        let v = s.from - self.centre;
        let (z0, zu) = (v.dot(self.axis), u.dot(self.axis));
        let b = v.dot(u);
        let a2 = 1.0 - zu * zu;
        let at = |t: f64| self.off_point(s.from + u.scale(t));
        if a2 <= PARALLEL {
            return ends.min(at((-z0 / zu).clamp(0.0, length)));
        }
        let b2 = b - z0 * zu;
        let c2 = v.norm2() - z0 * z0;
        let middle = -b2 / a2;
        let least = (c2 - b2 * b2 / a2).max(0.0);
        let bend = a2 * least;
        let turning = libm::cbrt(self.radius * bend);
        let concave = ((turning * turning - least).max(0.0) / a2).sqrt();
        // Half of G′, and half of G″.
        let slopes = |t: f64| {
            let rho2 = (least + a2 * (t - middle) * (t - middle)).max(f64::MIN_POSITIVE);
            let rho = rho2.sqrt();
            let first = t + b - self.radius * a2 * (t - middle) / rho;
            [first, 1.0 - self.radius * bend / (rho2 * rho)]
        };
        let mut best = ends;
        // A line through the axis has a kink there, which the brackets leave out.
        let off = concave + KINK * (length + middle.abs());
        for (low, high) in [(0.0, middle - off), (middle + off, length)] {
            let (low, high) = (low.max(0.0), high.min(length));
            if low < high {
                best = best.min(at(level(low, high, length, slopes)));
            }
        }
        best
    }

    /// Minus the depth of its deepest point inside a box at the origin; `None` where it stays
    /// outside.
    pub(super) fn inside(&self, half: [f64; 3]) -> Option<f64> {
        let (centre, axis) = (self.centre.to_array(), self.axis.to_array());
        let reach = [0, 1, 2].map(|i| self.radius * (1.0 - axis[i] * axis[i]).max(0.0).sqrt());
        if (0..3).any(|i| centre[i].abs() > half[i] + reach[i]) {
            return None;
        }
        let [e, f] = self.directions();
        let at = |angle: f64| {
            let (c, s) = (libm::cos(angle), libm::sin(angle));
            (self.centre + (e.scale(c) + f.scale(s)).scale(self.radius)).to_array()
        };
        // Angles at which it crosses a face's plane.
        let mut cuts = [f64::INFINITY; 13];
        let mut count = 0;
        for i in 0..3 {
            let [p, q] = [e.to_array()[i], f.to_array()[i]].map(|x| self.radius * x);
            let (size, phase) = ((p * p + q * q).sqrt(), libm::atan2(q, p));
            for face in [-half[i], half[i]] {
                let cosine = (face - centre[i]) / size;
                if cosine.abs() < 1.0 {
                    let away = libm::acos(cosine);
                    for angle in [phase - away, phase + away] {
                        cuts[count] = angle - TURN * libm::floor(angle / TURN);
                        count += 1;
                    }
                }
            }
        }
        cuts[..count].sort_by(f64::total_cmp);
        if count == 0 {
            cuts[0] = 0.0;
            count = 1;
        }
        cuts[count] = cuts[0] + TURN;
        let depth = |angle: f64| signed(at(angle), half);
        let mut found: Option<f64> = None;
        for arc in cuts[..=count].windows(2) {
            if depth(0.5 * (arc[0] + arc[1])) < 0.0 {
                let deep = lowest(arc[0], arc[1], depth);
                found = Some(found.map_or(deep, |known| known.min(deep)));
            }
        }
        found
    }

    /// Distance to the faces of a box at the origin, where a face lies straight below the
    /// circle's point nearest to its plane.
    pub(super) fn over_faces(&self, half: [f64; 3]) -> f64 {
        let axis = self.axis.to_array();
        let [across, _] = self.directions();
        let mut best = f64::INFINITY;
        for i in 0..3 {
            let mut normal = [0.0; 3];
            normal[i] = 1.0;
            let down = V3::from(normal) - self.axis.scale(axis[i]);
            let down = match down.norm2() > PARALLEL {
                true => down.unit(),
                false => across,
            };
            for sign in [-1.0, 1.0] {
                let p = (self.centre - down.scale(sign * self.radius)).to_array();
                let over = (0..3).all(|k| k == i || p[k].abs() <= half[k]);
                let height = sign * p[i] - half[i];
                if over && height >= 0.0 {
                    best = best.min(height);
                }
            }
        }
        best
    }

    /// Two unit vectors that span its plane.
    fn directions(&self) -> [V3<f64>; 2] {
        let [x, y, z] = self.axis.to_array().map(f64::abs);
        let off = match () {
            () if x <= y && x <= z => V3::new(1.0, 0.0, 0.0),
            () if y <= z => V3::new(0.0, 1.0, 0.0),
            () => V3::new(0.0, 0.0, 1.0),
        };
        let e = off.across(self.axis).unit();
        [e, self.axis.cross(e)]
    }
}

const TURN: f64 = 2.0 * core::f64::consts::PI;

/// Where the rising first of the slopes passes 0 between two places, or the end nearer to it:
/// Newton's method, halved where it would leave the bracket.
fn level(mut low: f64, mut high: f64, length: f64, slopes: impl Fn(f64) -> [f64; 2]) -> f64 {
    if slopes(low)[0] >= 0.0 {
        return low;
    }
    if slopes(high)[0] <= 0.0 {
        return high;
    }
    let mut t = 0.5 * (low + high);
    for _ in 0..STEPS {
        let [first, second] = slopes(t);
        match first > 0.0 {
            true => high = t,
            false => low = t,
        }
        let step = t - first / second;
        let next = match step > low && step < high {
            true => step,
            false => 0.5 * (low + high),
        };
        if (next - t).abs() <= MET * length {
            return next;
        }
        t = next;
    }
    t
}

/// Smallest value along an arc: looked at in many places, then refined about the lowest.
fn lowest(from: f64, to: f64, f: impl Fn(f64) -> f64 + Copy) -> f64 {
    let step = (to - from) / PLACES as f64;
    let at = |k: usize| from + step * k as f64;
    let mut best = (f(from), 0);
    for k in 1..=PLACES {
        let value = f(at(k));
        if value < best.0 {
            best = (value, k);
        }
    }
    let (low, high) = (best.1.saturating_sub(1), (best.1 + 1).min(PLACES));
    smallest_convex(at(low), at(high), f).min(best.0)
}
