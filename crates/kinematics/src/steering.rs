//! From the drive to the rod ends that it moves, one closed form per layout.

use crate::centre_link::CentreLink;
use crate::knuckle::SMALLEST_MM;
use crate::{Axis, DesignFault, Drive, Lane, Layout, Machine, Side, V3};

/// A point turning about a fixed axis: foot on the axis, radius vector, axis × radius vector.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Turning {
    pub foot: V3<f64>,
    pub reach: V3<f64>,
    pub aside: V3<f64>,
}

impl Turning {
    /// `None` where the point lies on the axis.
    pub fn new(axis: &UnitAxis, point: V3<f64>) -> Option<Turning> {
        let reach = (point - axis.point).across(axis.direction);
        let aside = axis.direction.cross(reach);
        (reach.norm() >= SMALLEST_MM).then_some(Turning {
            foot: point - reach,
            reach,
            aside,
        })
    }
    #[inline(always)]
    pub fn at<L: Lane>(&self, cosine: L, sine: L) -> V3<L> {
        V3::splat(self.foot)
            + V3::splat(self.reach).scale(cosine)
            + V3::splat(self.aside).scale(sine)
    }
    #[inline(always)]
    pub fn rate<L: Lane>(&self, cosine: L, sine: L) -> V3<L> {
        V3::splat(self.aside).scale(cosine) - V3::splat(self.reach).scale(sine)
    }
}

/// An axis with a unit direction.
pub(crate) struct UnitAxis {
    pub point: V3<f64>,
    pub direction: V3<f64>,
}

pub(crate) fn unit_axis(axis: &Axis) -> Result<UnitAxis, DesignFault> {
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

    /// Ends of the centre link at sine and cosine of the crank angle.
    pub fn centre_link<L: Lane>(&self, [s, c]: [L; 2]) -> Option<[V3<L>; 2]> {
        let Driver::CentreLink(link) = self else {
            return None;
        };
        let (start, end, _) = link.closed(c, s);
        Some([start, end])
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
