//! The fields of what the hands work against.

use crate::shape::{Kind, Shape, closed, defaulted};

pub(super) static EFFORT: Shape = Shape {
    title: "effort",
    fields: &[
        defaulted(
            "tyre_friction",
            Kind::Number(closed(0.0, 3.0, "")),
            "0.8",
            "friction of a parked tyre on the ground; the default is invented",
        ),
        defaulted(
            "patch_mm",
            Kind::Number(closed(0.0, 300.0, "mm")),
            "60",
            "diameter of the patch that it touches the ground with, mm; the default is invented",
        ),
        defaulted(
            "friction_nm",
            Kind::Number(closed(0.0, 50.0, "N·m")),
            "0",
            "torque on the handlebar that bearings and housings take, N·m; a cable drive adds its own friction",
        ),
    ],
};
