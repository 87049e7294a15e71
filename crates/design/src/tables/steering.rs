//! The fields of the vehicle file's steering, one shape per layout.

use super::handlebar::HANDLEBAR;
use super::vehicle::{INNER_MEANS, LEFT, OUTER_MEANS};
use crate::shape::{Across, Field, Kind, Shape, closed, needed, optional};

const ANY: Kind = Kind::Point(Across::Any);
const CRANK_FIELD: Field = needed("crank", Kind::Object(&CRANK), "the crank's axis");
const INNER: Field = needed("rod_inner_mm", LEFT, INNER_MEANS);
const OUTER: Field = needed("rod_outer_mm", LEFT, OUTER_MEANS);

/// The layouts by their words in the file.
pub(super) static LAYOUTS: [(&str, &Shape); 4] = [
    ("centre_crank", &CENTRE_CRANK),
    ("slider", &SLIDER),
    ("idler_parallelogram", &PARALLELOGRAM),
    ("cross_rod", &CROSS_ROD),
];

static CENTRE_CRANK: Shape = Shape {
    title: "a centre_crank steering",
    fields: &[CRANK_FIELD, HANDLEBAR, INNER, OUTER],
};

static SLIDER: Shape = Shape {
    title: "a slider steering",
    fields: &[
        needed("rail", Kind::Object(&RAIL), "the rail of the slider"),
        INNER,
        OUTER,
    ],
};

static RAIL: Shape = Shape {
    title: "the rail",
    fields: &[
        needed(
            "axis",
            Kind::Direction,
            "direction; a positive travel runs along it",
        ),
        needed(
            "travel_mm_per_handlebar_deg",
            Kind::Number(closed(0.01, 20.0, "mm per degree")),
            "travel of the slider per degree of the handlebar, mm; on a slider machine steer_deg \
             is the handlebar's angle",
        ),
    ],
};

static PARALLELOGRAM: Shape = Shape {
    title: "an idler_parallelogram steering",
    fields: &[
        CRANK_FIELD,
        HANDLEBAR,
        optional(
            "idler",
            Kind::Object(&CRANK),
            "the idler's axis; by default the mirror image of the crank's",
        ),
        needed(
            "crank_end_mm",
            ANY,
            "end of the centre link on the crank, mm",
        ),
        optional(
            "idler_end_mm",
            ANY,
            "end of the centre link on the idler, mm; by default the mirror image of that on the \
             crank",
        ),
        INNER,
        OUTER,
    ],
};

static CROSS_ROD: Shape = Shape {
    title: "a cross_rod steering",
    fields: &[
        CRANK_FIELD,
        HANDLEBAR,
        needed(
            "rod_outer_mm",
            LEFT,
            "end of the cross rod on the knuckle, mm",
        ),
        needed(
            "drag_link",
            Kind::Object(&DRAG_LINK),
            "the link from the crank to one knuckle",
        ),
    ],
};

static DRAG_LINK: Shape = Shape {
    title: "the drag link",
    fields: &[
        needed(
            "side",
            Kind::Choice(&["left", "right"]),
            "whose knuckle it moves",
        ),
        needed("inner_mm", ANY, "end on the crank, mm"),
        needed("outer_mm", ANY, "end on the knuckle of that side, mm"),
        optional(
            "inner_bolt",
            Kind::Direction,
            "bolt of the end on the crank; by default along the crank's axis",
        ),
        optional(
            "outer_bolt",
            Kind::Direction,
            "bolt of the end on the knuckle; by default along the kingpin",
        ),
    ],
};

static CRANK: Shape = Shape {
    title: "the axis of a crank",
    fields: &[
        needed("point_mm", ANY, "a point on the axis, mm"),
        needed(
            "axis",
            Kind::Direction,
            "direction; a positive steer is right-handed about it",
        ),
    ],
};
