//! Solved poses on the wire.

use crate::answer::JointName;
use crate::convert::{self, slider_rate};
use crate::fault::{Fault, figure};
use crate::job::Reach;
use crate::parse::assembles;
use crate::posed::{CornerAnswer, FramePose, PoseAnswer, PoseError, PoseQuestion, RearAnswer};
use crate::posed_parts::{JointState, TransmissionState};
use crate::vehicle::{LeanCoupling, Point, Vehicle};
use kinematics::{CornerPose, Linkage, Pose, Side, Target, V3};
use mechanics::{JointAngles, Settings, Survey};

/// Farthest lean of a pose question, degrees.
const FARTHEST_LEAN: f64 = 80.0;
/// Farthest crank angle, degrees.
const FARTHEST_STEER: f64 = 170.0;
/// Farthest travel of a slider, mm.
const FARTHEST_SLIDE: f64 = 300.0;
/// Farthest mean travel, mm.
const FARTHEST_TRAVEL: f64 = 500.0;

/// Solves one pose, following the branch of the design pose.
///
/// # Errors
/// As [`Poser::new`] and [`Poser::solve`].
pub fn pose(vehicle: &Vehicle, question: &PoseQuestion) -> Result<PoseAnswer, PoseError> {
    let faults = check(vehicle, question);
    if !faults.is_empty() {
        return Err(PoseError::Input(faults));
    }
    let poser = Poser::new(vehicle)?;
    poser.solve(question).map(|pose| poser.answer(&pose))
}

/// Solves poses of one vehicle, each following the branch of the design pose.
#[derive(Clone, Debug)]
pub struct Poser {
    vehicle: Vehicle,
    linkage: Linkage,
    settings: Settings,
}

impl Poser {
    /// Assembles the vehicle.
    ///
    /// # Errors
    /// [`PoseError::Input`] where it does not assemble.
    pub fn new(vehicle: &Vehicle) -> Result<Poser, PoseError> {
        assembles(vehicle, "").map_err(PoseError::Input)?;
        let linkage = Linkage::new(&convert::machine(vehicle));
        Ok(Poser {
            linkage: linkage.map_err(|why| PoseError::Unreachable(why.to_string()))?,
            settings: convert::settings(vehicle, &Reach::default()),
            vehicle: vehicle.clone(),
        })
    }

    /// The machine.
    pub fn linkage(&self) -> &Linkage {
        &self.linkage
    }

    /// Sizes of the parts and boxes on the frame, where the vehicle gives them.
    pub fn body(&self) -> Option<&mechanics::Body> {
        self.settings.parts.body.as_ref()
    }

    /// Its cable drive.
    pub fn cable(&self) -> Option<&mechanics::CableDrive> {
        self.settings.parts.cable.as_ref()
    }

    /// In frame axes, mm; none without masses.
    pub fn centre_of_gravity(&self) -> Option<V3<f64>> {
        let masses = self.settings.fittings.masses.as_ref()?;
        Some(masses.centre_of_gravity)
    }

    /// Solves one pose.
    ///
    /// # Errors
    /// [`PoseError::Input`] where the question is out of range, or asks a machine with a rocker for
    /// mean travel together with lean or steer; [`PoseError::Unreachable`] names what fails.
    pub fn solve(&self, question: &PoseQuestion) -> Result<Pose<f64>, PoseError> {
        let faults = check(&self.vehicle, question);
        if !faults.is_empty() {
            return Err(PoseError::Input(faults));
        }
        let target = Target {
            lean: question.lean_deg.to_radians(),
            steer: drive(&self.vehicle, question),
            // Travel disconnects a rocker; a travel of 0 asks for nothing and leaves it connected.
            mean_travel: question.mean_travel_mm.filter(|travel| *travel != 0.0),
        };
        let solved = self.linkage.pose(&target);
        solved.map_err(|why| PoseError::Unreachable(why.to_string()))
    }

    /// A pose on the wire, without its parts.
    pub fn answer(&self, pose: &Pose<f64>) -> PoseAnswer {
        answer(pose)
    }

    /// Joints of a pose solved here, left side first, and its transmission angles.
    pub fn joints(&self, pose: &Pose<f64>) -> (Vec<JointState>, Vec<TransmissionState>) {
        let Ok(survey) = Survey::new(&self.linkage, &self.settings) else {
            return Default::default();
        };
        let found = survey.joint_angles(pose);
        let joints = [Side::Left, Side::Right].map(|side| self.joints_of(pose, side, &found));
        let transmissions = [Side::Left, Side::Right].map(|side| TransmissionState {
            side: convert::side_name(side),
            knuckle_deg: found.knuckle_angle_deg[side as usize],
            crank_deg: found.crank_angle_margin_deg[side as usize],
            least_deg: self.settings.smallest_transmission_deg,
        });
        (joints.concat(), transmissions.to_vec())
    }

