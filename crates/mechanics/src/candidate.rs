//! One machine under evaluation, with what its samples share.

use crate::cable::CableState;
use crate::clearance::{Fitted, Gap, Gaps};
use crate::handlebar::HandlebarAngles;
use crate::joints::{Joints, Tilts};
use crate::link_angles::LinkAngles;
use crate::settings::Inner;
use crate::steering::FrontWheels;
use crate::{Bars, Joint, Stop, Where};
use kinematics::{Drive, Failure, Layout, Linkage, Loop, Pose, Side, Target};

/// Both sides, left first.
pub(crate) const SIDES: [Side; 2] = [Side::Left, Side::Right];

/// Step and end of a sweep of a slider, mm.
const SLIDER_STEP: f64 = 5.0;
const SLIDER_END: f64 = 200.0;

/// A gap that counts as much room as a sine of 1, mm.
const GAP_OF_ONE: f64 = 100.0;

/// A solved pose and what it was asked by: lean and crank angle in radians, travel in mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sample {
    pub lean: f64,
    pub crank: f64,
    pub travel: f64,
    pub pose: Pose<f64>,
}

impl Sample {
    /// Height of a point of the frame above the ground, mm.
    pub fn height_of(&self, point: kinematics::V3<f64>) -> f64 {
        self.pose.up.dot(point) + self.pose.height
    }
}

/// Travel of a slider per radian of the handlebar, mm; `None` on other layouts.
pub(crate) fn slider_rate(linkage: &Linkage, inner: &Inner) -> Option<f64> {
    let rate = inner.fittings.slider_per_handlebar.unwrap_or(1.0);
    matches!(linkage.machine().layout, Layout::Slider).then(|| rate.to_degrees())
}

/// 12° that went through radians reads 12° again; no negative zero.
fn tidy(degrees: f64) -> f64 {
    libm::round(degrees * 1e9) / 1e9 + 0.0
}

/// A machine under evaluation.
pub(crate) struct Candidate<'a> {
    pub linkage: &'a Linkage,
    pub inner: &'a Inner,
    pub angles: LinkAngles,
    /// Of the handlebar's drag link, where there is one.
    pub handlebar: Option<HandlebarAngles>,
    pub joints: Joints,
    /// The pose upright and straight: the design pose, or that at the state's mean travel.
    pub zero: Sample,
    /// Mean travel that is held, mm; `None`: the machine's own coupling.
    pub travel: Option<f64>,
    /// The machine cannot stand at that mean travel.
    pub lost: bool,
    /// The right side mirrors the left, weights included, so half of the poses tell all.
    pub symmetric: bool,
    /// Half of the distance between the front wheel centres in the design pose, mm.
    pub half_track: f64,
    /// Step and end of a sweep of the drive: radians of the crank, mm of a slider.
    pub drive_step: f64,
    pub drive_end: f64,
    /// Steer rates of both wheels per crank angle in the design pose.
    pub rates: [f64; 2],
    /// Mean curvature gained per radian of crank, 1/mm, in the design pose.
    pub curvature_rate: f64,
    /// The sizes of its parts, where they are given.
    pub fitted: Option<Fitted<'a>>,
    /// Stub axle, rods and legs.
    pub bars: &'a Bars,
    /// The cable drive, where it has a path in the design pose.
    pub cable: Option<CableState<'a>>,
}

