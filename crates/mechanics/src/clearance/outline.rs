//! What a picture shows of the sizes.

use super::{Body, Fitted};
use crate::candidate::SIDES;
use crate::shapes::{Block, Solid};
use kinematics::{Linkage, Pose, Side, V3};

/// An outline of what a picture shows beside rods and tyres, in frame axes.
#[derive(Clone, Copy, Debug)]
pub enum Outline {
    /// A circle about a unit vector: rims, and both ends of hubs and brake discs.
    Circle {
        /// Centre, mm.
        centre: V3<f64>,
        /// Unit vector along its axis.
        axis: V3<f64>,
        /// Radius, mm.
        radius: f64,
    },
    /// A box.
    Box(Block),
}

/// Outlines of all sizes that are given, in a pose, each with its side where it has one.
pub fn outlines(linkage: &Linkage, body: &Body, pose: &Pose<f64>) -> Vec<(Option<Side>, Outline)> {
    let fitted = Fitted::new(body, linkage);
    let posed = fitted.posed(pose);
    let boxes = body.boxes.iter().map(|b| (None, Outline::Box(b.block)));
    let of_wheel = |side: Side| {
        // Tyre and spokes stand first.
        let parts = posed.wheel(side).skip(2);
        parts
            .flat_map(|(_, solid)| outline(solid))
            .map(move |o| (Some(side), o))
    };
    boxes.chain(SIDES.into_iter().flat_map(of_wheel)).collect()
}

fn outline(solid: &Solid) -> Vec<Outline> {
    match solid {
        Solid::Block(block) => vec![Outline::Box(*block)],
        Solid::Torus(ring, section) => vec![Outline::Circle {
            centre: ring.centre,
            axis: ring.axis,
            radius: ring.radius - section,
        }],
        Solid::Drum(drum) => [-drum.half, drum.half]
            .map(|along| Outline::Circle {
                centre: drum.centre + drum.axis.scale(along),
                axis: drum.axis,
                radius: drum.radius,
            })
            .to_vec(),
        Solid::Capsule(..) => Vec::new(),
    }
}
