//! The centre link of an idler parallelogram, closed by form.

use crate::circle::LoopShape;
use crate::knuckle::SMALLEST_MM;
use crate::steering::{Ends, Turning, UnitAxis};
use crate::{DesignFault, Lane, Loop, V3};

/// Centre link between crank and idler. Its frame: along from crank end to idler end, and
/// the crank axis made perpendicular to that; exact for parallel axes, and a stated
/// convention where the joints would let the link roll.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CentreLink {
    crank_axis: V3<f64>,
    crank_end: Turning,
    idler_axis: V3<f64>,
    idler_foot: V3<f64>,
    idler: LoopShape,
    inverse_length: f64,
    ends: [[f64; 3]; 2],
}

impl CentreLink {
    pub fn new(
        crank: &UnitAxis,
        crank_end: Turning,
        idler: &UnitAxis,
        idler_end: V3<f64>,
        inner: [V3<f64>; 2],
    ) -> Result<CentreLink, DesignFault> {
        let start = crank_end.foot + crank_end.reach;
        let span = idler_end - start;
        let length = span.norm();
        let reach = (idler_end - idler.point).across(idler.direction);
        let radius = reach.norm();
        let frame = frame_of(span.scale(1.0 / length), crank.direction);
        if length < SMALLEST_MM || radius < SMALLEST_MM || !frame[2].is_finite() {
            return Err(DesignFault::CentreLinkShape);
        }
        let foot = idler_end - reach;
        let loop_shape = LoopShape::of_design(
            idler.direction,
            reach.scale(1.0 / radius),
            start - foot,
            radius,
        )
        .ok_or(DesignFault::AtDeadCentre(Loop::Idler))?;
        Ok(CentreLink {
            crank_axis: crank.direction,
            crank_end,
            idler_axis: idler.direction,
            idler_foot: foot,
            idler: loop_shape,
            inverse_length: 1.0 / length,
            ends: inner.map(|p| frame.map(|d| d.dot(p - start))),
        })
    }

    #[inline(always)]
    pub fn ends<L: Lane>(&self, c: L, s: L) -> Ends<L> {
        let (start, end, margin) = self.closed(c, s);
        let along = (end - start).scale(L::splat(self.inverse_length));
        let frame = frame_of(along, V3::splat(self.crank_axis));
        let carried = |p: &[f64; 3]| {
            start
                + frame[0].scale(L::splat(p[0]))
                + frame[1].scale(L::splat(p[1]))
                + frame[2].scale(L::splat(p[2]))
        };
        Ends {
            points: [carried(&self.ends[0]), carried(&self.ends[1])],
            margin,
        }
    }

    /// Crank end, idler end, margin.
    #[inline(always)]
    pub fn closed<L: Lane>(&self, c: L, s: L) -> (V3<L>, V3<L>, L) {
        let start = self.crank_end.at(c, s);
        let foot = V3::splat(self.idler_foot);
        let met = self.idler.meet(V3::splat(self.idler_axis), start - foot);
        (
            start,
            foot + met.direction.scale(L::splat(self.idler.circle_radius)),
            met.margin,
        )
    }

    #[inline(always)]
    pub fn end_rates<L: Lane>(&self, c: L, s: L) -> [V3<L>; 2] {
        let (start, end, _) = self.closed(c, s);
        let v_start = self.crank_end.rate(c, s);
        let swing = V3::splat(self.idler_axis).cross(end - V3::splat(self.idler_foot));
        let span = end - start;
        let v_end = swing.scale(span.dot(v_start) / span.dot(swing));
        let inverse = L::splat(self.inverse_length);
        let [x, y, z] = frame_of(span.scale(inverse), V3::splat(self.crank_axis));
        let tilt = x.cross((v_end - v_start).scale(inverse));
        // The link's third direction stays perpendicular to the crank axis: (ω × y)·k = 0.
        let k = V3::splat(self.crank_axis);
        let roll = -(tilt.cross(y).dot(k) / z.dot(k));
        let omega = tilt + x.scale(roll);
        let points = self.ends(c, s).points;
        [0, 1].map(|i: usize| v_start + omega.cross(points[i] - start))
    }
}

/// Directions (along, third, across) with `across` the part of `axis` perpendicular to `along`.
#[inline(always)]
fn frame_of<L: Lane>(along: V3<L>, axis: V3<L>) -> [V3<L>; 3] {
    let up = axis.across(along).unit();
    [along, up.cross(along), up]
}
