//! Short cylinders: hubs and brake discs.

use super::{Block, Ring, Segment, smallest_convex};
use kinematics::V3;

/// A cylinder.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Drum {
    /// Middle of its axis.
    pub centre: V3<f64>,
    /// Unit vector.
    pub axis: V3<f64>,
    pub radius: f64,
    /// Half of its length.
    pub half: f64,
}

impl Drum {
    /// Radius of the ball that holds it.
    pub(super) fn reach(&self) -> f64 {
        (self.radius * self.radius + self.half * self.half).sqrt()
    }

    /// How far it reaches from its middle along a unit vector.
    pub(super) fn extent(&self, along: V3<f64>) -> f64 {
        let sine = self.axis.dot(along);
        self.half * sine.abs() + self.radius * (1.0 - sine * sine).max(0.0).sqrt()
    }

    /// Distance of a point; inside, minus the way to the nearest face.
    pub fn off_point(&self, p: V3<f64>) -> f64 {
        let v = p - self.centre;
        let z = v.dot(self.axis);
        let rho = (v.norm2() - z * z).max(0.0).sqrt();
        let (out, up) = (rho - self.radius, z.abs() - self.half);
        match out.max(up) {
            inside if inside <= 0.0 => inside,
            _ => {
                let (out, up) = (out.max(0.0), up.max(0.0));
                (out * out + up * up).sqrt()
            }
        }
    }

    /// Distance of a segment, along which the distance of its points is convex.
    pub(super) fn off_segment(&self, s: &Segment) -> f64 {
        smallest_convex(0.0, 1.0, |share| self.off_point(s.at(share)))
    }

    /// Distance of a box: that of the box's edges, or of either rim from the box. Where a box
    /// cuts the drum between its rims, the drum's axis or one of its lines towards the box's faces
    /// lies inside.
    pub(super) fn off_block(&self, block: &Block) -> f64 {
        let edges = block.edges().map(|edge| self.off_segment(&edge));
        let rims = [-self.half, self.half].map(|along| {
            block.off_ring(&Ring {
                centre: self.centre + self.axis.scale(along),
                axis: self.axis,
                radius: self.radius,
            })
        });
        let along = self.axis.scale(self.half);
        let line = |aside: V3<f64>| {
            let middle = self.centre + aside;
            block.off_segment(&Segment::new(middle - along, middle + along))
        };
        let lines = block.axes.into_iter().flat_map(|axis| {
            let across = axis.across(self.axis);
            let size = across.norm().max(f64::MIN_POSITIVE);
            let aside = across.scale(self.radius / size);
            [line(aside), line(-aside)]
        });
        let lines = lines.chain([line(V3::new(0.0, 0.0, 0.0))]);
        edges.chain(rims).chain(lines).fold(f64::INFINITY, f64::min)
    }
}
