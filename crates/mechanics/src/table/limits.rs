//! Linkage angles, turning, joints, lean and track.

use super::{
    DESIGN, DESIGN_OR_STEER, LEAN, LEAN_OR_REACH, LEAN_OR_TRAVEL, Needs, QuantityInfo,
    REACH_OR_LEAN, Unit, Worse, row,
};
use crate::Quantity as Q;

const PRACTICE: &str = "common practice, no source";
const SITE: &str = "the paths and gates the machine has to pass";
const JOINT: &str = "data sheet of the joint";
const MAGNITUDE: &str = "a magnitude, never negative";
const AT_STOP: &str = "at the steering stop; the worse direction, over the leans of the range";

const fn fitted(needs: Needs, mut row: QuantityInfo) -> QuantityInfo {
    row.needs = needs;
    row
}

pub(super) const ROWS: [QuantityInfo; 19] = [
    row(
        Q::KnuckleAngle,
        Unit::Degree,
        REACH_OR_LEAN,
        Worse::Smaller,
        [
            "angle by which rod and knuckle arm are from lying in line: asin|k·(â × r̂)| about the kingpin",
            "negative beyond the dead centre",
            "smallest over the poses and sides; over lean: up to the steering stop at each lean",
            PRACTICE,
        ],
    ),
    row(
        Q::CrankAngleMargin,
        Unit::Degree,
        REACH_OR_LEAN,
        Worse::Smaller,
        [
            "angle by which the rod is from lying in line with what moves its inner end: the crank arm (about the crank axis), square to a rail, or for a cross rod the driven knuckle arm",
            "negative beyond the in-line position",
            "smallest over the poses and sides; over lean: up to the steering stop at each lean",
            PRACTICE,
        ],
    ),
    row(
        Q::TransmissionAngle,
        Unit::Degree,
        REACH_OR_LEAN,
        Worse::Smaller,
        [
            "the smaller of knuckle angle and crank angle margin; with a drag link from the handlebar also the angles between that link and its arms",
            "negative beyond an in-line position",
            "smallest over the poses and sides; over lean: up to the steering stop at each lean",
            PRACTICE,
        ],
    ),
    row(
        Q::TurningRadiusRear,
        Unit::Metre,
        LEAN,
        Worse::Larger,
        [
            "radius of the rear contact's path, 1/K",
            MAGNITUDE,
            AT_STOP,
            SITE,
        ],
    ),
    row(
        Q::TurningRadiusKerb,
        Unit::Metre,
        LEAN,
        Worse::Larger,
        [
            "distance from the turn centre to the outer front contact plus the section radius of its tyre",
            MAGNITUDE,
            AT_STOP,
            SITE,
        ],
    ),
    row(
        Q::TurningRadiusWall,
        Unit::Metre,
        LEAN,
        Worse::Larger,
        [
            "largest distance from the turn centre to any tyre or overhang point",
            MAGNITUDE,
            AT_STOP,
            SITE,
        ],
    ),
    row(
        Q::TurningRadiusInner,
        Unit::Metre,
        LEAN,
        Worse::Larger,
        [
            "smallest distance from the turn centre to any tyre or overhang point",
            MAGNITUDE,
            AT_STOP,
            SITE,
        ],
    ),
    row(
        Q::TurningCutIn,
        Unit::Metre,
        LEAN,
        Worse::Larger,
        [
            "how far the rear tyre or an overhang point runs inside the inner front tyre's path",
            "negative when all of it stays outside that path",
            AT_STOP,
            SITE,
        ],
    ),
    row(
        Q::WheelLock,
        Unit::Degree,
        LEAN,
        Worse::Smaller,
        [
            "steer angle of the inner front wheel",
            "positive into the turn",
            AT_STOP,
            PRACTICE,
        ],
    ),
    row(
        Q::CrankTravel,
        Unit::Degree,
        LEAN,
        Worse::Smaller,
        [
            "crank angle from straight; of a slider, and behind a drag link, the handlebar's",
            MAGNITUDE,
            AT_STOP,
            PRACTICE,
        ],
    ),
    row(
        Q::BallJointAngle,
        Unit::Degree,
        LEAN_OR_REACH,
        Worse::Larger,
        [
            "angle between stud and socket axis of a ball joint",
            MAGNITUDE,
            "largest over the poses, both joints, both sides",
            JOINT,
        ],
    ),
    row(
        Q::RodEndAngle,
        Unit::Degree,
        REACH_OR_LEAN,
        Worse::Larger,
        [
            "misalignment of a rod end: angle between bolt and eye axis, with the rod spun to where the worse of its two ends is best; drag links too",
            MAGNITUDE,
            "largest over the poses, both ends, both sides",
            JOINT,
        ],
    ),
    fitted(
        Needs::JointLimits,
        row(
            Q::JointAngleUse,
            Unit::One,
            REACH_OR_LEAN,
            Worse::Larger,
            [
                "angle of a ball joint or rod end as a part of what it allows; of a rod whose ends allow different angles the spin is taken where the larger part is smallest",
                MAGNITUDE,
                "largest over the poses and all joints that have a limit; above 1 a joint is past it",
                JOINT,
            ],
        ),
    ),
    fitted(
        Needs::Joints,
        row(
            Q::JointMass,
            Unit::Kilogram,
            DESIGN,
            Worse::Larger,
            [
                "mass of the ball joints and rod ends of both sides",
                MAGNITUDE,
                "sum over the joints that are chosen from a catalogue",
                JOINT,
            ],
        ),
    ),
    row(
        Q::LeanRange,
        Unit::Degree,
        DESIGN_OR_STEER,
        Worse::Smaller,
        [
            "lean at which the first thing stops it: a joint limit, a loop or a singularity",
            MAGNITUDE,
            "the smaller of both directions, over the crank angles of the range; ends at the sweep's end",
            PRACTICE,
        ],
    ),
    row(
        Q::TrackChange,
        Unit::Millimetre,
        LEAN_OR_TRAVEL,
        Worse::Larger,
        [
            "change of the sideways distance of the two front contacts since the design pose",
            MAGNITUDE,
            "largest over the range",
            PRACTICE,
        ],
    ),
    row(
        Q::SidewaysScrub,
        Unit::Millimetre,
        LEAN_OR_TRAVEL,
        Worse::Larger,
        [
            "sideways movement of a front contact over the ground against the rear contact, since the design pose",
            MAGNITUDE,
            "largest over the range and side",
            PRACTICE,
        ],
    ),
    row(
        Q::FrameHeightChange,
        Unit::Millimetre,
        LEAN,
        Worse::Larger,
        [
            "change of the height of the frame's origin above the ground with lean",
            MAGNITUDE,
            "largest magnitude over lean",
            PRACTICE,
        ],
    ),
    row(
        Q::FramePitch,
        Unit::Degree,
        LEAN,
        Worse::Larger,
        [
            "pitch of the frame with lean",
            MAGNITUDE,
            "largest magnitude over lean",
            PRACTICE,
        ],
    ),
];
