//! Set-up, bump, lean and steering correctness.

use super::{DESIGN, LEAN, QuantityInfo, REACH, TRAVEL, Unit, Worse, row};
use crate::Quantity as Q;

const PRACTICE: &str = "common practice, no source";
const NONE: &str = "none; a design choice";
const ONE_SIDE: &str = "design pose; of both sides the one of larger magnitude";
const MAGNITUDE: &str = "a magnitude, never negative";

const fn held(mut row: QuantityInfo) -> QuantityInfo {
    row.holdable = true;
    row
}

pub(super) const ROWS: [QuantityInfo; 21] = [
    held(row(
        Q::Track,
        Unit::Millimetre,
        DESIGN,
        Worse::Away,
        [
            "sideways distance of the two front contacts",
            MAGNITUDE,
            "design pose",
            "width limits for cycles differ by country",
        ],
    )),
    held(row(
        Q::Wheelbase,
        Unit::Millimetre,
        DESIGN,
        Worse::Away,
        [
            "distance along x from the rear contact to the middle of the front contacts",
            MAGNITUDE,
            "design pose",
            NONE,
        ],
    )),
    held(row(
        Q::KingpinInclination,
        Unit::Degree,
        DESIGN,
        Worse::Larger,
        [
            "inclination of the kingpin in the front projection, from its tangent",
            "positive when the top lies inboard",
            ONE_SIDE,
            PRACTICE,
        ],
    )),
    held(row(
        Q::Caster,
        Unit::Degree,
        DESIGN,
        Worse::Away,
        [
            "inclination of the kingpin in the side projection, from its tangent",
            "positive when the top lies rearward",
            ONE_SIDE,
            PRACTICE,
        ],
    )),
    held(row(
        Q::Trail,
        Unit::Millimetre,
        DESIGN,
        Worse::Away,
        [
            "distance along the heading from the contact forward to where the kingpin meets the ground",
            "positive when the contact lies behind the axis",
            ONE_SIDE,
            PRACTICE,
        ],
    )),
    held(row(
        Q::ScrubRadius,
        Unit::Millimetre,
        DESIGN,
        Worse::Away,
        [
            "sideways distance from the contact to where the kingpin meets the ground",
            "positive when the axis meets the ground inboard of the contact",
            ONE_SIDE,
            PRACTICE,
        ],
    )),
    held(row(
        Q::KingpinOffset,
        Unit::Millimetre,
        DESIGN,
        Worse::Larger,
        [
            "sideways distance from the wheel centre to the kingpin at the height of the wheel centre",
            "positive when the axis lies inboard of the wheel centre",
            ONE_SIDE,
            PRACTICE,
        ],
    )),
    held(row(
        Q::ToeIn,
        Unit::Degree,
        DESIGN,
        Worse::Away,
        [
            "static toe: heading of a front wheel on the ground against the rear heading",
            "positive toe-in",
            ONE_SIDE,
            PRACTICE,
        ],
    )),
    held(row(
        Q::Camber,
        Unit::Degree,
        DESIGN,
        Worse::Away,
        [
            "static camber: inclination of the upright front wheel to the ground normal",
            "positive when the top leans outward",
            ONE_SIDE,
            PRACTICE,
        ],
    )),
    row(
        Q::BumpSteer,
        Unit::Degree,
        TRAVEL,
        Worse::Larger,
        [
            "change of toe with mean travel, upright and straight, headings on the ground",
            MAGNITUDE,
            "largest |toe(h) − toe(0)| over travel and side",
            PRACTICE,
        ],
    ),
    row(
        Q::BumpSteerSlope,
        Unit::DegreePerMillimetre,
        DESIGN,
        Worse::Away,
        [
            "slope of toe against mean travel at zero travel",
            "positive when a rising wheel toes in",
            ONE_SIDE,
            PRACTICE,
        ],
    ),
    row(
        Q::BumpSteerEven,
        Unit::Degree,
        TRAVEL,
        Worse::Larger,
        [
            "the even part of the change of toe with travel; in lean it becomes toe-in of each wheel, which scrubs",
            MAGNITUDE,
            "largest |toe(h) + toe(−h) − 2 toe(0)| / 2 over |h| up to the larger end of the range, and side",
            PRACTICE,
        ],
    ),
    row(
        Q::BumpSteerOdd,
        Unit::Degree,
        TRAVEL,
        Worse::Larger,
        [
            "the odd part of the change of toe with travel; in lean it becomes common steer, and the machine pulls",
            MAGNITUDE,
            "largest |toe(h) − toe(−h)| / 2 over |h| up to the larger end of the range, and side",
            PRACTICE,
        ],
    ),
    row(
        Q::LeanSteer,
        Unit::Degree,
        LEAN,
        Worse::Larger,
        [
            "change of a front wheel's steer angle with lean, crank straight",
            MAGNITUDE,
            "largest |δ(φ) − δ(0)| over lean and side",
            PRACTICE,
        ],
    ),
    row(
        Q::LeanSteerCommon,
        Unit::Degree,
        LEAN,
        Worse::Larger,
        [
            "common part of lean steer: the machine pulls to one side",
            MAGNITUDE,
            "largest |change of (δL + δR) / 2 since lean 0| over lean",
            PRACTICE,
        ],
    ),
    row(
        Q::LeanSteerDifference,
        Unit::Degree,
        LEAN,
        Worse::Larger,
        [
            "difference part of lean steer: the wheels scrub against each other",
            MAGNITUDE,
            "largest |change of δR − δL since lean 0| over lean",
            PRACTICE,
        ],
    ),
    row(
        Q::SteeringError,
        Unit::Degree,
        REACH,
        Worse::Larger,
        [
            "difference of the front wheels' steer angles beyond what rolling without scrub about the mean turn centre needs",
            MAGNITUDE,
            "largest |e| over reach",
            PRACTICE,
        ],
    ),
    row(
        Q::SteeringErrorRms,
        Unit::Degree,
        REACH,
        Worse::Larger,
        [
            "the same error as a mean over reach",
            MAGNITUDE,
            "root mean square of e over reach: trapezoid weights over curvature in each lean row and over the lean rows",
            PRACTICE,
        ],
    ),
    row(
        Q::SteeringSlip,
        Unit::Degree,
        REACH,
        Worse::Larger,
        [
            "slip angle of the front wheels about the turn centre that shares the slip evenly",
            MAGNITUDE,
            "largest over reach of the smallest possible max(|sL|, |sR|)",
            PRACTICE,
        ],
    ),
    row(
        Q::SteeringRatio,
        Unit::One,
        DESIGN,
        Worse::Away,
        [
            "handlebar degrees per degree of mean steer of the front wheels",
            MAGNITUDE,
            "design pose",
            PRACTICE,
        ],
    ),
    row(
        Q::SteeringRatioSpread,
        Unit::One,
        REACH,
        Worse::Larger,
        [
            "unevenness of the steering ratio",
            "at least 1",
            "largest over smallest ratio over reach",
            PRACTICE,
        ],
    ),
];
