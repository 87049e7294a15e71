//! From the handlebar to the steering: what it turns per unit of the drive, and how far its drag
//! link is from lying in line with its arms.

use crate::cable::{CableState, Cables, Driven};
use crate::candidate::{Candidate, Sample, slider_rate};
use crate::link_angles::in_line_sine;
use kinematics::{Axis, Drive, Linkage, Pose, Side, V3};

/// Half step of differences over the crank, radians.
const CABLE_STEP: f64 = 1e-3;
/// Steer rates below this count as no steering, so that a ratio stays finite.
const SMALLEST_RATE: f64 = 1e-6;

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

impl<'a> Candidate<'a> {
    /// Turn of a knuckle about its kingpin per unit of the drive, wishbones held still.
    pub fn knuckle_per_drive(&self, pose: &Pose<f64>, side: Side) -> f64 {
        self.angles.knuckle_per_crank(pose, side) * self.linkage.crank_per_handlebar(pose)
    }

    /// Handlebar angle, radians, per unit of the drive: a radian of the crank, a mm of a slider.
    /// Behind a drag link the drive is the handlebar's angle itself.
    /// Cables turn it by their sheaves' radii, or as their paths to the knuckles say.
    pub fn handlebar_per_drive(&self, sample: &Sample) -> f64 {
        if let Some(cable) = &self.inner.parts.cable {
            return match cable.driven {
                Driven::Crank(radius) => radius / cable.handlebar.radius,
                Driven::Knuckles(..) => self.handlebar_over_cables(sample),
            };
        }
        match slider_rate(self.linkage, self.inner) {
            Some(rate) => 1.0 / rate,
            None if self.handlebar.is_some() => 1.0,
            None => self.inner.fittings.handlebar_per_crank.unwrap_or(1.0),
        }
    }

    /// The same over cables to the knuckles, by a central difference over the crank; 1 where they
    /// have no path.
    fn handlebar_over_cables(&self, sample: &Sample) -> f64 {
        let at = |step: f64| {
            let target = self.target(sample.lean, sample.crank + step);
            let pose = self.linkage.solve(&Drive::new(&target), &sample.pose);
            let (state, cables) = self.cables(&Sample { pose, ..*sample })?;
            pose.solved.then(|| state.handlebar(&cables))
        };
        match at(CABLE_STEP).zip(at(-CABLE_STEP)) {
            Some((high, low)) => ((high - low) / (2.0 * CABLE_STEP)).abs(),
            None => 1.0,
        }
    }

    /// The cables in a pose; `None` without a cable drive, or where one runs through a sheave.
    pub fn cables(&self, sample: &Sample) -> Option<(&CableState<'a>, Cables)> {
        let state = self.cable.as_ref()?;
        Some((state, state.in_pose(self.linkage, &sample.pose)?))
    }

    /// Handlebar angle per mean steer angle of the front wheels, a magnitude.
    pub fn steering_ratio(&self, sample: &Sample) -> f64 {
        let drive = Drive::new(&self.target(sample.lean, sample.crank));
        let [left, right] = self.linkage.steer_rates(&sample.pose, &drive);
        self.handlebar_per_drive(sample) / (0.5 * (left + right)).abs().max(SMALLEST_RATE)
    }

    /// Sines of the angles at both ends of the handlebar's drag link, at the crank first.
    pub fn handlebar_sines(&self, pose: &Pose<f64>) -> Option<[f64; 2]> {
        self.handlebar
            .map(|angles| angles.sines(self.linkage, pose))
    }
}
