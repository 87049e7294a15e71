//! What braking does to the steering.

use crate::Brake;
use crate::candidate::{Candidate, Sample};
use crate::steering::contact;
use kinematics::{Side, V3};

/// Torque about the kingpin (upwards) per newton of brake force on one wheel, mm:
/// k · ((C − P) × (−h)), with C where the force acts and h the heading.
pub(crate) fn torque(candidate: &Candidate, sample: &Sample, side: Side) -> f64 {
    let pose = &sample.pose;
    let corner = pose.corner(side);
    let acts = match candidate.inner.fittings.brake {
        Brake::Knuckle => corner.contact,
        Brake::Frame => corner.centre,
    };
    let force = -heading(sample, side);
    corner.kingpin.dot((acts - corner.lower).cross(force))
}

fn heading(sample: &Sample, side: Side) -> V3<f64> {
    let [x, y] = sample.pose.corner(side).heading;
    sample.pose.ground_x.scale(x) + sample.pose.ground_y.scale(y)
}

/// Handlebar torque per newton on one wheel, mm (N·m per kN), wishbones held still; signed as
/// the handlebar turns.
pub(crate) fn handlebar_arm(candidate: &Candidate, sample: &Sample, side: Side) -> f64 {
    let pose = &sample.pose;
    let ratio = candidate.knuckle_per_drive(pose, side);
    torque(candidate, sample, side) * ratio / candidate.handlebar_per_drive(sample)
}

/// Yaw moment about the centre of gravity per newton on one wheel, mm (N·m per kN).
pub(crate) fn yaw_arm(candidate: &Candidate, sample: &Sample, side: Side) -> f64 {
    let Some(masses) = candidate.inner.fittings.masses else {
        return 0.0;
    };
    let pose = &sample.pose;
    let centre = masses.centre_of_gravity - pose.rear_contact;
    let centre = [centre.dot(pose.ground_x), centre.dot(pose.ground_y)];
    let [x, y] = contact(pose, side);
    let [cosine, sine] = pose.corner(side).heading;
    -((x - centre[0]) * sine - (y - centre[1]) * cosine)
}
