//! The fields of materials, stub axle, rods, legs, joint ratings and states of loading.

use super::vehicle::MASS;
use crate::shape::{
    Across, Bounds, Field, Kind, Shape, above, closed, defaulted, needed, optional,
};

/// Most load cases, sections, own materials and states of loading.
pub(crate) const MOST: usize = 32;

const SIZE: Bounds = above(0.0, 500.0, "mm");
const PLACE: Kind = Kind::Number(closed(0.0, 1000.0, "mm"));
const STRENGTH: Kind = Kind::Number(above(0.0, 5000.0, "MPa"));
const RATING: Kind = Kind::Number(closed(100.0, 1e6, "N"));
pub(super) const SOURCE: Field = defaulted(
    "source",
    Kind::Text(500),
    "\"\"",
    "where the figures come from",
);

static ONE_MATERIAL: Kind = Kind::Object(&MATERIAL);
static ONE_LOADING: Kind = Kind::Object(&LOADING);

/// The vehicle's fields of all these.
pub(super) const MATERIALS: Field = defaulted(
    "materials",
    Kind::List(&ONE_MATERIAL, 0, MOST),
    "[]",
    "materials beside the shipped ones",
);
pub(super) const STUB_AXLE: Field = optional(
    "stub_axle",
    Kind::Object(&AXLE),
    "the stub axle of each front wheel, from its root at the knuckle outwards",
);
pub(super) const RODS: Field = optional(
    "rods",
    Kind::Object(&ROD),
    "section of the rods of the steering",
);
pub(super) const WISHBONE_LEGS: Field = optional(
    "wishbone_legs",
    Kind::Object(&ROD),
    "section of the wishbones' legs",
);
pub(super) const JOINT_RATINGS: Field = defaulted(
    "joint_ratings",
    Kind::Object(&RATINGS),
    "{}",
    "static load ratings of the joints, N, from their data sheets",
);
pub(super) const LOADINGS: Field = defaulted(
    "loadings",
    Kind::List(&ONE_LOADING, 0, MOST),
    "[]",
    "other states of loading beside masses; every quantity is the worst over all of them",
);
pub(super) const TRAVEL: Kind = Kind::Number(closed(-150.0, 150.0, "mm"));
pub(super) const TRAVEL_MEANS: &str =
    "mean travel with it on board, mm, wheels up positive; by default by the springs, else 0";
pub(super) const SPRINGS: Field = optional(
    "springs",
    Kind::Object(&SPRING),
    "springs of the front wheels, from which the mean travel of every loading follows",
);
pub(super) const PARKING_SLOPE: Field = defaulted(
    "parking_slope_deg",
    Kind::Number(closed(0.0, 30.0, "degrees")),
    "10",
    "slope of the ground that the machine is parked on, degrees",
);

static MATERIAL: Shape = Shape {
    title: "a material",
    fields: &[
        needed("name", Kind::Text(100), "name by which parts ask for it"),
        SOURCE,
        needed("ultimate_mpa", STRENGTH, "ultimate tensile strength, MPa"),
        needed("yield_mpa", STRENGTH, "yield strength, MPa"),
        needed(
            "elastic_gpa",
            Kind::Number(closed(1.0, 1000.0, "GPa")),
            "modulus of elasticity, GPa",
        ),
        needed(
            "density_kg_m3",
            Kind::Number(closed(100.0, 25_000.0, "kg/m³")),
            "density, kg/m³",
        ),
        needed(
            "fatigue_mpa",
            STRENGTH,
            "fatigue strength of a polished specimen in fully reversed bending, MPa",
        ),
        needed(
            "fatigue_cycles",
            Kind::Number(closed(1e4, 1e10, "")),
            "cycles that it holds for",
        ),
        defaulted(
            "endures",
            Kind::Flag,
            "false",
            "true: smaller stresses do no damage at all",
        ),
        optional(
            "notch_length_mm",
            Kind::Number(above(0.0, 10.0, "mm")),
            "Peterson's length of notch sensitivity, mm; absent: Neuber's fit for steels",
        ),
    ],
};

