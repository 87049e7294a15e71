//! Solids and the distances between them, mm, below 0 by how deep one reaches into the other.
//!
//! Segment against segment is section 5.1.9 of Ericson, *Real-Time Collision Detection* (2005).
//! The rest is derived here: what a pair of convex solids comes to along a segment is a convex
//! function, and the distance of a circle from the points of a line bends only once on each side
//! of the circle's axis, so that every minimum is bracketed before it is solved for.

mod block;
mod drum;
mod ring;
mod segment;

pub use block::Block;
pub(crate) use drum::Drum;
pub(crate) use ring::Ring;
pub(crate) use segment::Segment;

use kinematics::V3;

/// A solid in frame axes.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Solid {
    /// All points within a radius of a segment.
    Capsule(Segment, f64),
    /// All points within a radius of a circle.
    Torus(Ring, f64),
    /// An oriented box.
    Block(Block),
    /// A short cylinder.
    Drum(Drum),
}

impl Solid {
    /// Distance between two solids; between two tori or two drums, which no machine brings
    /// together, that of their bounding spheres.
    pub fn gap(&self, other: &Solid) -> f64 {
        use Solid::{Block as B, Capsule as C, Drum as D, Torus as T};
        match (self, other) {
            (C(a, r), C(b, s)) => a.off_segment(b) - r - s,
            (C(a, r), T(b, s)) | (T(b, s), C(a, r)) => b.off_segment(a) - r - s,
            (C(a, r), B(b)) | (B(b), C(a, r)) => b.off_segment(a) - r,
            (C(a, r), D(b)) | (D(b), C(a, r)) => b.off_segment(a) - r,
            (T(a, r), B(b)) | (B(b), T(a, r)) => b.off_ring(a) - r,
            (B(a), B(b)) => a.off_block(b),
            (B(a), D(b)) | (D(b), B(a)) => b.off_block(a),
            (T(..) | D(_), T(..) | D(_)) => self.bound(other),
        }
    }

    /// A distance that the gap never falls below, quickly found.
    pub fn bound(&self, other: &Solid) -> f64 {
        let [(a, r), (b, s)] = [self.ball(), other.ball()];
        let mut bound = (b - a).norm() - r - s;
        for (one, (centre, radius), far) in [(self, (b, s), other), (other, (a, r), self)] {
            match one {
                Solid::Block(block) => bound = bound.max(block.off_point(centre) - radius),
                Solid::Torus(Ring { centre, axis, .. }, flat)
                | Solid::Drum(Drum {
                    centre,
                    axis,
                    half: flat,
                    ..
                }) => {
                    let off = far.off_plane(*centre, *axis);
                    bound = bound.max(off.map_or(f64::NEG_INFINITY, |off| off - flat));
                }
                Solid::Capsule(..) => {}
            }
        }
        bound
    }

    /// A ball that holds the solid: centre and radius.
    fn ball(&self) -> (V3<f64>, f64) {
        match self {
            Solid::Capsule(s, r) => (s.middle(), 0.5 * s.length() + r),
            Solid::Torus(ring, r) => (ring.centre, ring.radius + r),
            Solid::Block(block) => (block.centre, block.reach()),
            Solid::Drum(drum) => (drum.centre, drum.reach()),
        }
    }

    /// Distance from a plane through `on` across the unit vector `normal`; `None` where it cuts
    /// the solid.
    fn off_plane(&self, on: V3<f64>, normal: V3<f64>) -> Option<f64> {
        let height = |p: V3<f64>| (p - on).dot(normal);
        let off = match self {
            Solid::Capsule(s, r) => {
                let [a, b] = [height(s.from), height(s.to)];
                match a * b > 0.0 {
                    true => a.abs().min(b.abs()) - r,
                    false => return None,
                }
            }
            Solid::Block(block) => height(block.centre).abs() - block.extent(normal),
            _ => {
                let (centre, radius) = self.ball();
                height(centre).abs() - radius
            }
        };
        (off > 0.0).then_some(off)
    }

    /// Height of its lowest point along a unit vector upwards, from the origin.
    pub fn lowest(&self, up: V3<f64>) -> f64 {
        match self {
            Solid::Capsule(s, r) => up.dot(s.from).min(up.dot(s.to)) - r,
            Solid::Torus(ring, r) => up.dot(ring.centre) - ring.extent(up) - r,
            Solid::Block(block) => up.dot(block.centre) - block.extent(up),
            Solid::Drum(drum) => up.dot(drum.centre) - drum.extent(up),
        }
    }
}

/// Smallest value of a convex function between two places, by golden section (Kiefer 1953).
fn smallest_convex(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    const STEPS: usize = 56;
    let (mut low, mut high) = (from, to);
    let place = |a: f64, b: f64| b - GOLDEN * (b - a);
    let (mut a, mut b) = (place(low, high), place(high, low));
    let (mut at_a, mut at_b) = (f(a), f(b));
    let mut best = f(from).min(f(to));
    for _ in 0..STEPS {
        best = best.min(at_a).min(at_b);
        if at_a <= at_b {
            (high, b, at_b) = (b, a, at_a);
            a = place(low, high);
            at_a = f(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = place(high, low);
            at_b = f(b);
        }
    }
    best
}

#[cfg(test)]
mod tests;
