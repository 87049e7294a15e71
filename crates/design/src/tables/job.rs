//! The fields of the job file.

use super::tolerance::TOLERANCE;
use super::vehicle::{NAME, VEHICLE, VERSION};
use crate::shape::{
    Bounds, Field, Kind, Names, Shape, above, between, closed, defaulted, needed, optional,
};

/// Largest offset of a freedom either way, mm.
pub(crate) const FARTHEST_OFFSET: f64 = 1000.0;
/// Most freedoms of a job.
pub(crate) const MOST_FREEDOMS: usize = 64;
/// Most further layouts of a job.
pub(crate) const MOST_LAYOUTS: usize = 5;
/// Most islands of all layouts together.
pub(crate) const MOST_ISLANDS: f64 = 64.0;
/// Most holds of a job.
pub(crate) const MOST_HOLDS: usize = 8;
/// Most requirements of a job.
pub(crate) const MOST_REQUIREMENTS: usize = 100;
/// Largest seed: beyond it a double no longer tells whole numbers apart.
pub(crate) const LARGEST_SEED: u64 = 1 << 53;

const OFFSET: Bounds = closed(-FARTHEST_OFFSET, FARTHEST_OFFSET, "mm");
const LIMIT: Bounds = closed(-1e9, 1e9, "");
const AXES: Kind = Kind::Choice(&["x", "y", "z"]);
const QUANTITY: Kind = Kind::Quantity(Names::Any);

const POINT: Field = needed(
    "point",
    Kind::Path,
    "path of a point of the vehicle, such as steering.rod_outer_mm; on a \
symmetric machine it means both sides; right. in front names a point given under right. \
Points of cables are centre_mm of steering.handlebar.sheave, .driven (on knuckles) and of each \
guide of .left_run and .right_run, counted from 0; without right_run the left run means both",
);
const AXIS: Field = needed(
    "axis",
    AXES,
    "which coordinate; along y the two sides move apart or together",
);
const CARRIES: Field = defaulted(
    "carries",
    Kind::List(&Kind::Path, 0, 32),
    "[]",
    "points that move along by the same offset",
);
const OVER_POSES: Field = optional(
    "over",
    Kind::Object(&OVER),
    "the poses; by default the quantity's own",
);
const AT: Field = optional(
    "at",
    Kind::Choice(&["p95"]),
    "p95: the value that 95 % of the machines built within the tolerance are no \
worse than; by default the machine as drawn",
);

const FREEDOMS: Field = needed(
    "freedoms",
    Kind::List(&EITHER_FREEDOM, 1, MOST_FREEDOMS),
    "coordinates that may move, and sizes to choose",
);
static A_HOLD: Kind = Kind::Object(&HOLD);
const HOLDS: Field = defaulted(
    "holds",
    Kind::List(&A_HOLD, 0, MOST_HOLDS),
    "[]",
    "equalities, each solved exactly by one coordinate",
);

/// The job file.
pub(crate) static JOB: Shape = Shape {
    title: "the job",
    fields: &[
        VERSION,
        NAME,
        needed(
            "vehicle",
            Kind::Object(&VEHICLE),
            "the machine that the search starts from",
        ),
        FREEDOMS,
        HOLDS,
        defaulted(
            "requirements",
            Kind::List(&Kind::Object(&REQUIREMENT), 0, MOST_REQUIREMENTS),
            "[]",
            "limits that a candidate must keep",
        ),
        needed(
            "goals",
            Kind::List(&Kind::Object(&GOAL), 1, 6),
            "what to make small or large",
        ),
        defaulted(
            "reach",
            Kind::Object(&REACH),
            "{}",
            "lean × steer corners that a rider meets",
        ),
        defaulted(
            "tolerance",
            Kind::Object(&TOLERANCE),
            "{}",
            "errors of the machines that the workshop builds",
        ),
        optional(
            "grid_mm",
            Kind::Number(closed(0.001, 50.0, "mm")),
            "the workshop's grid, mm: freedoms move by whole multiples of it",
        ),
        defaulted(
            "layouts",
            Kind::List(&Kind::Object(&LAYOUT), 0, MOST_LAYOUTS),
            "[]",
            "further layouts searched beside that of vehicle, each on islands of its own; their fronts \
             are laid over one another",
        ),
        optional(
            "start_from",
            Kind::Object(&START_FROM),
            "another job's front to start from, beside the submitted vehicle",
        ),
        defaulted(
            "search",
            Kind::Object(&SEARCH),
            "{}",
            "budget, islands, seed, size of the answer",
        ),
    ],
};

