//! Names of the parts.

use crate::Joint;
use core::fmt;
use kinematics::Side;

/// A part that a gap is measured at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The leg of a wishbone that leads to a pivot.
    Leg(Side, Joint),
    /// The rod that turns the knuckle of a side.
    Rod(Side),
    /// The rod between both knuckles.
    CrossRod,
    /// The link from the crank to a knuckle.
    DragLink,
    /// The link from the handlebar's arm to the crank.
    HandlebarLink,
    /// The link between crank and idler.
    CentreLink,
    /// The link from the rocker to a lower wishbone.
    RockerLink(Side),
    /// A front tyre.
    Tyre(Side),
    /// The plane of the spokes of a front wheel.
    Spokes(Side),
    /// The rim of a front wheel.
    Rim(Side),
    /// The hub of a front wheel.
    Hub(Side),
    /// The brake disc of a front wheel.
    BrakeDisc(Side),
    /// The brake caliper on a knuckle.
    Caliper(Side),
    /// The rear tyre.
    RearTyre,
    /// The plane of the rear wheel's spokes.
    RearSpokes,
    /// A box of `Body::boxes` by its index.
    Box(usize),
    /// The ground.
    Ground,
}

/// Two parts that a gap lies between.
pub type Pair = [Part; 2];

impl Part {
    pub(crate) fn mirrored(self) -> Part {
        let other = |side: Side| match side {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
        };
        match self {
            Part::Leg(s, joint) => Part::Leg(other(s), joint),
            Part::Rod(s) => Part::Rod(other(s)),
            Part::RockerLink(s) => Part::RockerLink(other(s)),
            Part::Tyre(s) => Part::Tyre(other(s)),
            Part::Spokes(s) => Part::Spokes(other(s)),
            Part::Rim(s) => Part::Rim(other(s)),
            Part::Hub(s) => Part::Hub(other(s)),
            Part::BrakeDisc(s) => Part::BrakeDisc(other(s)),
            Part::Caliper(s) => Part::Caliper(other(s)),
            middle => middle,
        }
    }
}

impl fmt::Display for Part {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Part::Leg(s, joint) => {
                let leg = match joint {
                    Joint::LowerFrontPivot => "lower front leg",
                    Joint::LowerRearPivot => "lower rear leg",
                    Joint::UpperFrontPivot => "upper front leg",
                    _ => "upper rear leg",
                };
                write!(f, "{s} {leg}")
            }
            Part::Rod(s) => write!(f, "{s} rod"),
            Part::CrossRod => f.write_str("cross rod"),
            Part::DragLink => f.write_str("drag link"),
            Part::HandlebarLink => f.write_str("handlebar's drag link"),
            Part::CentreLink => f.write_str("centre link"),
            Part::RockerLink(s) => write!(f, "{s} rocker link"),
            Part::Tyre(s) => write!(f, "{s} tyre"),
            Part::Spokes(s) => write!(f, "{s} spokes"),
            Part::Rim(s) => write!(f, "{s} rim"),
            Part::Hub(s) => write!(f, "{s} hub"),
            Part::BrakeDisc(s) => write!(f, "{s} brake disc"),
            Part::Caliper(s) => write!(f, "{s} brake caliper"),
            Part::RearTyre => f.write_str("rear tyre"),
            Part::RearSpokes => f.write_str("rear spokes"),
            Part::Box(i) => write!(f, "box {}", i + 1),
            Part::Ground => f.write_str("ground"),
        }
    }
}
