//! One pose of a curve, with every figure that a picture may show.

use crate::candidate::{Candidate, SIDES, Sample};
use crate::joints::degrees_of_cosine;
use crate::link_angles::degrees_of_sine;
use crate::set_up::outward;
use crate::steering::{FrontWheels, contact};
use crate::{Joint, brake, effort};
use kinematics::{Pose, Side};

/// The cables of one pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CablePoint {
    /// Handlebar angle at which both runs are stretched alike, right-handed about its axis.
    pub handlebar_deg: f64,
    /// Change of their mean length since the design pose.
    pub path_change_mm: f64,
    /// How loose the looser run hangs; negative while both are stretched.
    pub slack_mm: f64,
    /// Turn of the handlebar under the hand force.
    pub stretch_deg: f64,
}

/// One pose of a curve. Pairs stand left first. Angles in degrees, lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Lean, ISO roll: positive leans right.
    pub lean_deg: f64,
    /// Crank angle, right-handed about the crank axis; of a slider, and behind a drag link, the
    /// handlebar's.
    pub crank_deg: f64,
    /// Mean travel, positive when the wheels rise.
    pub travel_mm: f64,
    /// Steer angles on the ground against the rear heading, positive left.
    pub steer_deg: [f64; 2],
    /// Toe-in of each wheel: the steer angle turned inwards.
    pub toe_in_deg: [f64; 2],
    /// Inclinations of the wheels, positive top to the right.
    pub inclination_deg: [f64; 2],
    /// Front contacts on the ground from the rear contact, x along the rear heading, y left.
    pub contact_mm: [[f64; 2]; 2],
    /// Mean curvature K of the rear contact's path, 1/m, positive left.
    pub curvature_per_m: f64,
    /// Curvature that each front wheel implies, 1/m; equal when rolling is free of scrub.
    pub implied_curvature_per_m: [f64; 2],
    /// Steering error e, positive when too parallel or too much toe-in.
    pub error_deg: f64,
    /// Slip angles about the turn centre that shares them evenly, positive left.
    pub slip_deg: [f64; 2],
    /// Knuckle angles, negative beyond the dead centre.
    pub knuckle_angle_deg: [f64; 2],
    /// Crank angle margins, negative beyond the in-line position.
    pub crank_angle_margin_deg: [f64; 2],
    /// Angles between the handlebar's drag link and its arms, at the crank first; `None` without.
    pub handlebar_link_deg: Option<[f64; 2]>,
    /// Ball joint angles per side: lower, upper.
    pub ball_joint_deg: [[f64; 2]; 2],
    /// Misalignments of the drag links' ends, that to a knuckle first; empty places without.
    pub link_rod_end_deg: [Option<(Joint, f64)>; 4],
    /// Rod-end misalignments per side: inner, outer.
    pub rod_end_deg: [[f64; 2]; 2],
    /// What the cables do; `None` without cables, or where one has no path.
    pub cables: Option<CablePoint>,
    /// Change of the sideways distance of the front contacts since the design pose.
    pub track_change_mm: f64,
    /// Sideways movement of each front contact since the design pose, positive left.
    pub sideways_scrub_mm: [f64; 2],
    /// Height of the frame's origin above the ground, since the design pose.
    pub height_change_mm: f64,
    /// Pitch of the frame, positive nose down.
    pub pitch_deg: f64,
    /// Handlebar degrees per degree of mean steer.
    pub steering_ratio: f64,
    /// Rise of the centre of gravity against straight at the same lean; `None` without masses.
    pub rise_mm: Option<f64>,
    /// Handlebar torque from that rise, positive when it resists turning away from straight;
    /// `None` without masses, and meaningless off the machine's own coupling.
    pub handlebar_torque_nm: Option<f64>,
    /// Handlebar torque of the side forces in the turn that the lean balances, with the same sign;
    /// `None` without masses.
    pub side_torque_nm: Option<f64>,
    /// Handlebar torque that the tyres take while parked; `None` without masses.
    pub scrub_torque_nm: Option<f64>,
    /// Handlebar torque that friction takes.
    pub friction_nm: f64,
    /// Brake-steer arms, positive when braking turns the wheel outward.
    pub brake_steer_arm_mm: [f64; 2],
}