static AXLE: Shape = Shape {
    title: "the stub axle",
    fields: &[
        needed(
            "sections",
            Kind::List(&Kind::Object(&SECTION), 1, MOST),
            "lengths of one diameter each, from the root outwards",
        ),
        optional(
            "boss_diameter_mm",
            Kind::Number(SIZE),
            "diameter of the boss at the root, mm; by default 1.5 times the first section's",
        ),
        needed(
            "bearings_mm",
            Kind::Range(closed(0.0, 1000.0, "mm")),
            "middles of the inner and outer bearing, mm from the root",
        ),
        needed(
            "wheel_mm",
            PLACE,
            "the wheel's middle plane, mm from the root",
        ),
        needed("material", Kind::Text(100), "name of its material"),
        defaulted(
            "finish",
            Kind::Choice(&["ground", "machined", "hot_rolled", "forged"]),
            "\"machined\"",
            "surface",
        ),
        defaulted(
            "reliability_percent",
            Kind::Number(closed(50.0, 99.99, "%")),
            "99",
            "percent of parts that are at least as strong: 50, 90, 95, 99, 99.9 or 99.99",
        ),
        defaulted(
            "criterion",
            Kind::Choice(&["goodman", "gerber", "asme_elliptic", "soderberg"]),
            "\"goodman\"",
            "fatigue criterion of stub_axle_safety",
        ),
        defaulted(
            "brake_torque_share",
            Kind::Number(closed(0.0, 1.0, "")),
            "0",
            "share of the brake's torque that twists the axle",
        ),
        defaulted(
            "bearing_seat",
            Kind::Choice(&["pressed", "loose"]),
            "\"pressed\"",
            "how the inner ring of the inner bearing sits: pressed on it is a notch (DIN 743-2), loose none is counted",
        ),
        defaulted(
            "least_safety",
            Kind::Number(closed(1.0, 20.0, "")),
            "1.5",
            "factor of safety that the smallest diameters are found for; the default is invented",
        ),
    ],
};

static SECTION: Shape = Shape {
    title: "a section of the stub axle",
    fields: &[
        needed("length_mm", Kind::Number(SIZE), "length, mm"),
        needed("diameter_mm", Kind::Number(SIZE), "diameter, mm"),
        defaulted(
            "fillet_mm",
            Kind::Number(closed(0.0, 50.0, "mm")),
            "0",
            "fillet radius at the inner end, mm; 0 is a square shoulder",
        ),
    ],
};

static ROD: Shape = Shape {
    title: "a bar or tube",
    fields: &[
        needed(
            "outer_diameter_mm",
            Kind::Number(SIZE),
            "outer diameter, mm",
        ),
        defaulted(
            "inner_diameter_mm",
            Kind::Number(closed(0.0, 500.0, "mm")),
            "0",
            "inner diameter, mm; 0 for a solid rod",
        ),
        needed("material", Kind::Text(100), "name of the material"),
    ],
};

static RATINGS: Shape = Shape {
    title: "the joint ratings",
    fields: &[
        optional("lower_ball_joint_n", RATING, "lower ball joint, N"),
        optional("upper_ball_joint_n", RATING, "upper ball joint, N"),
        optional("rod_end_n", RATING, "rod ends, N"),
        optional("pivot_n", RATING, "each pivot of a wishbone, N"),
    ],
};

static SPRING: Shape = Shape {
    title: "the springs",
    fields: &[
        needed(
            "rate_n_per_mm",
            Kind::Number(closed(0.1, 1000.0, "N/mm")),
            "rate of one spring, N/mm",
        ),
        defaulted(
            "motion_ratio",
            Kind::Number(closed(0.05, 5.0, "")),
            "1",
            "travel of the spring per travel of the wheel",
        ),
        optional(
            "preload_n",
            Kind::Number(closed(0.0, 50_000.0, "N")),
            "force of each spring in the design pose, N; by default that which carries masses there",
        ),
        defaulted(
            "stops_mm",
            Kind::Range(closed(-150.0, 150.0, "mm")),
            "[-60, 60]",
            "mean travel at the droop stop and at the bump stop, mm",
        ),
    ],
};

static LOADING: Shape = Shape {
    title: "a state of loading",
    fields: &[
        needed("name", Kind::Text(100), "a name for people"),
        needed("total_kg", MASS, "machine, rider and load, kg"),
        needed(
            "centre_of_gravity_mm",
            Kind::Point(Across::Any),
            "common centre of gravity, mm",
        ),
        optional("mean_travel_mm", TRAVEL, TRAVEL_MEANS),
        optional(
            "reach",
            Kind::Object(&super::job::REACH),
            "the poses that its rider meets; by default the job's reach",
        ),
    ],
};
