//! The shapes of a machine in a pose as data, for views that turn.

use crate::view::{Part, Scene, box_edges};
use design::{LinePart, PoseParts, Poser, SideName, TyrePart};
use kinematics::{Pose, Side};

/// Shapes and joints of a pose that was solved by this poser.
pub fn pose_parts(poser: &Poser, pose: &Pose<f64>) -> PoseParts {
    let gravity = poser.centre_of_gravity();
    let mut scene = Scene::of(poser.linkage(), pose, gravity, poser.body());
    if let Some(cable) = poser.cable() {
        scene.cables(poser.linkage(), pose, cable);
    }
    let (joints, transmissions) = poser.joints(pose);
    let arms = scene.arms.iter().map(|(side, points)| LinePart {
        part: "wishbone".to_owned(),
        side: Some(side_name(*side)),
        points_mm: points.to_vec(),
    });
    let strokes = scene.strokes.iter().map(|stroke| LinePart {
        part: name(stroke.part).to_owned(),
        side: stroke.side.map(side_name),
        points_mm: stroke.ends.to_vec(),
    });
    let boxes = scene.boxes.iter().flat_map(|(side, corners)| {
        box_edges(corners).map(|ends| LinePart {
            part: "box".to_owned(),
            side: side.map(side_name),
            points_mm: ends.to_vec(),
        })
    });
    PoseParts {
        tyres: scene
            .tyres
            .iter()
            .map(|tyre| TyrePart {
                side: tyre.side.map(side_name),
                centre_mm: tyre.centre,
                axis: tyre.axis,
                radius_mm: tyre.ring + tyre.section,
                section_radius_mm: tyre.section,
            })
            .collect(),
        lines: arms.chain(strokes).chain(boxes).collect(),
        joints,
        transmissions,
        centre_of_gravity_mm: scene.gravity,
    }
}

fn side_name(side: Side) -> SideName {
    match side {
        Side::Left => SideName::Left,
        Side::Right => SideName::Right,
    }
}

fn name(part: Part) -> &'static str {
    match part {
        Part::Rod => "rod",
        Part::Knuckle => "knuckle",
        Part::Crank => "crank",
        Part::Frame => "frame",
        Part::Middle => "middle",
        Part::Kingpin => "kingpin",
        Part::Rocker => "rocker",
        Part::Cable => "cable",
    }
}