/// A further layout.
static LAYOUT: Shape = Shape {
    title: "a layout",
    fields: &[
        NAME,
        needed(
            "vehicle",
            Kind::Object(&VEHICLE),
            "the machine that its search starts from",
        ),
        FREEDOMS,
        HOLDS,
    ],
};

static EITHER_FREEDOM: Kind = Kind::Either(
    &[
        ("names", &JOINT),
        ("parameter", &CHOICE),
        ("direction", &DIRECTION),
    ],
    &FREEDOM,
);

/// Most sizes of a list.
pub(crate) const MOST_CHOICES: usize = 64;

static CHOICE: Shape = Shape {
    title: "a freedom of choices",
    fields: &[
        needed(
            "parameter",
            Kind::Text(100),
            "path of the size: stub_axle.sections.0.diameter_mm or fillet_mm, or those of another section, stub_axle.boss_diameter_mm, rods.outer_diameter_mm, wishbone_legs.outer_diameter_mm, steering.handlebar.sheave.radius_mm, steering.handlebar.driven.radius_mm (of the cables)",
        ),
        needed(
            "choices",
            Kind::List(&Kind::Number(above(0.0, 500.0, "mm")), 1, MOST_CHOICES),
            "the sizes, in the parameter's unit, in any order",
        ),
    ],
};

static JOINT: Shape = Shape {
    title: "a freedom of joints",
    fields: &[
        needed(
            "parameter",
            Kind::Text(100),
            "path of the joint: joints.lower_ball_joint, joints.upper_ball_joint, joints.inner_rod_end or joints.outer_rod_end",
        ),
        needed(
            "names",
            Kind::List(&Kind::Text(100), 1, MOST_CHOICES),
            "names in joint_catalogue or the shipped catalogue, the submitted one among them",
        ),
    ],
};

const TURN: Bounds = closed(-90.0, 90.0, "degrees");

static DIRECTION: Shape = Shape {
    title: "a freedom of a direction",
    fields: &[
        needed(
            "direction",
            Kind::Choice(&crate::parameter::DIRECTIONS),
            "path of a stud, socket or bolt that the vehicle gives",
        ),
        needed(
            "about",
            AXES,
            "the axis of the frame that it is turned about, right-handed",
        ),
        needed(
            "offset_from_deg",
            Kind::Number(TURN),
            "smallest offset from the submitted vehicle, degrees",
        ),
        needed(
            "offset_to_deg",
            Kind::Number(TURN),
            "largest offset from the submitted vehicle, degrees",
        ),
    ],
};

static FREEDOM: Shape = Shape {
    title: "a freedom",
    fields: &[
        POINT,
        AXIS,
        needed(
            "offset_from_mm",
            Kind::Number(OFFSET),
            "smallest offset from the submitted vehicle, mm",
        ),
        needed(
            "offset_to_mm",
            Kind::Number(OFFSET),
            "largest offset from the submitted vehicle, mm",
        ),
        CARRIES,
    ],
};

static HOLD: Shape = Shape {
    title: "a hold",
    fields: &[
        needed(
            "quantity",
            Kind::Quantity(Names::Held),
            "a quantity of the static set-up",
        ),
        needed(
            "value",
            Kind::Number(closed(-5000.0, 5000.0, "")),
            "its value in its unit",
        ),
        needed(
            "by",
            Kind::Object(&HOLD_BY),
            "the coordinate that is solved for",
        ),
        optional(
            "side",
            Kind::Choice(&["left", "right"]),
            "whose quantity; by default the side of the solving point, left if it has none",
        ),
    ],
};

static HOLD_BY: Shape = Shape {
    title: "a hold's coordinate",
    fields: &[POINT, AXIS, CARRIES],
};

pub(crate) static REQUIREMENT: Shape = Shape {
    title: "a requirement",
    fields: &[
        needed("quantity", QUANTITY, "the quantity"),
        optional(
            "at_most",
            Kind::Number(LIMIT),
            "upper limit in the quantity's unit",
        ),
        optional(
            "at_least",
            Kind::Number(LIMIT),
            "lower limit in the quantity's unit",
        ),
        optional(
            "within",
            Kind::Range(LIMIT),
            "lower and upper limit in the quantity's unit",
        ),
        OVER_POSES,
        AT,
        optional(
            "tolerance",
            Kind::Number(above(0.0, 1e6, "")),
            "the miss that counts as 1 when misses are added up, in the quantity's unit",
        ),
    ],
};

