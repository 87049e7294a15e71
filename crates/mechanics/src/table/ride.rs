//! The ride envelope: where wheels lift, where the lean ends, parking and braking.

use super::{DESIGN, DESIGN_OR_LEAN, LEAN, LEAN_OR_DESIGN, Needs, QuantityInfo, Unit, Worse, row};
use crate::Quantity as Q;

const PRACTICE: &str = "common practice, no source; local rules go before it";
const STATICS: &str = "statics of a rigid body on three contacts";
const LOADINGS: &str = "smallest over the states of loading";

const fn weighed(
    quantity: Q,
    unit: Unit,
    over: &'static [crate::OverKind],
    texts: [&'static str; 4],
) -> QuantityInfo {
    let mut row = row(quantity, unit, over, Worse::Smaller, texts);
    row.needs = Needs::Masses;
    row
}

const fn locking(mut row: QuantityInfo) -> QuantityInfo {
    row.needs = Needs::Masses;
    row
}

pub(super) const ROWS: [QuantityInfo; 10] = [
    weighed(
        Q::LiftAcceleration,
        Unit::Gravity,
        DESIGN_OR_LEAN,
        [
            "sideways acceleration at which a wheel lifts while the lean stays as it is",
            "positive away from the lean; upright: either way",
            LOADINGS,
            STATICS,
        ],
    ),
    weighed(
        Q::LeanStopSpeed,
        Unit::MetrePerSecond,
        DESIGN,
        [
            "speed at which the lean that balances the tightest turn of reach comes to its end: tan φ = v²/(gR)",
            "a magnitude, never negative",
            "the smaller of both directions; the lean ends at its stop or at the lean limit of reach",
            PRACTICE,
        ],
    ),
    weighed(
        Q::LiftSpeed,
        Unit::MetrePerSecond,
        DESIGN,
        [
            "speed at which a wheel lifts in the tightest turn of reach, leaned to the end",
            "a magnitude, never negative",
            "the smaller of both directions and all states of loading",
            PRACTICE,
        ],
    ),
    weighed(
        Q::StandingShare,
        Unit::One,
        DESIGN,
        [
            "share of the weight on the wheel that carries least, on level ground",
            "below 0 the wheel would have to be held down",
            LOADINGS,
            STATICS,
        ],
    ),
    weighed(
        Q::ParkedShare,
        Unit::One,
        DESIGN,
        [
            "share of the load on the wheel that carries least, parked upright on the slope, lean locked",
            "below 0 the machine falls over",
            "smallest over four directions on the slope and the states of loading",
            "every wheel keeps load on 10 degrees in four directions: industry text after DIN 79010",
        ],
    ),
    weighed(
        Q::BrakingLimit,
        Unit::Gravity,
        DESIGN_OR_LEAN,
        [
            "deceleration at which a wheel lifts (straight on: the rear one, the machine pitches over), leaning in balance",
            "a magnitude, never negative",
            "smallest over the leans and the states of loading",
            STATICS,
        ],
    ),
    weighed(
        Q::PitchOver,
        Unit::Gravity,
        DESIGN_OR_LEAN,
        [
            "deceleration at which the rear wheel lifts, leaning in balance; braking_limit_g is smaller where a front wheel lifts first",
            "a magnitude, never negative; at most 100",
            "smallest over the leans and the states of loading",
            STATICS,
        ],
    ),
    weighed(
        Q::RightingFree,
        Unit::NewtonMetre,
        LEAN,
        [
            "moment with which the weight rights the machine that is free to lean and stands, by virtual work",
            "positive rights, negative leans it further",
            "smallest over lean",
            PRACTICE,
        ],
    ),
    weighed(
        Q::RightingLocked,
        Unit::NewtonMetre,
        DESIGN_OR_LEAN,
        [
            "moment of the weight about the nearer line from a front contact to the rear one, lean locked",
            "positive rights, negative tips over",
            "smallest over lean and the states of loading",
            STATICS,
        ],
    ),
    locking(row(
        Q::LeanLockMoment,
        Unit::NewtonMetre,
        LEAN_OR_DESIGN,
        Worse::Larger,
        [
            "moment that a lock of the lean holds while the machine stands, on the level and in four directions on the parking slope, the rear wheel braked: about the pivot of the rocker, else per radian of lean",
            "a magnitude, never negative",
            "largest over lean, slopes and the states of loading",
            "data sheet of the lock",
        ],
    )),
];
