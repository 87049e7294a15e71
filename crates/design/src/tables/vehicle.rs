//! The fields of the vehicle file.

use super::load_cases::LOAD_CASES;
use super::right_side::RIGHT_SIDE;
use super::steering::LAYOUTS;
use super::{body, effort, joints, parts};
use crate::shape::{
    Across, Bounds, Field, Kind, Shape, above, between, closed, defaulted, needed, optional,
};

/// Mass of a machine with what it carries.
pub(super) const MASS: Kind = Kind::Number(closed(5.0, 2000.0, "kg"));
pub(super) const LEFT: Kind = Kind::Point(Across::Left);
pub(super) const RADIUS: Bounds = closed(50.0, 600.0, "mm");
pub(super) const SECTION: Bounds = closed(0.0, 150.0, "mm");
pub(super) const CAMBER: Bounds = closed(-45.0, 45.0, "degrees");
pub(super) const TOE: Bounds = closed(-20.0, 20.0, "degrees");

pub(super) const RADIUS_MEANS: &str = "outer radius of the tyre, mm";
pub(super) const SECTION_MEANS: &str =
    "radius of the tyre's round section, mm; below the outer radius";
pub(super) const CAMBER_MEANS: &str = "static camber, degrees, top outward positive";
pub(super) const TOE_MEANS: &str = "static toe of a wheel, degrees, toe-in positive";
pub(super) const CENTRE_MEANS: &str = "wheel centre, mm";
pub(super) const FRONT_MEANS: &str = "front point of the hinge on the frame, mm";
pub(super) const REAR_MEANS: &str = "rear point of the hinge on the frame, mm";
pub(super) const BALL_MEANS: &str = "centre of the ball joint, mm";
pub(super) const INNER_MEANS: &str = "tie-rod end on the crank, slider or centre link, mm";
pub(super) const OUTER_MEANS: &str = "tie-rod end on the knuckle, mm";
pub(super) const FOOT_MEANS: &str = "foot of the rocker's link on the lower wishbone, mm";

/// The file's version; shared with the job file.
pub(crate) const VERSION: Field = defaulted(
    "version",
    Kind::Whole(1, 1),
    "1",
    "version of the file's form",
);
/// A name for people; shared with the job file.
pub(crate) const NAME: Field = defaulted("name", Kind::Text(200), "\"\"", "a name for people");

/// The vehicle file.
pub(crate) static VEHICLE: Shape = Shape {
    title: "the vehicle",
    fields: &[
        VERSION,
        NAME,
        needed(
            "front_wheels",
            Kind::Object(&FRONT_WHEELS),
            "both front wheels in the design pose",
        ),
        needed(
            "rear_wheel",
            Kind::Object(&REAR_WHEEL),
            "the rear wheel; its axis lies along y",
        ),
        needed(
            "lower_wishbone",
            Kind::Object(&WISHBONE),
            "the lower wishbones",
        ),
        needed(
            "upper_wishbone",
            Kind::Object(&WISHBONE),
            "the upper wishbones",
        ),
        needed(
            "steering",
            Kind::Variants("layout", &LAYOUTS),
            "the steering linkage",
        ),
        defaulted(
            "lean_coupling",
            Kind::Variants(
                "kind",
                &[("mean_travel", &MEAN_TRAVEL), ("rocker", &ROCKER)],
            ),
            r#"{"kind": "mean_travel"}"#,
            "what joins the left and right wishbones in lean",
        ),
        optional(
            "masses",
            Kind::Object(&MASSES),
            "masses of the laden machine",
        ),
        parts::LOADINGS,
        parts::SPRINGS,
        parts::PARKING_SLOPE,
        LOAD_CASES,
        parts::MATERIALS,
        parts::STUB_AXLE,
        parts::RODS,
        parts::WISHBONE_LEGS,
        parts::JOINT_RATINGS,
        joints::JOINTS,
        joints::CATALOGUE,
        body::SHAPES,
        defaulted(
            "limits",
            Kind::Object(&LIMITS),
            "{}",
            "what stops steering and lean",
        ),
        defaulted(
            "fittings",
            Kind::Object(&FITTINGS),
            "{}",
            "joints, handlebar, brakes, body",
        ),
        optional(
            "right",
            Kind::Object(&RIGHT_SIDE),
            "what differs on the right side (y negative)",
        ),
    ],
};

static FRONT_WHEELS: Shape = Shape {
    title: "front_wheels",
    fields: &[
        needed("centre_mm", LEFT, CENTRE_MEANS),
        needed("radius_mm", Kind::Number(RADIUS), RADIUS_MEANS),
        needed("section_radius_mm", Kind::Number(SECTION), SECTION_MEANS),
        defaulted("camber_deg", Kind::Number(CAMBER), "0", CAMBER_MEANS),
        defaulted("toe_in_deg", Kind::Number(TOE), "0", TOE_MEANS),
        body::RIM,
        body::HUB,
        body::BRAKE_DISC,
        body::CALIPER,
    ],
};

static REAR_WHEEL: Shape = Shape {
    title: "rear_wheel",
    fields: &[
        needed("centre_mm", Kind::Point(Across::Any), CENTRE_MEANS),
        needed("radius_mm", Kind::Number(RADIUS), RADIUS_MEANS),
        needed("section_radius_mm", Kind::Number(SECTION), SECTION_MEANS),
    ],
};

