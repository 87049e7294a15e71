//! The fields of load cases.

use super::parts::{MOST, SOURCE};
use crate::shape::{Field, Kind, Shape, above, closed, defaulted, needed, optional};

const FACTOR: Kind = Kind::Number(closed(0.0, 20.0, ""));
const G: Kind = Kind::Number(closed(0.0, 5.0, "g"));
const WHEELS: Kind = Kind::Choice(&["both", "one"]);
const CYCLES: Kind = Kind::Number(closed(0.0, 1e12, ""));

static ONE_CASE: Kind = Kind::Object(&LOAD_CASE);

/// The vehicle's own load cases.
pub(super) const LOAD_CASES: Field = defaulted(
    "load_cases",
    Kind::List(&ONE_CASE, 0, MOST),
    "[]",
    "load cases instead of the shipped (invented) ones",
);

static LOAD_CASE: Shape = Shape {
    title: "a load case",
    fields: &[
        needed("name", Kind::Text(100), "a name for people"),
        SOURCE,
        defaulted(
            "lean",
            Kind::Choice(&["upright", "limit"]),
            "\"upright\"",
            "upright, or leaned into the turn to the lean limit of reach",
        ),
        optional(
            "lean_deg",
            Kind::Number(closed(0.0, 60.0, "degrees")),
            "so many degrees into the turn instead",
        ),
        defaulted(
            "steer",
            Kind::Choice(&["straight", "lock"]),
            "\"straight\"",
            "straight, or at the steering stop",
        ),
        defaulted(
            "sideways_g",
            G,
            "0",
            "sideways acceleration of the turn, g; never beyond that at which a wheel lifts",
        ),
        defaulted(
            "braking_g",
            G,
            "0",
            "deceleration, g; never beyond friction or that at which a wheel lifts",
        ),
        defaulted("braked", WHEELS, "\"both\"", "which front wheels brake"),
        defaulted(
            "friction",
            Kind::Number(above(0.0, 3.0, "")),
            "0.9",
            "friction that bounds the brake force of a wheel",
        ),
        defaulted(
            "struck",
            WHEELS,
            "\"both\"",
            "which front wheels the factors belong to; one: each in turn",
        ),
        defaulted(
            "vertical_factor",
            FACTOR,
            "1",
            "vertical load of a struck wheel, times its riding load",
        ),
        defaulted(
            "rearward_factor",
            FACTOR,
            "0",
            "force backwards through the centre of a struck wheel, times its riding load",
        ),
        defaulted(
            "inward_factor",
            FACTOR,
            "0",
            "force inwards at the contact of a struck wheel, times its riding load",
        ),
        defaulted(
            "cycle",
            Kind::Choice(&["standing", "unloaded", "opposite"]),
            "\"standing\"",
            "the other end of each load cycle: standing upright, unloaded, or the opposite turn",
        ),
        defaulted(
            "cycles",
            CYCLES,
            "0",
            "cycles in the machine's life, all of them to the whole load, for Miner's sum",
        ),
        defaulted(
            "spectrum",
            Kind::List(&Kind::Object(&STEP), 0, MOST),
            "[]",
            "steps of a load spectrum instead of cycles",
        ),
    ],
};

static STEP: Shape = Shape {
    title: "a step of a load spectrum",
    fields: &[
        needed(
            "share",
            Kind::Number(above(0.0, 1.0, "")),
            "how far the load goes from the other end of its cycle to that of the case, 1 all the way",
        ),
        needed("cycles", CYCLES, "cycles in the machine's life"),
    ],
};
