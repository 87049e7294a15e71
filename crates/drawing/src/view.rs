//! Views of the linkage: solved poses seen along one direction.

mod labels;
mod rocker;
mod scene;

use crate::canvas::{Anchor, Canvas, Fill, Pen, Type, polygon, polyline, text_width};
use crate::escape::shortened;
use crate::ink::{Dash, Ink};
use crate::picture::{Picture, WIDTH, headed};
use kinematics::{Linkage, Pose};
use scene::{Part, Scene, Tyre};

pub(crate) use scene::POINTS;

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
    /// The whole machine from its left side, forward to the left.
    LeftSide,
}

impl Aspect {
    fn project(self, [x, y, z]: [f64; 3]) -> [f64; 2] {
        match self {
            Aspect::Behind => [-y, -z],
            Aspect::Above => [-y, -x],
            Aspect::LeftSide => [-x, -z],
        }
    }

    fn shows(self, tyre: &Tyre) -> bool {
        tyre.front || self == Aspect::LeftSide
    }

    fn ends(self) -> [&'static str; 2] {
        match self {
            Aspect::Behind | Aspect::Above => ["left", "right"],
            Aspect::LeftSide => ["front", "rear"],
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
        .map(|m| Scene::of(m.linkage, m.pose))
        .collect();
    let mut canvas = headed(text.title, text.subtitle);
    let sheet = Sheet::fit(aspect, &scenes);
    if aspect != Aspect::Above {
        let ground = sheet.at([0.0, 0.0, 0.0])[1];
        let pen = Pen::new(Ink::Rule, 1.2);
        canvas.line([MARGIN, ground], [WIDTH - MARGIN, ground], pen);
    }
    let last = scenes.len().saturating_sub(1);
    for (k, (scene, machine)) in scenes.iter().zip(machines).enumerate() {
        sheet.draw(&mut canvas, scene, machine.ink, k == last);
    }
    if let (true, Some(scene)) = (text.numbered, scenes.last()) {
        labels::numbers(&mut canvas, &sheet, scene);
    }
    let bottom = sheet.foot(&mut canvas, machines);
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

/// Projection and scale of one view.
#[derive(Clone, Copy, Debug)]
struct Sheet {
    aspect: Aspect,
    scale: f64,
    shift: [f64; 2],
    bottom: f64,
}

impl Sheet {
    fn fit(aspect: Aspect, scenes: &[Scene]) -> Sheet {
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for scene in scenes {
            let tyres = scene.tyres.iter().filter(|t| aspect.shows(t));
            let rings = tyres.flat_map(|t| t.ring.iter().map(|p| (*p, t.section)));
            let joints = scene.joints.iter().map(|p| (*p, 0.0));
            for (point, room) in rings.chain(joints) {
                let at = aspect.project(point);
                for k in 0..2 {
                    low[k] = low[k].min(at[k] - room);
                    high[k] = high[k].max(at[k] + room);
                }
            }
        }
        let size = [0, 1].map(|k| (high[k] - low[k]).max(1.0));
        let scale = ((WIDTH - 2.0 * MARGIN) / size[0]).min(TALLEST / size[1]);
        let left = 0.5 * (WIDTH - scale * size[0]);
        Sheet {
            aspect,
            scale,
            shift: [left - scale * low[0], TOP - scale * low[1]],
            bottom: TOP + scale * size[1],
        }
    }

    fn at(&self, point: [f64; 3]) -> [f64; 2] {
        let flat = self.aspect.project(point);
        [0, 1].map(|k| self.shift[k] + self.scale * flat[k])
    }

    fn draw(&self, canvas: &mut Canvas, scene: &Scene, ink: Ink, top: bool) {
        for tyre in scene.tyres.iter().filter(|t| self.aspect.shows(t)) {
            let ring: Vec<[f64; 2]> = tyre.ring.iter().map(|p| self.at(*p)).collect();
            let pen = Pen::new(Ink::Soft, 2.0 * tyre.section * self.scale);
            canvas.band(&polygon(&ring), pen, if top { 0.22 } else { 0.1 });
        }
        for arm in &scene.arms {
            let points = arm.map(|p| self.at(p));
            let cover = if top { 0.13 } else { 0.0 };
            let pen = Pen::new(ink, if top { 1.6 } else { 1.1 });
            canvas.path(&polygon(&points), Some(pen), Some(Fill { ink, cover }));
        }
        for (part, ends) in &scene.strokes {
            if let Some(pen) = self.pen(*part, ink, top) {
                canvas.path(&polyline(&ends.map(|p| self.at(p))), Some(pen), None);
            }
        }
        let fill = Fill {
            ink: Ink::Paper,
            cover: 1.0,
        };
        for joint in scene.joints.iter().filter(|_| top) {
            canvas.circle(self.at(*joint), 2.4, Some(Pen::new(ink, 1.3)), Some(fill));
        }
    }

    fn pen(&self, part: Part, ink: Ink, top: bool) -> Option<Pen> {
        let thin = if top { 1.0 } else { 0.6 };
        let middle = self.aspect == Aspect::Behind;
        Some(match part {
            Part::Rod => Pen::new(ink, 2.6 * thin),
            Part::Knuckle => Pen::new(ink, 2.0 * thin),
            Part::Crank => Pen::new(ink, 2.0 * thin),
            Part::Rocker => Pen::new(ink, 1.6 * thin),
            Part::Frame => Pen::new(if top { Ink::Rule } else { ink }, 1.0 * thin),
            Part::Kingpin => Pen::new(ink, 0.9 * thin).dashed(Dash::Centre),
            Part::Middle if middle => Pen::new(Ink::Rule, 1.0).dashed(Dash::Centre),
            Part::Middle => return None,
        })
    }

    /// Below the view: which way is which, a bar of 100 mm, and the key.
    fn foot(&self, canvas: &mut Canvas, machines: &[Posed]) -> f64 {
        let y = self.bottom + 18.0;
        let [first, last] = self.aspect.ends();
        canvas.text([MARGIN, y], &format!("← {first}"), Type::SOFT);
        let kind = Type::SOFT.at(Anchor::End);
        canvas.text([WIDTH - MARGIN, y], &format!("{last} →"), kind);
        let (half, middle) = (50.0 * self.scale, 0.5 * WIDTH);
        let pen = Pen::new(Ink::Soft, 1.2);
        canvas.line([middle - half, y - 4.0], [middle + half, y - 4.0], pen);
        for x in [middle - half, middle + half] {
            canvas.line([x, y - 7.0], [x, y - 1.0], pen);
        }
        canvas.text([middle + half + 5.0, y], "100 mm", Type::SOFT);
        key(canvas, machines, y + 20.0)
    }
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
