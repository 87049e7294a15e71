//! From the drive to the rod ends that it moves, one closed form per layout.

use crate::circle::LoopShape;
use crate::knuckle::SMALLEST_MM;
use crate::{Axis, DesignFault, Drive, Lane, Layout, Loop, Machine, Side, V3};

/// A point turning about a fixed axis: foot on the axis, radius vector, axis × radius vector.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Turning {
    foot: V3<f64>,
    reach: V3<f64>,
    aside: V3<f64>,
}

impl Turning {
    /// `None` where the point lies on the axis.
    fn new(axis: &UnitAxis, point: V3<f64>) -> Option<Turning> {
        let reach = (point - axis.point).across(axis.direction);
        let aside = axis.direction.cross(reach);
        (reach.norm() >= SMALLEST_MM).then_some(Turning {
            foot: point - reach,
            reach,
            aside,
        })
    }
    #[inline(always)]
    fn at<L: Lane>(&self, cosine: L, sine: L) -> V3<L> {
        V3::splat(self.foot)
            + V3::splat(self.reach).scale(cosine)
            + V3::splat(self.aside).scale(sine)
    }
    #[inline(always)]
    fn rate<L: Lane>(&self, cosine: L, sine: L) -> V3<L> {
        V3::splat(self.aside).scale(cosine) - V3::splat(self.reach).scale(sine)
    }
}

struct UnitAxis {
    point: V3<f64>,
    direction: V3<f64>,
}

fn unit_axis(axis: &Axis) -> Result<UnitAxis, DesignFault> {
    let size = axis.direction.norm();
    if size.is_nan() || size < 1e-9 {
        return Err(DesignFault::ZeroAxis);
    }
    Ok(UnitAxis {
        point: axis.point,
        direction: axis.direction.scale(1.0 / size),
    })
}

/// The driver of the steering, prepared.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Driver {
    /// Two rod ends on one crank.
    Crank([Turning; 2]),
    /// Two rod ends on a rail.
    Rail {
        ends: [V3<f64>; 2],
        direction: V3<f64>,
    },
    /// Two rod ends on the centre link between crank and idler.
    CentreLink(CentreLink),
    /// A drag link to the knuckle of `driven`; the cross rod carries on to the other.
    /// `cross` is the cross rod's end in the coordinates of the driven knuckle.
    DragLink {
        driven: usize,
        end: Turning,
        cross: [f64; 3],
    },
}

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

/// Rod ends at the driver's side of the rods.
#[derive(Clone, Copy)]
pub(crate) struct Ends<L> {
    /// Left and right; for a drag link only the driven side's is meant.
    pub points: [V3<L>; 2],
    /// Margin of the driver's own loop; 1 where it has none.
    pub margin: L,
}

impl Driver {
    pub fn new(machine: &Machine) -> Result<Driver, DesignFault> {
        let axis = unit_axis(&machine.crank)?;
        let inner = [machine.left.rod_inner, machine.right.rod_inner];
        let on_crank =
            |point, side| Turning::new(&axis, point).ok_or(DesignFault::RodEndOnCrankAxis(side));
        Ok(match &machine.layout {
            Layout::CentreCrank => Driver::Crank([
                on_crank(inner[0], Side::Left)?,
                on_crank(inner[1], Side::Right)?,
            ]),
            Layout::Slider => Driver::Rail {
                ends: inner,
                direction: axis.direction,
            },
            Layout::IdlerParallelogram {
                idler,
                crank_end,
                idler_end,
            } => {
                let crank = on_crank(*crank_end, Side::Left)?;
                Driver::CentreLink(CentreLink::new(
                    &axis,
                    crank,
                    &unit_axis(idler)?,
                    *idler_end,
                    inner,
                )?)
            }
            Layout::CrossRod {
                driven, drag_inner, ..
            } => Driver::DragLink {
                driven: *driven as usize,
                end: on_crank(*drag_inner, *driven)?,
                cross: [0.0; 3], // set by the linkage once the driven knuckle is prepared
            },
        })
    }

    /// Rod ends at the drive.
    #[inline(always)]
    pub fn ends<L: Lane>(&self, drive: &Drive<L>) -> Ends<L> {
        let (c, s) = (drive.steer_cos, drive.steer_sin);
        let whole = L::splat(1.0);
        match self {
            Driver::Crank(ends) => Ends {
                points: [ends[0].at(c, s), ends[1].at(c, s)],
                margin: whole,
            },
            Driver::Rail { ends, direction } => {
                let moved = V3::splat(*direction).scale(drive.steer);
                Ends {
                    points: [V3::splat(ends[0]) + moved, V3::splat(ends[1]) + moved],
                    margin: whole,
                }
            }
            Driver::CentreLink(link) => link.ends(c, s),
            Driver::DragLink { end, .. } => Ends {
                points: [end.at(c, s); 2],
                margin: whole,
            },
        }
    }

    /// Their velocities per unit of the drive (radian of the crank, mm of the rail).
    #[inline(always)]
    pub fn end_rates<L: Lane>(&self, drive: &Drive<L>) -> [V3<L>; 2] {
        let (c, s) = (drive.steer_cos, drive.steer_sin);
        match self {
            Driver::Crank(ends) => [ends[0].rate(c, s), ends[1].rate(c, s)],
            Driver::Rail { direction, .. } => [V3::splat(*direction); 2],
            Driver::CentreLink(link) => link.end_rates(c, s),
            Driver::DragLink { end, .. } => [end.rate(c, s); 2],
        }
    }

    /// A cross rod joins the knuckles.
    #[inline(always)]
    pub fn is_cross(&self) -> bool {
        matches!(self, Driver::DragLink { .. })
    }

    /// Index of the corner that is solved first, and of the other.
    #[inline(always)]
    pub fn order(&self) -> (usize, usize) {
        match self {
            Driver::DragLink { driven, .. } => (*driven, 1 - *driven),
            _ => (0, 1),
        }
    }

    /// The cross rod's end in the coordinates of the driven knuckle; zero without one.
    #[inline(always)]
    pub fn cross_end(&self) -> [f64; 3] {
        match self {
            Driver::DragLink { cross, .. } => *cross,
            _ => [0.0; 3],
        }
    }
}

impl CentreLink {
    fn new(
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
    fn ends<L: Lane>(&self, c: L, s: L) -> Ends<L> {
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
    fn closed<L: Lane>(&self, c: L, s: L) -> (V3<L>, V3<L>, L) {
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
    fn end_rates<L: Lane>(&self, c: L, s: L) -> [V3<L>; 2] {
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
