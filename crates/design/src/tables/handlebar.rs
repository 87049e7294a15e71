//! The fields of the vehicle file's handlebar, one shape per kind.

use crate::shape::{
    Across, Bounds, Field, Kind, Shape, above, closed, defaulted, needed, optional,
};

const ANY: Kind = Kind::Point(Across::Any);

/// The handlebar block of every layout with a crank.
pub(super) const HANDLEBAR: Field = optional(
    "handlebar",
    Kind::Variants("kind", &KINDS),
    "how the handlebar reaches the crank; by default direct",
);

static KINDS: [(&str, &Shape); 3] = [
    ("direct", &DIRECT),
    ("drag_link", &DRAG_LINK),
    ("cable", &CABLE),
];

static DIRECT: Shape = Shape {
    title: "a direct handlebar",
    fields: &[],
};

static DRAG_LINK: Shape = Shape {
    title: "a handlebar with a drag link",
    fields: &[
        needed("point_mm", ANY, "a point on the handlebar's axis, mm"),
        needed(
            "axis",
            Kind::Direction,
            "direction of the handlebar's axis; a positive steer_deg, then the handlebar's angle, \
             is right-handed about it",
        ),
        needed("arm_end_mm", ANY, "link's end on the handlebar's arm, mm"),
        needed("crank_end_mm", ANY, "link's end on the crank, mm"),
        optional(
            "arm_bolt",
            Kind::Direction,
            "bolt of the end on the arm; by default along the handlebar's axis",
        ),
        optional(
            "crank_bolt",
            Kind::Direction,
            "bolt of the end on the crank; by default along the crank's axis",
        ),
    ],
};

const RADIUS: Bounds = above(0.0, 500.0, "mm");
const RADIUS_MEANS: &str = "radius on which the cable lies, mm";
const RUN: Kind = Kind::List(&Kind::Object(&GUIDE), 0, mechanics::MOST_GUIDES);

static CABLE: Shape = Shape {
    title: "a cable drive",
    fields: &[
        needed("sheave", Kind::Object(&SHEAVE), "the handlebar's sheave"),
        needed(
            "driven",
            Kind::Variants("on", &DRIVEN),
            "the sheave on the crank, or one on each knuckle",
        ),
        defaulted(
            "left_run",
            RUN,
            "[]",
            "guides of the left run from the handlebar on; it winds clockwise on the handlebar, \
             seen from the end that the axis points to",
        ),
        optional(
            "right_run",
            RUN,
            "guides of the right run, wound the other way; by default the left's mirror image",
        ),
        defaulted(
            "crossed",
            Kind::Flag,
            "false",
            "the runs cross: the driven sheave turns against the handlebar",
        ),
        needed(
            "stiffness_n",
            Kind::Number(closed(100.0, 1e8, "N")),
            "stiffness of the cable, N: force per unit of strain",
        ),
        defaulted(
            "preload_n",
            Kind::Number(closed(0.0, 5000.0, "N")),
            "0",
            "tension of both runs in the design pose, N",
        ),
        defaulted(
            "hand_force_n",
            Kind::Number(closed(0.0, 1000.0, "N")),
            "100",
            "force of the hands, N",
        ),
        defaulted(
            "grip_mm",
            Kind::Number(closed(10.0, 1000.0, "mm")),
            "250",
            "arm of that force about the handlebar's axis, mm",
        ),
        defaulted(
            "friction",
            Kind::Number(closed(0.0, 1.0, "")),
            "0",
            "friction coefficient of the cable on its guides",
        ),
    ],
};

static SHEAVE: Shape = Shape {
    title: "the handlebar's sheave",
    fields: &[
        needed("centre_mm", ANY, "centre, mm"),
        needed(
            "axis",
            Kind::Direction,
            "direction of the axis about which the handlebar turns",
        ),
        needed("radius_mm", Kind::Number(RADIUS), RADIUS_MEANS),
    ],
};

static DRIVEN: [(&str, &Shape); 2] = [("crank", &ON_CRANK), ("knuckles", &ON_KNUCKLES)];

static ON_CRANK: Shape = Shape {
    title: "a sheave on the crank",
    fields: &[needed("radius_mm", Kind::Number(RADIUS), RADIUS_MEANS)],
};

static ON_KNUCKLES: Shape = Shape {
    title: "sheaves on the knuckles",
    fields: &[
        needed(
            "centre_mm",
            Kind::Point(Across::Left),
            "centre of the left one, mm; its axis is the kingpin, the right one its mirror image",
        ),
        needed("radius_mm", Kind::Number(RADIUS), RADIUS_MEANS),
    ],
};

static GUIDE: Shape = Shape {
    title: "a guide of a cable",
    fields: &[
        defaulted(
            "on",
            Kind::Choice(&["frame", "lower_wishbone", "upper_wishbone"]),
            "\"frame\"",
            "what carries it; a wishbone is that of the run's side",
        ),
        needed("centre_mm", ANY, "centre of the sheave or eye, mm"),
        defaulted(
            "radius_mm",
            Kind::Number(closed(0.0, 500.0, "mm")),
            "0",
            "radius on which the cable lies, mm; 0: an eye",
        ),
        optional(
            "axis",
            Kind::Direction,
            "direction of a sheave's axis; its groove keeps the cable in its plane",
        ),
        optional(
            "turn",
            Kind::Choice(&["clockwise", "counter_clockwise"]),
            "which way the cable, followed from the handlebar, runs round a sheave, seen from the \
             end that its axis points to",
        ),
    ],
};