pub(crate) static GOAL: Shape = Shape {
    title: "a goal",
    fields: &[
        optional("minimise", QUANTITY, "the quantity to make small"),
        optional("maximise", QUANTITY, "the quantity to make large"),
        OVER_POSES,
        AT,
        optional(
            "aspiration",
            Kind::Number(LIMIT),
            "a value one would like to see, in the quantity's unit: the candidates nearest to all \
aspirations are shown beside the front",
        ),
    ],
};

static OVER: Shape = Shape {
    title: "over",
    fields: &[
        optional(
            "lean_deg",
            Kind::Range(closed(-60.0, 60.0, "degrees")),
            "lean, degrees, ISO roll: positive leans right",
        ),
        optional(
            "steer_deg",
            Kind::Range(closed(-170.0, 170.0, "degrees")),
            "crank angle, degrees, right-handed about its axis",
        ),
        optional(
            "travel_mm",
            Kind::Range(closed(-300.0, 300.0, "mm")),
            "mean travel of the wheels, mm, wheels up positive",
        ),
        optional("reach", Kind::Flag, "true: over the job's reach"),
    ],
};

/// The reach block; an assessment takes it too.
pub(crate) static REACH: Shape = Shape {
    title: "reach",
    fields: &[
        defaulted(
            "speed_mps",
            Kind::Range(closed(0.0, 50.0, "m/s")),
            "[0, 8]",
            "slowest and fastest speed, m/s",
        ),
        defaulted(
            "radius_m",
            Kind::Range(closed(0.5, 1000.0, "m")),
            "[2.5, 50]",
            "tightest and widest turn at the rear contact, m",
        ),
        defaulted(
            "lean_limit_deg",
            Kind::Number(between(0.0, 60.0, "degrees")),
            "12",
            "the rider leans no further, degrees",
        ),
        defaulted(
            "parking",
            Kind::Flag,
            "true",
            "steering upright at a standstill counts too",
        ),
        defaulted(
            "lean_out_deg",
            Kind::Number(closed(0.0, 45.0, "degrees")),
            "0",
            "the rider also leans this far out of a turn, at any of its radii, degrees",
        ),
        defaulted(
            "side_slope_deg",
            Kind::Number(closed(0.0, 30.0, "degrees")),
            "0",
            "side slope of the ground, degrees: the lean against the ground is that of the turn \
more or less so much, up to the lean limit",
        ),
    ],
};

static SEARCH: Shape = Shape {
    title: "search",
    fields: &[
        defaulted(
            "evaluations",
            Kind::Whole(1, 1_000_000_000),
            "50000",
            "budget of all layouts together; rounded up to whole epochs of all islands",
        ),
        defaulted(
            "islands",
            Kind::Whole(1, 64),
            "8",
            "islands side by side, of each layout; 1 uses one core",
        ),
        defaulted(
            "seed",
            Kind::Whole(0, LARGEST_SEED),
            "1",
            "seed of every random draw",
        ),
        defaulted(
            "front",
            Kind::Whole(2, 1000),
            "100",
            "most candidates of the answer",
        ),
        defaulted(
            "polish_points",
            Kind::Whole(0, 64),
            "8",
            "front points refined after the search",
        ),
        defaulted(
            "polish_evaluations",
            Kind::Whole(0, 100_000),
            "1000",
            "most evaluations spent on each of them",
        ),
        optional(
            "study_points",
            Kind::Whole(0, 64),
            "front candidates that get a tolerance study: nearest to the aspirations, then knees, \
then others spread over the front; by default 8 where the job gives a tolerance or asks at p95, \
else none",
        ),
        optional(
            "early_stop",
            Kind::Object(&EARLY_STOP),
            "when to end before the budget is spent; by default never",
        ),
    ],
};

static EARLY_STOP: Shape = Shape {
    title: "early_stop",
    fields: &[
        needed(
            "epochs",
            Kind::Whole(1, 10_000),
            "epochs over which the gain is taken",
        ),
        needed(
            "gain",
            Kind::Number(above(0.0, 1.0, "")),
            "end when the islands' hypervolumes (with one goal, their best values) grew by less \
than this fraction on the mean",
        ),
    ],
};

static START_FROM: Shape = Shape {
    title: "start_from",
    fields: &[needed(
        "job",
        Kind::Text(16),
        "id of a job of the same store that is done and has the same freedoms",
    )],
};
