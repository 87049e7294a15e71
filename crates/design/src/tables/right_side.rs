//! The fields of the vehicle file's right side.

use super::vehicle::{
    BALL_MEANS, CAMBER, CAMBER_MEANS, CENTRE_MEANS, FOOT_MEANS, FRONT_MEANS, INNER_MEANS,
    OUTER_MEANS, RADIUS, RADIUS_MEANS, REAR_MEANS, SECTION, SECTION_MEANS, TOE, TOE_MEANS,
};
use crate::shape::{Across, Kind, Shape, optional};

const RIGHT: Kind = Kind::Point(Across::Right);

pub(super) static RIGHT_SIDE: Shape = Shape {
    title: "the right side",
    fields: &[
        optional(
            "front_wheels",
            Kind::Object(&RIGHT_WHEEL),
            "right front wheel",
        ),
        optional(
            "lower_wishbone",
            Kind::Object(&RIGHT_WISHBONE),
            "right lower wishbone",
        ),
        optional(
            "upper_wishbone",
            Kind::Object(&RIGHT_WISHBONE),
            "right upper wishbone",
        ),
        optional(
            "steering",
            Kind::Object(&RIGHT_STEERING),
            "right tie-rod ends",
        ),
        optional(
            "lean_coupling",
            Kind::Object(&RIGHT_COUPLING),
            "right link of a rocker",
        ),
    ],
};

static RIGHT_WHEEL: Shape = Shape {
    title: "the right front wheel",
    fields: &[
        optional("centre_mm", RIGHT, CENTRE_MEANS),
        optional("radius_mm", Kind::Number(RADIUS), RADIUS_MEANS),
        optional("section_radius_mm", Kind::Number(SECTION), SECTION_MEANS),
        optional("camber_deg", Kind::Number(CAMBER), CAMBER_MEANS),
        optional("toe_in_deg", Kind::Number(TOE), TOE_MEANS),
    ],
};

static RIGHT_WISHBONE: Shape = Shape {
    title: "a right wishbone",
    fields: &[
        optional("front_pivot_mm", RIGHT, FRONT_MEANS),
        optional("rear_pivot_mm", RIGHT, REAR_MEANS),
        optional("ball_joint_mm", RIGHT, BALL_MEANS),
    ],
};

static RIGHT_STEERING: Shape = Shape {
    title: "the right tie rod",
    fields: &[
        optional("rod_inner_mm", RIGHT, INNER_MEANS),
        optional("rod_outer_mm", RIGHT, OUTER_MEANS),
    ],
};

static RIGHT_COUPLING: Shape = Shape {
    title: "the right rocker link",
    fields: &[optional("link_foot_mm", RIGHT, FOOT_MEANS)],
};
