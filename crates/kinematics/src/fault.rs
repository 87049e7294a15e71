//! Named failures: of a drawn machine, and of one pose.

use core::fmt;

/// A side of the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// y > 0.
    Left,
    /// y < 0.
    Right,
}

/// A closed loop of the mechanism.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Loop {
    /// Lower ball joint – knuckle – upper ball joint – upper wishbone.
    UpperWishbone(Side),
    /// Crank – tie rod – knuckle.
    TieRod(Side),
    /// Rocker – link – lower wishbone.
    RockerLink(Side),
    /// Crank – centre link – idler.
    Idler,
    /// Crank – drag link – driven knuckle.
    DragLink(Side),
    /// Handlebar – drag link – crank.
    Handlebar,
    /// Driven knuckle – cross rod – other knuckle (named by that other side).
    CrossRod(Side),
}

/// Why a drawn machine has no design pose to start from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DesignFault {
    /// A coordinate is not a finite number.
    NotFinite,
    /// Both hinge points of a wishbone coincide (`upper`, side).
    HingeHasNoLength {
        /// Upper or lower wishbone.
        upper: bool,
        /// Side.
        side: Side,
    },
    /// A ball joint lies on its own hinge line.
    BallJointOnHinge {
        /// Upper or lower wishbone.
        upper: bool,
        /// Side.
        side: Side,
    },
    /// Upper and lower ball joint coincide: no kingpin.
    NoKingpin(Side),
    /// The rod's outer end lies on the kingpin.
    RodEndOnKingpin(Side),
    /// The rod's inner end lies on the crank axis.
    RodEndOnCrankAxis(Side),
    /// Both ends of a tie rod coincide.
    RodHasNoLength(Side),
    /// The crank axis, a wheel axis or the rocker axis has no direction.
    ZeroAxis,
    /// A wheel's radius or section radius is out of range (0 ≤ section < radius).
    WheelSize,
    /// The rocker's arm has no length, or its axis lies along y.
    RockerShape,
    /// The centre link or the idler has no length, or the link lies along the crank axis.
    CentreLinkShape,
    /// The handlebar's arm, its drag link or the crank's arm to it has no length, or there is
    /// no crank but a slider.
    HandlebarShape,
    /// A loop stands exactly at its dead centre in the design pose, so no branch is chosen.
    AtDeadCentre(Loop),
    /// The design pose itself cannot be solved.
    Unsolvable(Failure),
}

/// Shortfall below which a loop counts as at its dead centre: a pose was followed up to it.
const AT_DEAD_CENTRE: f64 = 0.01;

/// Why a pose cannot be reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Failure {
    /// A loop cannot close; `shortfall` is how far its circle∩sphere is from closing
    /// (dimensionless, > 0).
    CannotAssemble {
        /// Which loop.
        which: Loop,
        /// How far from closing.
        shortfall: f64,
    },
    /// The solution lies on another assembly branch, beyond a singularity.
    BranchChange,
    /// A wheel lies flat: its plane and the ground are parallel.
    LostContact(Side),
    /// Newton's iteration did not converge; `residual` in mm.
    NotConverged {
        /// Largest residual, mm.
        residual: f64,
    },
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Side::Left => "left",
            Side::Right => "right",
        })
    }
}

impl fmt::Display for Loop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Loop::UpperWishbone(s) => write!(f, "{s} upper wishbone"),
            Loop::TieRod(s) => write!(f, "{s} tie rod"),
            Loop::RockerLink(s) => write!(f, "{s} rocker link"),
            Loop::Idler => f.write_str("idler"),
            Loop::Handlebar => f.write_str("handlebar's drag link"),
            Loop::DragLink(s) => write!(f, "drag link to the {s} knuckle"),
            Loop::CrossRod(s) => write!(f, "cross rod to the {s} knuckle"),
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::CannotAssemble { which, shortfall } if *shortfall < AT_DEAD_CENTRE => {
                write!(
                    f,
                    "the {which} comes to its dead centre before the pose is reached"
                )
            }
            Failure::CannotAssemble { which, shortfall } => write!(
                f,
                "the {which} cannot close its loop (short by {shortfall:.3} of its circle)"
            ),
            Failure::BranchChange => {
                f.write_str("the pose lies beyond a singularity, on another assembly branch")
            }
            Failure::LostContact(s) => write!(f, "the {s} wheel lies flat on the ground"),
            Failure::NotConverged { residual } => {
                write!(f, "the pose was not solved (residual {residual:.3e} mm)")
            }
        }
    }
}

impl fmt::Display for DesignFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let arm = |upper: &bool| if *upper { "upper" } else { "lower" };
        match self {
            DesignFault::NotFinite => f.write_str("a coordinate is not a finite number"),
            DesignFault::HingeHasNoLength { upper, side } => {
                write!(
                    f,
                    "the {side} {} wishbone's hinge points coincide",
                    arm(upper)
                )
            }
            DesignFault::BallJointOnHinge { upper, side } => {
                write!(
                    f,
                    "the {side} {} ball joint lies on its own hinge line",
                    arm(upper)
                )
            }
            DesignFault::NoKingpin(s) => {
                write!(f, "the {s} ball joints coincide: there is no kingpin")
            }
            DesignFault::RodEndOnKingpin(s) => {
                write!(f, "the {s} rod's outer end lies on the kingpin")
            }
            DesignFault::RodEndOnCrankAxis(s) => {
                write!(f, "the {s} rod's inner end lies on the crank axis")
            }
            DesignFault::RodHasNoLength(s) => write!(f, "the {s} tie rod's ends coincide"),
            DesignFault::ZeroAxis => f.write_str("an axis has no direction"),
            DesignFault::WheelSize => {
                f.write_str("a wheel's section radius must be at least 0 and below its radius")
            }
            DesignFault::RockerShape => {
                f.write_str("the rocker's arm must be above 0 and its axis must not lie along y")
            }
            DesignFault::CentreLinkShape => f.write_str(
                "the centre link and the idler must have length, and the link must not lie along the crank axis",
            ),
            DesignFault::HandlebarShape => f.write_str(
                "the handlebar's arm, its drag link and the crank's arm to it must have length, and only a crank takes a drag link",
            ),
            DesignFault::AtDeadCentre(l) => {
                write!(f, "the {l} stands at its dead centre in the design pose")
            }
            DesignFault::Unsolvable(why) => write!(f, "the design pose cannot be solved: {why}"),
        }
    }
}

impl std::error::Error for Failure {}
impl std::error::Error for DesignFault {}
