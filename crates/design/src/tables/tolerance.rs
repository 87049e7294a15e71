//! The fields of the job's tolerance.

use super::job::LARGEST_SEED;
use crate::shape::{Bounds, Kind, Shape, closed, defaulted, needed};

const SIGMA: Bounds = closed(0.0, 10.0, "mm");

/// The tolerance block; a study takes it too.
pub(crate) static TOLERANCE: Shape = Shape {
    title: "tolerance",
    fields: &[
        defaulted(
            "sigma_mm",
            Kind::Number(SIGMA),
            "0.5",
            "standard deviation of the errors of hardpoints, mm; left and right err apart",
        ),
        defaulted(
            "per",
            Kind::Choice(&["coordinate", "point"]),
            "\"coordinate\"",
            "what sigma_mm is of: each coordinate, or a point's distance from where it is drawn",
        ),
        defaulted(
            "points",
            Kind::List(&Kind::Object(&POINT), 0, 64),
            "[]",
            "points that err by another amount",
        ),
        defaulted(
            "rod_mm",
            Kind::Number(SIGMA),
            "0",
            "standard deviation of a rod's length left after setting the toe, mm",
        ),
        defaulted(
            "stud_deg",
            Kind::Number(closed(0.0, 10.0, "degrees")),
            "0",
            "standard deviation of the directions of studs and bolts across each of two axes, degrees",
        ),
        defaulted(
            "distribution",
            Kind::Choice(&["normal", "uniform"]),
            "\"normal\"",
            "shape of the errors; uniform ones end at √3 standard deviations",
        ),
        defaulted(
            "samples",
            Kind::Whole(64, 1024),
            "64",
            "machines built for each candidate",
        ),
        defaulted(
            "seed",
            Kind::Whole(0, LARGEST_SEED),
            "1",
            "seed of the errors",
        ),
        defaulted(
            "method",
            Kind::Choice(&["low_discrepancy", "random"]),
            "\"low_discrepancy\"",
            "Owen-scrambled Sobol points, or independent random numbers",
        ),
    ],
};

static POINT: Shape = Shape {
    title: "a point's tolerance",
    fields: &[
        needed(
            "point",
            Kind::Path,
            "path of a point of the vehicle; without right. it means both sides",
        ),
        needed(
            "sigma_mm",
            Kind::Number(SIGMA),
            "its standard deviation, mm; 0 for a point that does not err",
        ),
    ],
};
