//! Views of the linkage: solved poses seen along one direction.

mod labels;
mod outlines;
mod rocker;
mod scene;
mod sheet;
mod steering;

use crate::canvas::{Canvas, Pen, Type, text_width};
use crate::escape::shortened;
use crate::ink::Ink;
use crate::picture::{Picture, WIDTH, headed};
use kinematics::{Linkage, Pose, Side, V3};
use mechanics::{Body, CableDrive};
use sheet::Sheet;

pub(crate) use outlines::box_edges;
pub(crate) use scene::{Part, Scene};
pub(crate) use steering::point_names;

const TOP: f64 = 44.0;
const TALLEST: f64 = 330.0;
const MARGIN: f64 = 10.0;

/// The direction of a view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aspect {
    /// The front axle from behind, as the rider sees it: left is left.
    Behind,
    /// The front axle from above, forward at the top.
    Above,
    /// The left front corner from the left side, forward to the left.
    LeftCorner,
    /// The whole machine from its left side, forward to the left.
    LeftSide,
}

impl Aspect {
    fn project(self, [x, y, z]: [f64; 3]) -> [f64; 2] {
        match self {
            Aspect::Behind => [-y, -z],
            Aspect::Above => [-y, -x],
            Aspect::LeftCorner | Aspect::LeftSide => [-x, -z],
        }
    }

    /// Whether the view shows what belongs to a side, or to neither.
    fn shows(self, side: Option<Side>) -> bool {
        match self {
            Aspect::Behind | Aspect::Above => side.is_some(),
            Aspect::LeftCorner => side == Some(Side::Left),
            Aspect::LeftSide => true,
        }
    }

    fn ends(self) -> [&'static str; 2] {
        match self {
            Aspect::Behind | Aspect::Above => ["left", "right"],
            Aspect::LeftCorner | Aspect::LeftSide => ["front", "rear"],
        }
    }
}

/// A machine in a pose.
#[derive(Clone, Copy, Debug)]
pub struct Posed<'a> {
    /// Name for the key; empty for none.
    pub label: &'a str,
    /// Its colour.
    pub ink: Ink,
    /// The machine.
    pub linkage: &'a Linkage,
    /// The pose, solved on that machine.
    pub pose: &'a Pose<f64>,
    /// Centre of gravity in frame axes, mm; shown from the side.
    pub centre_of_gravity: Option<V3<f64>>,
    /// Sizes of parts and boxes, shown where they are given.
    pub body: Option<&'a Body>,
    /// Its cable drive.
    pub cable: Option<&'a CableDrive>,
}

/// What stands above a view, and whether the hardpoints are numbered.
#[derive(Clone, Copy, Debug)]
pub struct ViewText<'a> {
    /// Heading.
    pub title: &'a str,
    /// Line below the heading.
    pub subtitle: &'a str,
    /// Number the hardpoints of the last machine's left side.
    pub numbered: bool,
}

/// Draws machines over one another, the last on top, all to one scale.
pub fn view(aspect: Aspect, machines: &[Posed], text: &ViewText) -> Picture {
    let scenes: Vec<Scene> = machines
        .iter()
        .map(|m| {
            let mut scene = Scene::of(m.linkage, m.pose, m.centre_of_gravity, m.body);
            if let Some(cable) = m.cable {
                scene.cables(m.linkage, m.pose, cable);
            }
            scene
        })
        .collect();
    let mut canvas = headed(text.title, text.subtitle);
    if machines.is_empty() {
        return Picture::new(text.title, "No machine to show.".to_owned(), TOP, canvas);
    }
    let sheet = Sheet::fit(aspect, &scenes);
    if aspect != Aspect::Above {
        let ground = sheet.at([0.0, 0.0, 0.0])[1];
        let pen = Pen::new(Ink::Rule, 1.2);
        canvas.line([MARGIN, ground], [WIDTH - MARGIN, ground], pen);
    }
    sheet.tyres(&mut canvas, &scenes);
    for (scene, machine) in scenes.iter().zip(machines) {
        sheet.outlines(&mut canvas, scene, machine.ink);
        sheet.linkage(&mut canvas, scene, machine.ink);
    }
    if let (true, Some(scene)) = (text.numbered, scenes.last()) {
        labels::numbers(&mut canvas, &sheet, scene);
    }
    let foot = sheet.foot(&mut canvas);
    let bottom = key(&mut canvas, machines, foot);
    Picture::new(
        text.title,
        description(aspect, machines, text),
        bottom,
        canvas,
    )
}

fn description(aspect: Aspect, machines: &[Posed], text: &ViewText) -> String {
    let seen = match aspect {
        Aspect::Behind => "The front axle seen from behind",
        Aspect::Above => "The front axle seen from above",
        Aspect::LeftCorner => "The left front corner seen from its side",
        Aspect::LeftSide => "The machine seen from its left side",
    };
    let names: Vec<&str> = machines.iter().map(|m| m.label).collect();
    let names: Vec<&str> = names.into_iter().filter(|n| !n.is_empty()).collect();
    let of = if names.is_empty() {
        String::new()
    } else {
        format!(": {}", names.join(", "))
    };
    format!("{seen}{of}. {}.", text.subtitle.trim_end_matches('.'))
}

fn key(canvas: &mut Canvas, machines: &[Posed], top: f64) -> f64 {
    let named = || machines.iter().filter(|m| !m.label.is_empty());
    if named().count() < 1 {
        return top - 12.0;
    }
    let mut at = [MARGIN, top];
    for machine in named() {
        let label = shortened(machine.label, 30);
        let width = 34.0 + text_width(&label, 11.5) + 14.0;
        if at[0] > MARGIN && at[0] + width > WIDTH {
            at = [MARGIN, at[1] + 17.0];
        }
        let pen = Pen::new(machine.ink, 2.4);
        canvas.line([at[0], at[1] - 4.0], [at[0] + 26.0, at[1] - 4.0], pen);
        canvas.text([at[0] + 34.0, at[1]], &label, Type::PLAIN);
        at[0] += width;
    }
    at[1] + 8.0
}
