//! Where a value is taken, and what stopped the machine there.

use crate::{Pair, Part};
use core::fmt;
use kinematics::{Loop, Side};

/// Where a value is taken.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Where {
    /// Lean, degrees, ISO roll: positive leans right.
    pub lean_deg: f64,
    /// Crank angle, degrees, right-handed about the crank axis; of a slider, and behind a drag link,
    /// the handlebar's.
    pub steer_deg: f64,
    /// Mean travel, mm, positive when the wheels rise.
    pub travel_mm: f64,
    /// The side, where one side is meant.
    pub side: Option<Side>,
    /// The joint, where one joint is meant.
    pub joint: Option<Joint>,
    /// What stopped the steering or the lean, where the value is taken at a stop.
    pub stop: Option<Stop>,
    /// Index of the load case, where one is meant.
    pub case: Option<usize>,
    /// Index of the state of loading, where one is meant: 0 is that of the fittings.
    pub state: Option<usize>,
    /// Index of the spot of the stub axle, where one is meant.
    pub spot: Option<usize>,
    /// The two parts between which a gap is meant.
    pub between: Option<Pair>,
}

impl Where {
    /// The same place on the mirrored machine.
    pub(crate) fn mirrored(self) -> Where {
        Where {
            lean_deg: -self.lean_deg + 0.0,
            steer_deg: -self.steer_deg + 0.0,
            side: self.side.map(other),
            stop: self.stop.map(Stop::mirrored),
            between: self.between.map(|pair| pair.map(Part::mirrored)),
            ..self
        }
    }
}

fn other(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
    }
}

/// A joint of one side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Joint {
    /// Ball joint of the lower wishbone.
    LowerBall,
    /// Ball joint of the upper wishbone.
    UpperBall,
    /// Rod end on the crank.
    InnerRodEnd,
    /// Rod end on the knuckle.
    OuterRodEnd,
    /// The drag link's end on the crank.
    DragLinkInner,
    /// The drag link's end on the knuckle.
    DragLinkOuter,
    /// The end of the handlebar's drag link on the handlebar's arm.
    HandlebarLinkArm,
    /// The end of the handlebar's drag link on the crank.
    HandlebarLinkCrank,
    /// Front pivot of the lower wishbone, or the leg that leads to it.
    LowerFrontPivot,
    /// Rear pivot of the lower wishbone, or its leg.
    LowerRearPivot,
    /// Front pivot of the upper wishbone, or its leg.
    UpperFrontPivot,
    /// Rear pivot of the upper wishbone, or its leg.
    UpperRearPivot,
}

/// The first thing that stops a steering or a lean sweep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stop {
    /// The rod comes into line with the knuckle arm (within the smallest transmission angle).
    DeadCentre(Side),
    /// The rod comes into line with the crank arm (within the smallest transmission angle).
    CrankInLine(Side),
    /// The wheel turns back while the crank goes on.
    Reversal(Side),
    /// A joint reaches its limit.
    JointLimit(Side, Joint),
    /// Two parts, or a part and the ground, come as close as they may.
    Contact(Pair),
    /// A joint of a link that belongs to no side reaches its limit.
    LinkJointLimit(Joint),
    /// The handlebar's drag link comes into line with the crank's arm (within the smallest
    /// transmission angle).
    HandlebarDeadCentre,
    /// The handlebar's drag link comes into line with the handlebar's arm (likewise).
    HandlebarInLine,
    /// The stop angle of the crank that the machine is given.
    StopAngle,
    /// A loop cannot close any further.
    Assembly(Loop),
    /// The mechanism reaches a singularity beyond which another branch lies.
    Singular,
    /// Nothing stopped the sweep before its own end.
    SweepEnd,
}

impl Stop {
    fn mirrored(self) -> Stop {
        match self {
            Stop::DeadCentre(s) => Stop::DeadCentre(other(s)),
            Stop::CrankInLine(s) => Stop::CrankInLine(other(s)),
            Stop::Reversal(s) => Stop::Reversal(other(s)),
            Stop::JointLimit(s, joint) => Stop::JointLimit(other(s), joint),
            Stop::Contact(pair) => Stop::Contact(pair.map(Part::mirrored)),
            Stop::Assembly(Loop::UpperWishbone(s)) => Stop::Assembly(Loop::UpperWishbone(other(s))),
            Stop::Assembly(Loop::TieRod(s)) => Stop::Assembly(Loop::TieRod(other(s))),
            Stop::Assembly(Loop::RockerLink(s)) => Stop::Assembly(Loop::RockerLink(other(s))),
            same => same,
        }
    }
}

impl fmt::Display for Joint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Joint::LowerBall => "lower ball joint",
            Joint::UpperBall => "upper ball joint",
            Joint::InnerRodEnd => "inner rod end",
            Joint::OuterRodEnd => "outer rod end",
            Joint::DragLinkInner => "drag link's end on the crank",
            Joint::DragLinkOuter => "drag link's end on the knuckle",
            Joint::HandlebarLinkArm => "handlebar link's end on the handlebar's arm",
            Joint::HandlebarLinkCrank => "handlebar link's end on the crank",
            Joint::LowerFrontPivot => "lower front pivot",
            Joint::LowerRearPivot => "lower rear pivot",
            Joint::UpperFrontPivot => "upper front pivot",
            Joint::UpperRearPivot => "upper rear pivot",
        })
    }
}

impl fmt::Display for Stop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stop::DeadCentre(s) => write!(f, "{s} rod in line with its knuckle arm"),
            Stop::CrankInLine(s) => write!(f, "{s} rod in line with the crank arm"),
            Stop::Reversal(s) => write!(f, "{s} wheel turns back while the crank goes on"),
            Stop::JointLimit(s, joint) => write!(f, "{s} {joint} at its limit"),
            Stop::Contact([a, b]) => write!(f, "{a} meets {b}"),
            Stop::LinkJointLimit(joint) => write!(f, "{joint} at its limit"),
            Stop::HandlebarDeadCentre => {
                f.write_str("handlebar's drag link in line with the crank arm")
            }
            Stop::HandlebarInLine => {
                f.write_str("handlebar's drag link in line with the handlebar's arm")
            }
            Stop::StopAngle => f.write_str("stop angle of the crank"),
            Stop::Assembly(which) => write!(f, "{which} cannot close any further"),
            Stop::Singular => f.write_str("mechanism at a singularity"),
            Stop::SweepEnd => f.write_str("nothing before the end of the sweep"),
        }
    }
}
