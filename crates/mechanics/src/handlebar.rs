//! How far the handlebar's drag link is from lying in line with its arms.

use crate::link_angles::in_line_sine;
use kinematics::{Axis, Linkage, Pose, V3};

/// The axes about which both ends of the link turn, and the signs of the design pose.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HandlebarAngles {
    /// Crank, then handlebar: unit direction and a point.
    about: [[V3<f64>; 2]; 2],
    sign: [f64; 2],
}

impl HandlebarAngles {
    /// `None` where the handlebar is the crank.
    pub fn new(linkage: &Linkage, design: &Pose<f64>) -> Option<HandlebarAngles> {
        let machine = linkage.machine();
        let line = |axis: &Axis| [axis.direction.unit(), axis.point];
        let mut angles = HandlebarAngles {
            about: [line(&machine.crank), line(&machine.handlebar?.axis)],
            sign: [1.0; 2],
        };
        angles.sign = angles
            .sines(linkage, design)
            .map(|sine| if sine < 0.0 { -1.0 } else { 1.0 });
        Some(angles)
    }

    /// Sines of the angles at the crank and at the handlebar, positive on the design side.
    pub fn sines(&self, linkage: &Linkage, pose: &Pose<f64>) -> [f64; 2] {
        let Some([arm_end, crank_end]) = linkage.handlebar_link(pose) else {
            return [1.0; 2];
        };
        let link = crank_end - arm_end;
        let sine = |end: usize, at: V3<f64>| {
            let [along, on] = self.about[end];
            self.sign[end] * in_line_sine(along, on, at, link)
        };
        [sine(0, crank_end), sine(1, arm_end)]
    }
}