impl Point {
    pub(super) fn of(candidate: &Candidate, sample: &Sample, straight: &Sample) -> Point {
        let pose = &sample.pose;
        let zero = &candidate.zero.pose;
        let fronts = FrontWheels::of(pose);
        let place = candidate.place(sample);
        let steer = SIDES.map(|s| pose.steer_angle(s).to_degrees());
        let side_y = |p, s| contact(p, s)[1];
        let moved = SIDES.map(|s| side_y(pose, s) - side_y(zero, s));
        let masses = candidate.inner.fittings.masses.is_some();
        let pitch = |p: [f64; 2]| libm::atan2(p[0], p[1]);
        Point {
            lean_deg: place.lean_deg,
            crank_deg: place.steer_deg,
            travel_mm: place.travel_mm,
            steer_deg: steer,
            toe_in_deg: SIDES.map(|s| -outward(s) * steer[s as usize]),
            inclination_deg: SIDES.map(|s| degrees_of_sine(pose.corner(s).inclination_sin)),
            contact_mm: SIDES.map(|s| contact(pose, s)),
            curvature_per_m: fronts.curvature_per_m(),
            implied_curvature_per_m: fronts.implied_curvature_per_m(),
            error_deg: fronts.error_deg(),
            slip_deg: fronts.slip_deg(),
            knuckle_angle_deg: SIDES
                .map(|s| degrees_of_sine(candidate.angles.knuckle_sine(pose, s))),
            crank_angle_margin_deg: SIDES
                .map(|s| degrees_of_sine(candidate.angles.crank_sine(pose, s))),
            handlebar_link_deg: candidate
                .handlebar_sines(pose)
                .map(|sines| sines.map(degrees_of_sine)),
            ball_joint_deg: SIDES.map(|s| {
                candidate
                    .joints
                    .ball_cosines(pose, s)
                    .map(degrees_of_cosine)
            }),
            rod_end_deg: SIDES
                .map(|s| candidate.joints.rod_cosines(pose, s).map(degrees_of_cosine)),
            link_rod_end_deg: link_ends(candidate, pose),
            cables: cables(candidate, sample),
            track_change_mm: moved[Side::Left as usize] - moved[Side::Right as usize],
            sideways_scrub_mm: moved,
            height_change_mm: pose.height - zero.height,
            pitch_deg: pitch(pose.pitch).to_degrees(),
            steering_ratio: candidate.steering_ratio(sample),
            rise_mm: masses.then(|| effort::rise(candidate, sample, straight)),
            handlebar_torque_nm: masses.then(|| effort::torque(candidate, sample)),
            side_torque_nm: masses.then(|| effort::side_torque(candidate, sample)),
            scrub_torque_nm: masses.then(|| effort::scrub(candidate, sample)),
            friction_nm: effort::friction(candidate, sample),
            brake_steer_arm_mm: SIDES.map(|s| outward(s) * brake::torque(candidate, sample, s)),
        }
    }
}

fn link_ends(candidate: &Candidate, pose: &Pose<f64>) -> [Option<(Joint, f64)>; 4] {
    let mut ends = candidate.joints.link_cosines(pose);
    [(); 4].map(|()| ends.next().map(|(joint, c)| (joint, degrees_of_cosine(c))))
}

fn cables(candidate: &Candidate, sample: &Sample) -> Option<CablePoint> {
    let (state, cables) = candidate.cables(sample)?;
    Some(CablePoint {
        handlebar_deg: state.handlebar(&cables).to_degrees(),
        path_change_mm: state.common(&cables),
        slack_mm: state.slack(&cables),
        stretch_deg: state.stretch(&cables).to_degrees(),
    })
}
