//! Rise, handlebar effort and braking.

use super::{DESIGN_OR_LEAN, LEAN, Needs, QuantityInfo, REACH, Unit, Worse, row};
use crate::Quantity as Q;

const PRACTICE: &str = "common practice, no source";
const MAGNITUDE: &str = "a magnitude, never negative";

const fn weighed(mut row: QuantityInfo) -> QuantityInfo {
    row.needs = Needs::Masses;
    row
}

pub(super) const ROWS: [QuantityInfo; 10] = [
    weighed(row(
        Q::SteeringRise,
        Unit::Millimetre,
        REACH,
        Worse::Larger,
        [
            "change of height of the centre of gravity with steer, against straight at the same lean",
            MAGNITUDE,
            "largest magnitude over reach",
            PRACTICE,
        ],
    )),
    weighed(row(
        Q::HandlebarTorque,
        Unit::NewtonMetre,
        REACH,
        Worse::Larger,
        [
            "handlebar torque from the rise of the weight, by virtual work",
            MAGNITUDE,
            "largest magnitude over reach",
            PRACTICE,
        ],
    )),
    weighed(row(
        Q::HandlebarFlop,
        Unit::NewtonMetre,
        REACH,
        Worse::Larger,
        [
            "the part of that torque that turns the steering further away from straight",
            MAGNITUDE,
            "largest over reach; 0 where the steering always returns",
            PRACTICE,
        ],
    )),
    weighed(row(
        Q::RidingTorque,
        Unit::NewtonMetre,
        REACH,
        Worse::Larger,
        [
            "handlebar torque in a turn that the lean balances: rise of the weight and side force at the contacts together, and friction on top, that of a cable drive too; the tyres' own aligning and camber forces are left out",
            MAGNITUDE,
            "largest over reach",
            PRACTICE,
        ],
    )),
    weighed(row(
        Q::ParkingTorque,
        Unit::NewtonMetre,
        LEAN,
        Worse::Larger,
        [
            "handlebar torque of a machine that stands, its front wheels held: rise of the weight, tyres turned on the ground (μ N √(b²/8 + e²) about each kingpin) and friction, that of a cable drive too",
            MAGNITUDE,
            "largest up to the steering stop, over the leans of the range",
            PRACTICE,
        ],
    )),
    weighed(row(
        Q::SelfCentring,
        Unit::NewtonMetrePerDegree,
        REACH,
        Worse::Smaller,
        [
            "growth of the handlebar torque of rise and side force per degree of the handlebar, at the speed that the lean balances; upright at a standstill",
            "positive where the steering returns by itself, negative where it flops on",
            "smallest over reach",
            PRACTICE,
        ],
    )),
    row(
        Q::BrakeSteerArm,
        Unit::Millimetre,
        DESIGN_OR_LEAN,
        Worse::Larger,
        [
            "lever arm of the brake force about the kingpin",
            "positive when braking turns the wheel outward",
            "the value of largest magnitude over the poses and sides",
            PRACTICE,
        ],
    ),
    row(
        Q::BrakeSteerOneWheel,
        Unit::NewtonMetrePerKilonewton,
        DESIGN_OR_LEAN,
        Worse::Larger,
        [
            "handlebar torque with one front wheel braked, per kilonewton of brake force",
            MAGNITUDE,
            "largest magnitude over the poses and sides",
            PRACTICE,
        ],
    ),
    row(
        Q::BrakeSteerBothWheels,
        Unit::NewtonMetrePerKilonewton,
        DESIGN_OR_LEAN,
        Worse::Larger,
        [
            "handlebar torque with both front wheels braked, per kilonewton on each",
            MAGNITUDE,
            "largest magnitude over the poses",
            PRACTICE,
        ],
    ),
    weighed(row(
        Q::BrakeYaw,
        Unit::NewtonMetrePerKilonewton,
        DESIGN_OR_LEAN,
        Worse::Larger,
        [
            "yaw moment about the centre of gravity with one front wheel braked, per kilonewton",
            MAGNITUDE,
            "largest magnitude over the poses and sides",
            PRACTICE,
        ],
    )),
];
