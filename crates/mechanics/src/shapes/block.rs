//! Oriented boxes.

use super::{Ring, Segment};
use kinematics::V3;

/// An oriented box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Middle, mm.
    pub centre: V3<f64>,
    /// Its own three axes, unit vectors square to one another.
    pub axes: [V3<f64>; 3],
    /// Half of its size along each, mm.
    pub half: [f64; 3],
}

impl Block {
    /// The mirror image in the plane y = 0.
    pub fn mirrored(&self) -> Block {
        Block {
            centre: self.centre.mirrored(),
            axes: self.axes.map(V3::mirrored),
            ..*self
        }
    }

    /// A point in the box's own axes.
    fn own(&self, p: V3<f64>) -> [f64; 3] {
        self.axes.map(|axis| axis.dot(p - self.centre))
    }

    /// Radius of the ball that holds it.
    pub(super) fn reach(&self) -> f64 {
        V3::from(self.half).norm()
    }

    /// How far it reaches from its middle along a unit vector.
    pub(super) fn extent(&self, along: V3<f64>) -> f64 {
        (0..3)
            .map(|i| self.half[i] * self.axes[i].dot(along).abs())
            .sum()
    }

    /// Distance of a point; inside, minus the way to the nearest face.
    pub fn off_point(&self, p: V3<f64>) -> f64 {
        signed(self.own(p), self.half)
    }

    /// The edge along axis `i` at the corner of signs `s` of the other two.
    fn edge(&self, i: usize, s: [f64; 2]) -> Segment {
        let [j, k] = [(i + 1) % 3, (i + 2) % 3];
        let on = self.centre
            + self.axes[j].scale(s[0] * self.half[j])
            + self.axes[k].scale(s[1] * self.half[k]);
        let along = self.axes[i].scale(self.half[i]);
        Segment::new(on - along, on + along)
    }

    /// The twelve edges.
    pub(super) fn edges(&self) -> impl Iterator<Item = Segment> {
        const SIGNS: [[f64; 2]; 4] = [[-1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [1.0, 1.0]];
        (0..3).flat_map(move |i| SIGNS.into_iter().map(move |s| self.edge(i, s)))
    }

    /// Distance of a segment.
    pub(super) fn off_segment(&self, s: &Segment) -> f64 {
        let from = self.own(s.from);
        let to = self.own(s.to);
        let along = [0, 1, 2].map(|i| to[i] - from[i]);
        match inside(from, along, self.half) {
            Some(range) => deepest(from, along, self.half, range),
            None => beside(from, along, self.half),
        }
    }

    /// Distance of another box. The closest features of two boxes apart are a corner and a face or
    /// two edges, all of which lie on edges of one of them.
    pub(super) fn off_block(&self, other: &Block) -> f64 {
        let mine = other.edges().map(|edge| self.off_segment(&edge));
        let its = self.edges().map(|edge| other.off_segment(&edge));
        mine.chain(its).fold(f64::INFINITY, f64::min)
    }

    /// Distance of a circle. Apart, the closest point of the box lies on an edge, or within a face
    /// below the circle's nearest point to that face's plane.
    pub(super) fn off_ring(&self, ring: &Ring) -> f64 {
        let own = Ring {
            centre: self.own(ring.centre).into(),
            axis: self.axes.map(|axis| axis.dot(ring.axis)).into(),
            radius: ring.radius,
        };
        if let Some(depth) = own.inside(self.half) {
            return depth;
        }
        let edges = self.edges().map(|edge| ring.off_segment(&edge));
        edges
            .fold(f64::INFINITY, f64::min)
            .min(own.over_faces(self.half))
    }
}

/// Distance of a point in the box's own axes.
pub(super) fn signed(p: [f64; 3], half: [f64; 3]) -> f64 {
    let q = [0, 1, 2].map(|i| p[i].abs() - half[i]);
    let deepest = q[0].max(q[1]).max(q[2]);
    if deepest <= 0.0 {
        return deepest;
    }
    V3::from(q.map(|x| x.max(0.0))).norm()
}

/// The part of the way, from 0 to 1, that lies inside.
fn inside(from: [f64; 3], along: [f64; 3], half: [f64; 3]) -> Option<[f64; 2]> {
    let mut range = [0.0_f64, 1.0_f64];
    for i in 0..3 {
        if along[i] == 0.0 {
            if from[i].abs() > half[i] {
                return None;
            }
            continue;
        }
        let ends = [-half[i], half[i]].map(|face| (face - from[i]) / along[i]);
        range[0] = range[0].max(ends[0].min(ends[1]));
        range[1] = range[1].min(ends[0].max(ends[1]));
    }
    (range[0] <= range[1]).then_some(range)
}

/// Minus the depth of the deepest point of the way: the lowest of the upper envelope of six
/// straight lines, which stands at an end or where two of them cross.
fn deepest(from: [f64; 3], along: [f64; 3], half: [f64; 3], [low, high]: [f64; 2]) -> f64 {
    let line = |k: usize| {
        let (i, sign) = (k / 2, if k.is_multiple_of(2) { 1.0 } else { -1.0 });
        [sign * from[i] - half[i], sign * along[i]]
    };
    let envelope = |t: f64| {
        let at = |k: usize| line(k)[0] + t * line(k)[1];
        (0..6).map(at).fold(f64::NEG_INFINITY, f64::max)
    };
    let mut best = envelope(low).min(envelope(high));
    for k in 0..6 {
        for m in k + 1..6 {
            let ([a, b], [c, d]) = (line(k), line(m));
            let t = (c - a) / (b - d);
            if t > low && t < high {
                best = best.min(envelope(t));
            }
        }
    }
    best
}

/// Distance of a way that stays outside: its square is convex and, between the places where the
/// way crosses the faces' planes, a parabola.
fn beside(from: [f64; 3], along: [f64; 3], half: [f64; 3]) -> f64 {
    let excess = |t: f64, i: usize| {
        let p = from[i] + t * along[i];
        (p - half[i]).max(0.0) - (-p - half[i]).max(0.0)
    };
    let slope = |t: f64| (0..3).map(|i| along[i] * excess(t, i)).sum::<f64>();
    let distance = |t: f64| V3::from([0, 1, 2].map(|i| excess(t, i))).norm();
    let mut places = [0.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0];
    for i in 0..3 {
        for (k, face) in [-half[i], half[i]].into_iter().enumerate() {
            let t = (face - from[i]) / along[i];
            if t > 0.0 && t < 1.0 {
                places[1 + 2 * i + k] = t;
            }
        }
    }
    places.sort_by(f64::total_cmp);
    let (mut low, mut falls) = (0.0, slope(0.0));
    if falls >= 0.0 {
        return distance(0.0);
    }
    for high in places {
        let rises = slope(high);
        if rises >= 0.0 {
            let share = falls / (falls - rises);
            return distance(low + (high - low) * share);
        }
        (low, falls) = (high, rises);
    }
    distance(1.0)
}
