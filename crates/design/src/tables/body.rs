//! The fields of sizes and boxes.

use super::parts::MOST;
use crate::shape::{Across, Field, Kind, Shape, above, closed, defaulted, needed, optional};

const DIAMETER: Kind = Kind::Number(above(0.0, 200.0, "mm"));
const SIZES: Kind = Kind::List(&Kind::Number(above(0.0, 5000.0, "mm")), 3, 3);
const TURN: Kind = Kind::Number(closed(-180.0, 180.0, "degrees"));
const RADIUS: Kind = Kind::Number(above(0.0, 600.0, "mm"));
const YAW: Field = defaulted(
    "yaw_deg",
    TURN,
    "0",
    "turned about z, degrees, positive to the left",
);
const PITCH: Field = defaulted(
    "pitch_deg",
    TURN,
    "0",
    "then about its own y, degrees, positive nose down",
);
const ROLL: Field = defaulted(
    "roll_deg",
    TURN,
    "0",
    "then about its own x, degrees, positive left side up",
);

/// The vehicle's block of sizes.
pub(super) const SHAPES: Field = optional(
    "shapes",
    Kind::Object(&SIZED),
    "sizes of what is otherwise points, and boxes on the frame, for clearances",
);

/// Parts of a front wheel.
pub(super) const RIM: Field = optional(
    "rim",
    Kind::Object(&RIM_SHAPE),
    "rim of each front wheel, a ring of round section; read with the block shapes",
);
pub(super) const HUB: Field = optional(
    "hub",
    Kind::Object(&DRUM),
    "hub of each front wheel; read with the block shapes",
);
pub(super) const BRAKE_DISC: Field = optional(
    "brake_disc",
    Kind::Object(&DRUM),
    "brake disc of each front wheel; read with the block shapes",
);
pub(super) const CALIPER: Field = optional(
    "caliper",
    Kind::Object(&CALIPER_SHAPE),
    "caliper of the left front brake, a box in frame axes in the design pose that moves with the knuckle; mirrored on the right; read with the block shapes",
);
pub(super) const LEAST_CLEARANCE: Field = defaulted(
    "least_clearance_mm",
    Kind::Number(closed(0.0, 100.0, "mm")),
    "0",
    "a smaller gap between two parts stops steering and lean, mm; read with the block shapes",
);

static SIZED: Shape = Shape {
    title: "shapes",
    fields: &[
        needed(
            "wishbone_diameter_mm",
            DIAMETER,
            "diameter of the wishbones' legs, mm",
        ),
        optional(
            "rod_diameter_mm",
            DIAMETER,
            "diameter of the steering's rods and links, mm; absent: that of rods, else 12",
        ),
        defaulted(
            "link_diameter_mm",
            DIAMETER,
            "12",
            "diameter of the rocker's links, mm",
        ),
        defaulted(
            "boxes",
            Kind::List(&Kind::Object(&BOX), 0, MOST),
            "[]",
            "boxes fixed to the frame: cargo bed, legs, tubes",
        ),
    ],
};

static BOX: Shape = Shape {
    title: "a box",
    fields: &[
        needed("name", Kind::Text(60), "a name for people, each once"),
        needed("centre_mm", Kind::Point(Across::Any), "middle, mm"),
        needed(
            "size_mm",
            SIZES,
            "length, width and height along its own axes, mm",
        ),
        YAW,
        PITCH,
        ROLL,
        defaulted(
            "mirrored",
            Kind::Flag,
            "false",
            "true: its mirror image is there too",
        ),
        defaulted(
            "carries",
            Kind::List(
                &Kind::Choice(&[
                    "lower_wishbone",
                    "upper_wishbone",
                    "steering",
                    "lean_coupling",
                    "rear_wheel",
                ]),
                0,
                5,
            ),
            "[]",
            "what is mounted on it and therefore not measured against it",
        ),
    ],
};

static RIM_SHAPE: Shape = Shape {
    title: "a rim",
    fields: &[
        needed("radius_mm", RADIUS, "outer radius, mm"),
        needed(
            "section_radius_mm",
            Kind::Number(above(0.0, 100.0, "mm")),
            "radius of its section, about half of its width, mm",
        ),
    ],
};

static DRUM: Shape = Shape {
    title: "a hub or brake disc",
    fields: &[
        needed("radius_mm", RADIUS, "radius, mm"),
        needed(
            "along_mm",
            Kind::Range(closed(-300.0, 300.0, "mm")),
            "where it begins and ends along the axle, mm from the wheel's middle, outwards positive",
        ),
    ],
};

static CALIPER_SHAPE: Shape = Shape {
    title: "a caliper",
    fields: &[
        needed(
            "centre_mm",
            Kind::Point(Across::Left),
            "middle in the design pose, mm",
        ),
        needed("size_mm", SIZES, "length, width and height, mm"),
        YAW,
        PITCH,
        ROLL,
    ],
};
