//! The fields of the file that a fit of a machine as built is asked by.

use super::vehicle::VEHICLE;
use crate::shape::{Across, Kind, Shape, above, closed, defaulted, needed, optional};

/// Most readings.
pub(crate) const MOST_READINGS: usize = 200;
/// Most unknowns and most changes, each counted once for both sides.
pub(crate) const MOST_UNKNOWNS: usize = 64;

/// Most measured points.
pub(crate) const MOST_MEASURED: usize = 40;

const ANGLE: Kind = Kind::Number(closed(-60.0, 60.0, "degrees"));

/// The whole file.
pub(crate) static AS_BUILT: Shape = Shape {
    title: "the readings",
    fields: &[
        optional(
            "kind",
            Kind::Choice(&["as_built"]),
            "says that a job is a fit; needed where jobs of all kinds are taken",
        ),
        defaulted("name", Kind::Text(200), "\"\"", "a name for people"),
        needed("vehicle", Kind::Object(&VEHICLE), "the machine as drawn"),
        defaulted(
            "readings",
            Kind::List(&Kind::Object(&READING), 0, MOST_READINGS),
            "[]",
            "what was read off the machine as built",
        ),
        defaulted(
            "measured",
            Kind::List(&Kind::Object(&MEASURED), 0, MOST_MEASURED),
            "[]",
            "points that were measured on the machine as built",
        ),
        defaulted(
            "exactness",
            Kind::Object(&EXACTNESS),
            "{}",
            "standard deviations of the readings",
        ),
        defaulted(
            "unknowns",
            Kind::List(&Kind::Object(&UNKNOWN), 0, MOST_UNKNOWNS),
            "[]",
            "what may deviate from the drawing beside what was measured; rods that are not named are \
             as long as drawn",
        ),
        defaulted(
            "changes",
            Kind::List(&Kind::Object(&UNKNOWN), 0, MOST_UNKNOWNS),
            "[]",
            "what may be changed to bring the readings back to those of the drawing",
        ),
    ],
};

static READING: Shape = Shape {
    title: "a reading",
    fields: &[
        defaulted(
            "lean_deg",
            ANGLE,
            "0",
            "lean, degrees, ISO roll: positive leans right",
        ),
        defaulted(
            "steer_deg",
            Kind::Number(closed(-170.0, 170.0, "degrees")),
            "0",
            "crank angle, degrees, right-handed about its axis",
        ),
        optional(
            "mean_travel_mm",
            Kind::Number(closed(-300.0, 300.0, "mm")),
            "mean travel of the wheels, mm, wheels up positive; by default as the coupling holds it",
        ),
        optional("toe_left_deg", ANGLE, "toe-in of the left wheel, degrees"),
        optional("toe_right_deg", ANGLE, "toe-in of the right wheel, degrees"),
        optional(
            "camber_left_deg",
            ANGLE,
            "camber of the left wheel, degrees, top outward",
        ),
        optional(
            "camber_right_deg",
            ANGLE,
            "camber of the right wheel, degrees, top outward",
        ),
        optional(
            "height_mm",
            Kind::Number(closed(-300.0, 300.0, "mm")),
            "height of the frame above its place in the drawing, mm",
        ),
    ],
};

static MEASURED: Shape = Shape {
    title: "a measured point",
    fields: &[
        needed(
            "point",
            Kind::Text(80),
            "path of the point; with right. in front on the right side",
        ),
        needed(
            "at_mm",
            Kind::Point(Across::Any),
            "where it was found, frame axes, mm",
        ),
        needed(
            "sigma_mm",
            Kind::Number(closed(0.001, 50.0, "mm")),
            "standard deviation of each coordinate, mm",
        ),
    ],
};

static EXACTNESS: Shape = Shape {
    title: "exactness",
    fields: &[
        defaulted(
            "toe_deg",
            Kind::Number(closed(0.0001, 10.0, "degrees")),
            "0.05",
            "standard deviation of a toe reading, degrees",
        ),
        defaulted(
            "camber_deg",
            Kind::Number(closed(0.0001, 10.0, "degrees")),
            "0.1",
            "standard deviation of a camber reading, degrees",
        ),
        defaulted(
            "height_mm",
            Kind::Number(closed(0.001, 50.0, "mm")),
            "0.5",
            "standard deviation of a height reading, mm",
        ),
    ],
};

static UNKNOWN: Shape = Shape {
    title: "an unknown",
    fields: &[
        needed(
            "of",
            Kind::Text(80),
            "path of a point of the vehicle without right., or rod_length",
        ),
        optional(
            "axis",
            Kind::Choice(&["x", "y", "z"]),
            "the coordinate; none for a rod",
        ),
        optional(
            "side",
            Kind::Choice(&["left", "right"]),
            "the side; by default both, each by itself",
        ),
        needed(
            "sigma_mm",
            Kind::Number(closed(0.001, 50.0, "mm")),
            "standard deviation that is expected, mm; for a change, what costs one unit of effort",
        ),
        optional(
            "most_mm",
            Kind::Number(above(0.0, 100.0, "mm")),
            "the most it may deviate either way, mm; by default ten standard deviations",
        ),
    ],
};
