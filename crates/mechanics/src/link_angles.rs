//! How far rods and arms are from lying in line, and what the drive does to the knuckles.
//!
//! Every rod has a moved end and a moving end. Its knuckle angle is taken about the kingpin it
//! moves; the angle at its other end about whatever moves it: the crank axis, the rail, the
//! centre link (taken as carried along parallel to itself, which is exact for a parallelogram),
//! or for a cross rod the driven kingpin.

use crate::candidate::SIDES;
use kinematics::{Layout, Machine, Pose, Side, V3};

/// What moves the inner end of a rod.
#[derive(Clone, Copy, Debug)]
enum Mover {
    /// A turn about an axis through a point.
    Turn { axis: V3<f64>, point: V3<f64> },
    /// A rail along a unit direction.
    Rail(V3<f64>),
    /// The drag link to this side's knuckle.
    DragLink { axis: V3<f64>, point: V3<f64> },
    /// The cross rod from the other, driven knuckle.
    OtherKnuckle,
}

/// The movers of both sides and the signs that the angles have in the design pose.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LinkAngles {
    movers: [Mover; 2],
    knuckle_sign: [f64; 2],
    crank_sign: [f64; 2],
}

/// Turn of `end` about the axis through `point` along the unit `k`, as seen along the rod:
/// k · (a × r) for the arm a perpendicular to k.
fn pull(k: V3<f64>, point: V3<f64>, end: V3<f64>, rod: V3<f64>) -> f64 {
    k.dot((end - point).across(k).cross(rod))
}

/// The same for unit arm and rod: the sine of the angle from lying in line.
pub(crate) fn in_line_sine(k: V3<f64>, point: V3<f64>, end: V3<f64>, rod: V3<f64>) -> f64 {
    pull(k, point, end, rod) / ((end - point).across(k).norm() * rod.norm())
}

fn other(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
    }
}

impl Mover {
    fn new(machine: &Machine, side: Side) -> Mover {
        let axis = machine.crank.direction.unit();
        let point = machine.crank.point;
        match &machine.layout {
            Layout::CentreCrank => Mover::Turn { axis, point },
            Layout::Slider => Mover::Rail(axis),
            Layout::IdlerParallelogram { crank_end, .. } => Mover::Turn {
                axis,
                point: point + machine.corner(side).rod_inner - *crank_end,
            },
            Layout::CrossRod { driven, .. } if *driven == side => Mover::DragLink { axis, point },
            Layout::CrossRod { .. } => Mover::OtherKnuckle,
        }
    }

    /// Inner and outer end of the rod that moves this side's knuckle.
    fn ends(&self, pose: &Pose<f64>, side: Side) -> [V3<f64>; 2] {
        let corner = pose.corner(side);
        match (self, &pose.drag) {
            (Mover::DragLink { .. }, Some(link)) => [link.inner, link.outer],
            _ => [corner.rod_inner, corner.rod_outer],
        }
    }

    /// Sine of the angle at the inner end, and the pull along the rod per unit of its mover.
    fn inner(&self, pose: &Pose<f64>, side: Side) -> [f64; 2] {
        let [inner, outer] = self.ends(pose, side);
        let rod = outer - inner;
        let about = |k, point| {
            [
                in_line_sine(k, point, inner, rod),
                pull(k, point, inner, rod),
            ]
        };
        match *self {
            Mover::Turn { axis, point } | Mover::DragLink { axis, point } => about(axis, point),
            Mover::Rail(direction) => {
                let pull = direction.dot(rod);
                [pull / rod.norm(), pull]
            }
            Mover::OtherKnuckle => {
                let driven = pose.corner(other(side));
                about(driven.kingpin, driven.lower)
            }
        }
    }
}

impl LinkAngles {
    pub fn new(machine: &Machine, design: &Pose<f64>) -> LinkAngles {
        let mut angles = LinkAngles {
            movers: SIDES.map(|side| Mover::new(machine, side)),
            knuckle_sign: [1.0; 2],
            crank_sign: [1.0; 2],
        };
        let sign = |value: f64| if value < 0.0 { -1.0 } else { 1.0 };
        angles.knuckle_sign = SIDES.map(|s| sign(angles.knuckle_sine(design, s)));
        angles.crank_sign = SIDES.map(|s| sign(angles.crank_sine(design, s)));
        angles
    }

    /// Sine of the knuckle angle: positive on the design side of the dead centre.
    pub fn knuckle_sine(&self, pose: &Pose<f64>, side: Side) -> f64 {
        let corner = pose.corner(side);
        let [inner, outer] = self.movers[side as usize].ends(pose, side);
        self.knuckle_sign[side as usize]
            * in_line_sine(corner.kingpin, corner.lower, outer, outer - inner)
    }

    /// Sine of the angle at the rod's other end: positive on the design side of the in-line
    /// position.
    pub fn crank_sine(&self, pose: &Pose<f64>, side: Side) -> f64 {
        self.crank_sign[side as usize] * self.movers[side as usize].inner(pose, side)[0]
    }

    /// Turn of the knuckle about its kingpin per radian of the crank or mm of a rail, wishbones held still:
    /// a rod keeps its length, so both ends move alike along it.
    pub fn knuckle_per_crank(&self, pose: &Pose<f64>, side: Side) -> f64 {
        let mover = &self.movers[side as usize];
        let corner = pose.corner(side);
        let [inner, outer] = mover.ends(pose, side);
        let ratio =
            mover.inner(pose, side)[1] / pull(corner.kingpin, corner.lower, outer, outer - inner);
        match mover {
            Mover::OtherKnuckle => ratio * self.knuckle_per_crank(pose, other(side)),
            _ => ratio,
        }
    }
}

/// An angle from its sine, degrees.
pub(crate) fn degrees_of_sine(sine: f64) -> f64 {
    libm::asin(sine.clamp(-1.0, 1.0)).to_degrees()
}
