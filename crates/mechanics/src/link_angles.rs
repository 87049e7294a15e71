//! How far rod and arms are from lying in line, and what the crank does to the knuckles.

use crate::candidate::SIDES;
use kinematics::{Machine, Pose, Side, V3};

/// The crank axis and the signs that the angles have in the design pose.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LinkAngles {
    axis: V3<f64>,
    point: V3<f64>,
    knuckle_sign: [f64; 2],
    crank_sign: [f64; 2],
}

/// k · (â × r̂) for the arm from the axis (through `point` along the unit `k`) to `end`.
fn in_line_sine(k: V3<f64>, point: V3<f64>, end: V3<f64>, rod: V3<f64>) -> f64 {
    let arm = (end - point).across(k);
    k.dot(arm.cross(rod)) / (arm.norm() * rod.norm())
}

fn rod(pose: &Pose<f64>, side: Side) -> V3<f64> {
    let corner = pose.corner(side);
    corner.rod_outer - corner.rod_inner
}

impl LinkAngles {
    pub fn new(machine: &Machine, design: &Pose<f64>) -> LinkAngles {
        let mut angles = LinkAngles {
            axis: machine.crank.direction.unit(),
            point: machine.crank.point,
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
        let c = pose.corner(side);
        self.knuckle_sign[side as usize]
            * in_line_sine(c.kingpin, c.lower, c.rod_outer, rod(pose, side))
    }

    /// Sine of the crank angle margin: positive on the design side of the in-line position.
    pub fn crank_sine(&self, pose: &Pose<f64>, side: Side) -> f64 {
        let c = pose.corner(side);
        self.crank_sign[side as usize]
            * in_line_sine(self.axis, self.point, c.rod_inner, rod(pose, side))
    }

    /// Turn of the knuckle about its kingpin per turn of the crank, wishbones held still: the
    /// rod keeps its length, so both ends move alike along it.
    pub fn knuckle_per_crank(&self, pose: &Pose<f64>, side: Side) -> f64 {
        let c = pose.corner(side);
        let rod = rod(pose, side);
        let moved =
            |k: V3<f64>, point: V3<f64>, end: V3<f64>| k.dot((end - point).across(k).cross(rod));
        moved(self.axis, self.point, c.rod_inner) / moved(c.kingpin, c.lower, c.rod_outer)
    }
}

/// An angle from its sine, degrees.
pub(crate) fn degrees_of_sine(sine: f64) -> f64 {
    libm::asin(sine.clamp(-1.0, 1.0)).to_degrees()
}
