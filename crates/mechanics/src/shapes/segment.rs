//! Straight segments.

use kinematics::V3;

/// A segment between two points, which may coincide.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Segment {
    pub from: V3<f64>,
    pub to: V3<f64>,
}

impl Segment {
    pub fn new(from: V3<f64>, to: V3<f64>) -> Segment {
        Segment { from, to }
    }

    pub fn length(&self) -> f64 {
        (self.to - self.from).norm()
    }

    pub fn middle(&self) -> V3<f64> {
        (self.from + self.to).scale(0.5)
    }

    /// The point at a share of the way.
    pub fn at(&self, share: f64) -> V3<f64> {
        self.from + (self.to - self.from).scale(share)
    }

    /// Distance to another segment: Ericson's `ClosestPtSegmentSegment` with its symbols.
    pub fn off_segment(&self, other: &Segment) -> f64 {
        let (d1, d2) = (self.to - self.from, other.to - other.from);
        let r = self.from - other.from;
        let (a, e, f) = (d1.norm2(), d2.norm2(), d2.dot(r));
        let within = |x: f64| x.clamp(0.0, 1.0);
        let (s, t) = match (a <= POINT, e <= POINT) {
            (true, true) => (0.0, 0.0),
            (true, false) => (0.0, within(f / e)),
            (false, true) => (within(-d1.dot(r) / a), 0.0),
            (false, false) => {
                let (b, c) = (d1.dot(d2), d1.dot(r));
                let denominator = a * e - b * b;
                // Of parallel segments any point of the first serves.
                let s = match denominator > PARALLEL * a * e {
                    true => within((b * f - c * e) / denominator),
                    false => 0.0,
                };
                let t = (b * s + f) / e;
                match t {
                    t if t < 0.0 => (within(-c / a), 0.0),
                    t if t > 1.0 => (within((b - c) / a), 1.0),
                    t => (s, t),
                }
            }
        };
        (self.at(s) - other.at(t)).norm()
    }
}

/// Squared length, mm², up to which a segment is a point.
const POINT: f64 = 1e-18;
/// Squared sine of the angle up to which segments are parallel.
const PARALLEL: f64 = 1e-14;
