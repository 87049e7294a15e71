//! The fields of joints and their catalogue.

use super::parts::MOST;
use super::vehicle::BEARING;
use crate::shape::{Field, Kind, Shape, above, between, closed, defaulted, needed, optional};

const NAME: Kind = Kind::Text(100);

static ONE_JOINT: Kind = Kind::Object(&JOINT);

/// The vehicle's choice.
pub(super) const JOINTS: Field = defaulted(
    "joints",
    Kind::Object(&CHOSEN),
    "{}",
    "the joints of each side by their names in joint_catalogue or the shipped catalogue; their angles go before limits, their ratings stand where joint_ratings gives none",
);
pub(super) const CATALOGUE: Field = defaulted(
    "joint_catalogue",
    Kind::List(&ONE_JOINT, 0, MOST),
    "[]",
    "joints beside the shipped (invented) ones",
);

static CHOSEN: Shape = Shape {
    title: "joints",
    fields: &[
        optional(
            "lower_ball_joint",
            NAME,
            "a ball joint or spherical bearing",
        ),
        optional(
            "upper_ball_joint",
            NAME,
            "a ball joint or spherical bearing",
        ),
        optional(
            "inner_rod_end",
            NAME,
            "a rod end or angle joint of the tie rods",
        ),
        optional(
            "outer_rod_end",
            NAME,
            "a rod end or angle joint of the tie rods",
        ),
    ],
};

static JOINT: Shape = Shape {
    title: "a joint",
    fields: &[
        needed("name", NAME, "name by which the vehicle asks for it"),
        needed(
            "kind",
            Kind::Choice(&["ball_joint", "angle_joint", "rod_end", "spherical_bearing"]),
            "what it is",
        ),
        defaulted(
            "source",
            Kind::Text(500),
            "\"\"",
            "where the figures come from",
        ),
        optional(
            "angle_deg",
            Kind::Number(between(0.0, 90.0, "degrees")),
            "half-cone or misalignment that it allows, degrees",
        ),
        optional(
            "bearing",
            Kind::Object(&BEARING),
            "sizes from which that follows instead",
        ),
        needed(
            "static_rating_n",
            Kind::Number(closed(100.0, 1e6, "N")),
            "static load rating, N",
        ),
        needed(
            "diameter_mm",
            Kind::Number(above(0.0, 200.0, "mm")),
            "diameter of its body or eye, mm",
        ),
        needed("mass_kg", Kind::Number(above(0.0, 20.0, "kg")), "mass, kg"),
    ],
};