static WISHBONE: Shape = Shape {
    title: "a wishbone",
    fields: &[
        needed("front_pivot_mm", LEFT, FRONT_MEANS),
        needed("rear_pivot_mm", LEFT, REAR_MEANS),
        needed("ball_joint_mm", LEFT, BALL_MEANS),
    ],
};

static MEAN_TRAVEL: Shape = Shape {
    title: "a mean_travel coupling",
    fields: &[],
};

static ROCKER: Shape = Shape {
    title: "a rocker coupling",
    fields: &[
        needed(
            "pivot_mm",
            Kind::Point(Across::Any),
            "pivot of the rocker, mm",
        ),
        needed(
            "axis",
            Kind::Direction,
            "direction of the pivot, not along y",
        ),
        needed(
            "arm_mm",
            Kind::Number(above(0.0, 1000.0, "mm")),
            "half length, mm; in the design pose the ends lie at the pivot ± arm along y",
        ),
        needed("link_foot_mm", LEFT, FOOT_MEANS),
    ],
};

static MASSES: Shape = Shape {
    title: "masses",
    fields: &[
        needed("total_kg", MASS, "machine, rider and load, kg"),
        needed(
            "centre_of_gravity_mm",
            Kind::Point(Across::Any),
            "common centre of gravity in the design pose, mm",
        ),
        optional("mean_travel_mm", parts::TRAVEL, parts::TRAVEL_MEANS),
    ],
};

static LIMITS: Shape = Shape {
    title: "limits",
    fields: &[
        defaulted(
            "smallest_transmission_deg",
            Kind::Number(closed(1.0, 60.0, "degrees")),
            "15",
            "transmission angle at which the steering counts as stopped, degrees",
        ),
        optional(
            "stop_angle_deg",
            Kind::Number(between(0.0, 170.0, "degrees")),
            "stop of the crank, degrees either way; behind a handlebar's drag link that of the \
             handlebar",
        ),
        optional(
            "ball_joint_deg",
            Kind::Number(between(0.0, 90.0, "degrees")),
            "half-cone of the ball joints, degrees",
        ),
        optional(
            "rod_end_deg",
            Kind::Number(between(0.0, 90.0, "degrees")),
            "largest misalignment of a rod end, degrees; the drag links' ends have this limit alone",
        ),
        optional(
            "ball_joint_bearing",
            Kind::Object(&BEARING),
            "sizes that limit the ball joints instead of ball_joint_deg",
        ),
        optional(
            "rod_end_bearing",
            Kind::Object(&BEARING),
            "sizes that limit the rod ends instead of rod_end_deg",
        ),
        body::LEAST_CLEARANCE,
        defaulted(
            "lean_sweep_deg",
            Kind::Number(closed(5.0, 60.0, "degrees")),
            "45",
            "where a sweep of the lean ends if nothing stops it, degrees",
        ),
    ],
};

const SIZE: Kind = Kind::Number(closed(1.0, 500.0, "mm"));

pub(super) static BEARING: Shape = Shape {
    title: "a bearing",
    fields: &[
        needed("ball_diameter_mm", SIZE, "diameter d of the ball, mm"),
        needed(
            "inner_width_mm",
            SIZE,
            "width B of the inner ring, mm, at most d; tilt is asin(B/d) − asin(C/d)",
        ),
        needed(
            "outer_width_mm",
            SIZE,
            "width C of the outer ring or eye, mm, below B",
        ),
    ],
};

const BOLT_MEANS: &str = "direction in the design pose, left side; by default along the crank axis \
(inner) or the kingpin (outer)";
const STUD_MEANS: &str = "direction in the design pose, left side; by default along the kingpin";
const SOCKET_MEANS: &str = "direction in the design pose, left side; by default along the stud";

static FITTINGS: Shape = Shape {
    title: "fittings",
    fields: &[
        optional("lower_stud", Kind::Direction, STUD_MEANS),
        optional("upper_stud", Kind::Direction, STUD_MEANS),
        optional("lower_socket", Kind::Direction, SOCKET_MEANS),
        optional("upper_socket", Kind::Direction, SOCKET_MEANS),
        optional("inner_bolt", Kind::Direction, BOLT_MEANS),
        optional("outer_bolt", Kind::Direction, BOLT_MEANS),
        optional(
            "rod_clock_deg",
            Kind::Number(closed(-180.0, 180.0, "degrees")),
            "angle between the two eyes of a rod, degrees; by default set best in the design pose",
        ),
        defaulted(
            "overhangs_mm",
            Kind::List(&Kind::Point(Across::Any), 0, 64),
            "[]",
            "points of the body that count for wall-to-wall turning, mm",
        ),
        optional(
            "handlebar_per_crank",
            Kind::Number(closed(0.1, 10.0, "")),
            "handlebar degrees per crank degree; by default 1",
        ),
        defaulted(
            "brake",
            Kind::Choice(&["knuckle", "frame"]),
            "\"knuckle\"",
            "what takes the torque of a front brake",
        ),
        defaulted(
            "effort",
            Kind::Object(&effort::EFFORT),
            "{}",
            "what the hands work against beside weight and side force",
        ),
    ],
};
