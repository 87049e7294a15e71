//! Cable drives.

use super::{LEAN_OR_TRAVEL, LEAN_TRAVEL_OR_REACH, Needs, QuantityInfo, Unit, Worse, row};
use crate::Quantity as Q;

const PRACTICE: &str = "common practice, no source";
const MAGNITUDE: &str = "a magnitude, never negative";
const LARGEST: &str = "largest over the poses";

const fn cabled(
    quantity: Q,
    unit: Unit,
    over: &'static [crate::OverKind],
    texts: [&'static str; 4],
) -> QuantityInfo {
    let mut row = row(quantity, unit, over, Worse::Larger, texts);
    row.needs = Needs::Cable;
    row
}

pub(super) const ROWS: [QuantityInfo; 5] = [
    cabled(
        Q::CablePathChange,
        Unit::Millimetre,
        LEAN_TRAVEL_OR_REACH,
        [
            "change of the mean length of both cable runs' taut paths since the design pose, the handlebar where both are stretched alike",
            MAGNITUDE,
            LARGEST,
            "what the cables' stretch can take",
        ],
    ),
    cabled(
        Q::CableSlack,
        Unit::Millimetre,
        LEAN_TRAVEL_OR_REACH,
        [
            "how loose the looser cable run hangs, its stretch under the preload taken off",
            "positive: a run is slack by so much; negative: both stay stretched",
            LARGEST,
            "at most 0: a slack cable lets the wheels turn by themselves",
        ],
    ),
    cabled(
        Q::CableSteer,
        Unit::Degree,
        LEAN_OR_TRAVEL,
        [
            "angle by which the cables turn the handlebar while the crank stays straight; held still, it steers the wheels by as much over the steering ratio",
            MAGNITUDE,
            LARGEST,
            PRACTICE,
        ],
    ),
    cabled(
        Q::CableStretch,
        Unit::Degree,
        LEAN_TRAVEL_OR_REACH,
        [
            "turn of the handlebar under the hand force while the driven sheave is held: stretch of the cables, and slack that is taken up first",
            MAGNITUDE,
            "largest over the poses and both senses",
            PRACTICE,
        ],
    ),
    cabled(
        Q::CableFriction,
        Unit::NewtonMetre,
        LEAN_TRAVEL_OR_REACH,
        [
            "torque on the handlebar that friction of the preloaded cables on their guides takes: tension grows by e^(friction × angle) over each run's bends",
            MAGNITUDE,
            LARGEST,
            PRACTICE,
        ],
    ),
];