    fn joints_of(&self, pose: &Pose<f64>, side: Side, found: &JointAngles) -> [JointState; 4] {
        let corner = pose.corner(side);
        let [lower, upper] = found.ball_joint_deg[side as usize];
        let [inner, outer] = found.rod_end_deg[side as usize];
        let (ball, rod) = (
            self.settings.ball_joint_limit_deg,
            self.settings.rod_end_limit_deg,
        );
        [
            (JointName::LowerBall, corner.lower, lower, ball),
            (JointName::UpperBall, corner.upper, upper, ball),
            (JointName::InnerRodEnd, corner.rod_inner, inner, rod),
            (JointName::OuterRodEnd, corner.rod_outer, outer, rod),
        ]
        .map(|(joint, at, angle_deg, limit_deg)| JointState {
            joint,
            side: convert::side_name(side),
            at_mm: on_ground(pose, at),
            angle_deg,
            limit_deg,
            margin_deg: limit_deg.map(|limit| limit - angle_deg),
        })
    }
}

/// A point of the frame on the ground's axes.
fn on_ground(pose: &Pose<f64>, p: V3<f64>) -> Point {
    [
        pose.ground_x.dot(p),
        pose.ground_y.dot(p),
        pose.up.dot(p) + pose.height,
    ]
}

/// The drive of the steering: radians of the crank, mm of a slider.
fn drive(vehicle: &Vehicle, question: &PoseQuestion) -> f64 {
    match (slider_rate(&vehicle.steering), question.steer_mm) {
        (Some(_), Some(travel)) => travel,
        (Some(rate), None) => rate * question.steer_deg,
        (None, _) => question.steer_deg.to_radians(),
    }
}

/// `steer_mm` stands only on a slider machine and only alone.
fn check_slide(vehicle: &Vehicle, question: &PoseQuestion) -> Option<Fault> {
    let travel = question.steer_mm?;
    let slides = slider_rate(&vehicle.steering).is_some();
    let (message, allowed) = match (slides, question.steer_deg == 0.0) {
        (true, true) => return None,
        (true, false) => (
            "the slider is given both a travel and a handlebar angle".to_owned(),
            "one of steer_mm and steer_deg",
        ),
        (false, _) => (
            format!("a {} has no slider to move", vehicle.steering.layout()),
            "steer_deg, the crank's angle; steer_mm with \"slider\" only",
        ),
    };
    Some(Fault {
        pointer: "/steer_mm".into(),
        message,
        value: figure(travel),
        allowed: allowed.into(),
    })
}

fn check(vehicle: &Vehicle, question: &PoseQuestion) -> Vec<Fault> {
    let travel = question.mean_travel_mm.unwrap_or(0.0);
    let slide = question.steer_mm.unwrap_or(0.0);
    let mut faults: Vec<Fault> = [
        ("lean_deg", question.lean_deg, FARTHEST_LEAN, "degrees"),
        ("steer_deg", question.steer_deg, FARTHEST_STEER, "degrees"),
        ("steer_mm", slide, FARTHEST_SLIDE, "mm"),
        ("mean_travel_mm", travel, FARTHEST_TRAVEL, "mm"),
    ]
    .into_iter()
    .filter(|(_, value, farthest, _)| value.is_nan() || value.abs() > *farthest)
    .map(|(field, value, farthest, unit)| Fault {
        pointer: format!("/{field}"),
        message: "the number is out of range".into(),
        value: figure(value),
        allowed: format!("from -{farthest} to {farthest} {unit}"),
    })
    .collect();
    let rocker = matches!(vehicle.lean_coupling, LeanCoupling::Rocker(_));
    faults.extend(check_slide(vehicle, question));
    let turned = question.lean_deg != 0.0 || question.steer_deg != 0.0 || slide != 0.0;
    if rocker && turned && travel != 0.0 {
        faults.push(Fault {
            pointer: "/mean_travel_mm".into(),
            message: "on a machine with a rocker, mean travel is fixed by lean and steer".into(),
            value: figure(travel),
            allowed: "no mean travel together with lean or steer".into(),
        });
    }
    faults
}

fn answer(pose: &Pose<f64>) -> PoseAnswer {
    let [x, y] = pose.rear_contact_ground;
    PoseAnswer {
        frame: FramePose {
            height_change_mm: pose.height,
            pitch_deg: libm::atan2(pose.pitch[0], pose.pitch[1]).to_degrees(),
        },
        left: corner(&pose.left, pose.steer_angle(Side::Left)),
        right: corner(&pose.right, pose.steer_angle(Side::Right)),
        rear: RearAnswer {
            contact_mm: [x, y, 0.0],
        },
        parts: None,
    }
}

fn corner(corner: &CornerPose<f64>, heading: f64) -> CornerAnswer {
    let [x, y] = corner.contact_ground;
    CornerAnswer {
        contact_mm: [x, y, 0.0],
        heading_deg: heading.to_degrees(),
        inclination_deg: libm::asin(corner.inclination_sin.clamp(-1.0, 1.0)).to_degrees(),
        wheel_centre_mm: corner.centre.to_array(),
        lower_ball_joint_mm: corner.lower.to_array(),
        upper_ball_joint_mm: corner.upper.to_array(),
        rod_outer_mm: corner.rod_outer.to_array(),
    }
}