impl<'a> Candidate<'a> {
    pub fn new(linkage: &'a Linkage, inner: &'a Inner) -> Candidate<'a> {
        Candidate::built(linkage, inner, &Tilts::default())
    }

    /// A machine as built, with what its studs and bolts err by.
    pub fn built(linkage: &'a Linkage, inner: &'a Inner, tilts: &Tilts) -> Candidate<'a> {
        let design = linkage.design_pose();
        let travel = inner.group.travel(linkage, inner.parts.springs.as_ref());
        let settled = travel.map_or(Ok(*design), |h| at_travel(linkage, h));
        let (lost, pose) = (settled.is_err(), settled.unwrap_or(*design));
        let (drive_step, drive_end) = match slider_rate(linkage, inner) {
            Some(rate) if inner.stop_fitted => (SLIDER_STEP, rate * inner.crank_end),
            Some(_) => (SLIDER_STEP, SLIDER_END),
            None => (inner.crank_step, inner.crank_end),
        };
        let straight = Target {
            lean: 0.0,
            steer: 0.0,
            mean_travel: travel,
        };
        let rates = linkage.steer_rates(&pose, &Drive::new(&straight));
        Candidate {
            linkage,
            inner,
            angles: LinkAngles::new(linkage.machine(), design),
            handlebar: HandlebarAngles::new(linkage, design),
            joints: Joints::new(linkage, &inner.fittings, tilts, design, &inner.joint_limits),
            zero: Sample {
                lean: 0.0,
                crank: 0.0,
                travel: travel.unwrap_or(0.0),
                pose,
            },
            travel,
            lost,
            symmetric: crate::symmetry::is_symmetric(linkage.machine())
                && inner.weight_centred()
                && inner.body_centred()
                // Their runs may differ.
                && inner.parts.cable.is_none(),
            half_track: 0.5 * (pose.left.centre.y - pose.right.centre.y),
            drive_step,
            drive_end,
            rates,
            curvature_rate: FrontWheels::of(&pose).curvature_rate(rates),
            fitted: inner.parts.body.as_ref().map(|b| Fitted::new(b, linkage)),
            bars: &inner.parts.bars,
            cable: inner
                .parts
                .cable
                .as_ref()
                .and_then(|cable| CableState::new(linkage, cable, design)),
        }
    }

    /// A lean and a drive at the mean travel that is held.
    pub fn target(&self, lean: f64, steer: f64) -> Target {
        Target {
            lean,
            steer,
            mean_travel: self.travel,
        }
    }

    /// The drive of a crank angle in degrees; of a slider it is the handlebar's angle.
    pub fn drive(&self, shown: f64) -> f64 {
        shown.to_radians() * slider_rate(self.linkage, self.inner).unwrap_or(1.0)
    }

    /// Degrees of the crank for a drive; of a slider those of the handlebar.
    pub fn shown(&self, drive: f64) -> f64 {
        tidy((drive / slider_rate(self.linkage, self.inner).unwrap_or(1.0)).to_degrees())
    }

    /// The upright pose at a drive, on the machine's own coupling.
    pub fn upright(&self, crank: f64) -> Option<Sample> {
        let [straight, to] = [0.0, crank].map(|steer| self.target(0.0, steer));
        let pose = match crank == 0.0 {
            true => self.zero.pose,
            false => self.linkage.advance(&self.zero.pose, &straight, &to).ok()?,
        };
        Some(Sample {
            crank,
            pose,
            ..self.zero
        })
    }

    /// The place of a sample.
    pub fn place(&self, sample: &Sample) -> Where {
        Where {
            lean_deg: tidy(sample.lean.to_degrees()),
            steer_deg: self.shown(sample.crank),
            travel_mm: sample.travel,
            ..Where::default()
        }
    }

    /// How much room is left before the steering stops (dimensionless, ≤ 0 beyond the stop),
    /// and what stops it.
    pub fn steering_room(&self, pose: &Pose<f64>) -> (f64, Stop) {
        let (least, limit) = (self.inner.smallest_transmission_sine, &self.joints);
        let mut room = (f64::INFINITY, Stop::SweepEnd);
        for side in SIDES {
            let knuckle = self.angles.knuckle_sine(pose, side) - least;
            tighten(&mut room, knuckle, Stop::DeadCentre(side));
            let crank = self.angles.crank_sine(pose, side) - least;
            tighten(&mut room, crank, Stop::CrankInLine(side));
        }
        if let Some([crank, arm]) = self.handlebar_sines(pose) {
            tighten(&mut room, crank - least, Stop::HandlebarDeadCentre);
            tighten(&mut room, arm - least, Stop::HandlebarInLine);
        }
        if self.inner.limits_joints() {
            let (joints, stop) = limit.room(pose, self.inner);
            tighten(&mut room, joints, stop);
        }
        self.contact_room(pose, &mut room);
        room
    }

    /// How much room is left before a joint stops the lean, and which.
    pub fn lean_room(&self, pose: &Pose<f64>) -> (f64, Stop) {
        let mut room = match self.inner.limits_joints() {
            true => self.joints.room(pose, self.inner),
            false => (f64::INFINITY, Stop::SweepEnd),
        };
        self.contact_room(pose, &mut room);
        room
    }

    /// The smallest gap of a kind below a cap.
    pub fn gap(&self, pose: &Pose<f64>, gaps: Gaps, cap: f64) -> Gap {
        match &self.fitted {
            Some(fitted) => fitted.smallest(pose, gaps, cap),
            None => Gap::capped(cap),
        }
    }

    /// The room before the first two parts, or a part and the ground, meet.
    fn contact_room(&self, pose: &Pose<f64>, room: &mut (f64, Stop)) {
        let Some(fitted) = &self.fitted else { return };
        let least = fitted.least();
        let gaps = [(Gaps::All, least), (Gaps::Ground, 0.0)];
        for (gaps, least) in gaps {
            let cap = room.0 * GAP_OF_ONE + least;
            let Gap { mm, pair } = fitted.smallest(pose, gaps, cap);
            if let Some(pair) = pair {
                tighten(room, (mm - least) / GAP_OF_ONE, Stop::Contact(pair));
            }
        }
    }
}

/// The pose upright and straight at a mean travel.
fn at_travel(linkage: &Linkage, travel: f64) -> Result<Pose<f64>, Failure> {
    let [from, to] = [0.0, travel].map(|h| Target {
        lean: 0.0,
        steer: 0.0,
        mean_travel: Some(h),
    });
    linkage.advance(linkage.design_pose(), &from, &to)
}

/// Keeps the smaller room and its cause.
pub(crate) fn tighten(room: &mut (f64, Stop), value: f64, stop: Stop) {
    if value < room.0 {
        *room = (value, stop);
    }
}

/// What a failed pose says about the stop.
pub(crate) fn stop_of(failure: Failure) -> Stop {
    match failure {
        // These loops close as long as rod and knuckle arm are not in line.
        Failure::CannotAssemble {
            which: Loop::TieRod(side) | Loop::DragLink(side) | Loop::CrossRod(side),
            ..
        } => Stop::DeadCentre(side),
        Failure::CannotAssemble {
            which: Loop::Handlebar,
            ..
        } => Stop::HandlebarDeadCentre,
        Failure::CannotAssemble { which, .. } => Stop::Assembly(which),
        _ => Stop::Singular,
    }
}

/// A joint of one side as the place of a worst value.
pub(crate) fn at_joint(place: Where, side: Side, joint: Joint) -> Where {
    Where {
        side: Some(side),
        joint: Some(joint),
        ..place
    }
}
