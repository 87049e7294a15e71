//! Gaps between parts, and above the ground.

use super::{Needs, QuantityInfo, REACH_LEAN_OR_TRAVEL, Unit, Worse, row};
use crate::Quantity as Q;

const ORIGIN: &str =
    "play, bending and dirt of the workshop's own parts; common practice, no source";
const SIGN: &str = "negative by how deep one part reaches into another";
const SMALLEST: &str =
    "smallest over the poses and pairs; over lean: up to the steering stop at each lean";

const fn fitted(quantity: Q, needs: Needs, texts: [&'static str; 4]) -> QuantityInfo {
    let over = REACH_LEAN_OR_TRAVEL;
    let mut row = row(quantity, Unit::Millimetre, over, Worse::Smaller, texts);
    row.needs = needs;
    row
}

pub(super) const ROWS: [QuantityInfo; 5] = [
    fitted(
        Q::Clearance,
        Needs::Body,
        [
            "gap between any two parts that share no joint, are not fixed to one another, and of which no box carries the other: wheels, wishbone legs, rods, links, boxes",
            SIGN,
            SMALLEST,
            ORIGIN,
        ],
    ),
    fitted(
        Q::WheelClearance,
        Needs::Body,
        [
            "the same between a wheel (tyre, rim, hub, brake disc, caliper) and anything that is not fixed to its knuckle",
            SIGN,
            SMALLEST,
            ORIGIN,
        ],
    ),
    fitted(
        Q::RodClearance,
        Needs::Body,
        [
            "the same between a rod or link of the steering and anything that it does not move",
            SIGN,
            SMALLEST,
            ORIGIN,
        ],
    ),
    fitted(
        Q::BoxClearance,
        Needs::Boxes,
        [
            "the same between a box on the frame and anything that it does not carry",
            SIGN,
            SMALLEST,
            ORIGIN,
        ],
    ),
    fitted(
        Q::GroundClearance,
        Needs::Body,
        [
            "height of wishbone legs, rods, links and boxes above the ground",
            "negative by how deep a part reaches into the ground",
            SMALLEST,
            "kerbs and ramps of the paths; common practice, no source",
        ],
    ),
];
