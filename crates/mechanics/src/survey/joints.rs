//! What every joint of the linkage comes to in one pose.

use super::Survey;
use crate::candidate::SIDES;
use crate::joints::degrees_of_cosine;
use crate::link_angles::degrees_of_sine;
use kinematics::Pose;

/// Angles of the joints in one pose, degrees, left side first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointAngles {
    /// Ball joint angles per side: lower, upper.
    pub ball_joint_deg: [[f64; 2]; 2],
    /// Rod-end misalignments per side: inner, outer.
    pub rod_end_deg: [[f64; 2]; 2],
    /// Knuckle angles, negative beyond the dead centre.
    pub knuckle_angle_deg: [f64; 2],
    /// Crank angle margins, negative beyond the in-line position.
    pub crank_angle_margin_deg: [f64; 2],
}

impl Survey<'_> {
    /// The joints in a pose that was solved on this machine.
    pub fn joint_angles(&self, pose: &Pose<f64>) -> JointAngles {
        let candidate = self.candidate();
        let joints = &candidate.joints;
        let angles = &candidate.angles;
        JointAngles {
            ball_joint_deg: SIDES.map(|s| joints.ball_cosines(pose, s).map(degrees_of_cosine)),
            rod_end_deg: SIDES.map(|s| joints.rod_cosines(pose, s).map(degrees_of_cosine)),
            knuckle_angle_deg: SIDES.map(|s| degrees_of_sine(angles.knuckle_sine(pose, s))),
            crank_angle_margin_deg: SIDES.map(|s| degrees_of_sine(angles.crank_sine(pose, s))),
        }
    }
}
