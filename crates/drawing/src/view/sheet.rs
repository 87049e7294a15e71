//! Projection and scale of one view, and how the parts of a scene are drawn on it.

use super::scene::{Part, Scene, Stroke, Tyre};
use super::{Aspect, MARGIN, TALLEST, TOP};
use crate::canvas::{Anchor, Canvas, Fill, Pen, Type};
use crate::ink::{Dash, Ink};
use crate::path::{ellipse, polygon, polyline, ring, short};
use crate::picture::WIDTH;
use kinematics::Side;

/// Radius of the circles that mark joints.
const JOINT: f64 = 2.4;
/// Radius of the mark at the centre of gravity.
const GRAVITY: f64 = 5.5;

/// Projection and scale of one view.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheet {
    aspect: Aspect,
    scale: f64,
    shift: [f64; 2],
    bottom: f64,
}

impl Sheet {
    /// The largest scale that shows all wheels and joints of the view.
    pub fn fit(aspect: Aspect, scenes: &[Scene]) -> Sheet {
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        let mut hold = |at: [f64; 2], room: [f64; 2]| {
            for k in 0..2 {
                low[k] = low[k].min(at[k] - room[k]);
                high[k] = high[k].max(at[k] + room[k]);
            }
        };
        for scene in scenes {
            for tyre in scene.tyres.iter().filter(|t| aspect.shows(t.side)) {
                let axis = aspect.project(tyre.axis);
                let reach = |a: f64| tyre.ring * (1.0 - a * a).max(0.0).sqrt() + tyre.section;
                hold(aspect.project(tyre.centre), axis.map(reach));
            }
            if let Some(gravity) = scene.gravity.filter(|_| aspect == Aspect::LeftSide) {
                hold(aspect.project(gravity), [40.0; 2]);
            }
            for (side, joint) in &scene.joints {
                if side.is_none() || aspect.shows(*side) {
                    hold(aspect.project(*joint), [0.0; 2]);
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

    pub fn at(&self, point: [f64; 3]) -> [f64; 2] {
        let flat = self.aspect.project(point);
        [0, 1].map(|k| self.shift[k] + self.scale * flat[k])
    }

    pub(super) fn seen(&self, side: Option<Side>) -> bool {
        side.is_none() || self.aspect.shows(side)
    }

    /// The room that the view fills on the paper: left, top, right, bottom.
    pub(super) fn room(&self) -> [f64; 4] {
        [MARGIN, TOP, WIDTH - MARGIN, self.bottom]
    }

    /// Every tyre once, also where machines share it; those of the last machine stand out.
    pub fn tyres(&self, canvas: &mut Canvas, scenes: &[Scene]) {
        let mut drawn: Vec<Tyre> = Vec::new();
        for (k, scene) in scenes.iter().rev().enumerate() {
            for tyre in scene.tyres.iter().filter(|t| self.aspect.shows(t.side)) {
                if drawn.iter().any(|other| alike(tyre, other)) {
                    continue;
                }
                drawn.push(*tyre);
                let pen = Pen::new(Ink::Soft, 2.0 * tyre.section.max(2.0) * self.scale);
                canvas.band(&self.circle(tyre), pen, if k == 0 { 0.22 } else { 0.1 });
            }
        }
    }

    /// A tyre's circle on the paper: an ellipse, drawn as its own path.
    pub(super) fn circle(&self, tyre: &Tyre) -> String {
        let [x, y] = self.aspect.project(tyre.axis);
        let tilt = libm::hypot(x, y).min(1.0);
        // The long half axis lies across the wheel's axis as the view shows it.
        let along = if tilt > 1e-9 {
            [-y / tilt, x / tilt]
        } else {
            [1.0, 0.0]
        };
        let radius = tyre.ring * self.scale;
        let flat = radius * (1.0 - tilt * tilt).sqrt();
        ellipse(self.at(tyre.centre), along, [radius, flat])
    }

    /// Wishbones, rods, knuckles, frame and joints of one machine.
    pub fn linkage(&self, canvas: &mut Canvas, scene: &Scene, ink: Ink) {
        let strong = ink != Ink::Reference;
        let arms = scene.arms.iter().filter(|(side, _)| self.seen(Some(*side)));
        let arms: String = arms
            .map(|(_, arm)| polygon(&arm.map(|p| self.at(p))))
            .collect();
        let fill = strong.then_some(Fill { ink, cover: 0.1 });
        canvas.path(
            &arms,
            Some(Pen::new(ink, if strong { 1.6 } else { 1.1 })),
            fill,
        );
        for part in Part::ALL {
            let Some(pen) = self.pen(part, ink, strong) else {
                continue;
            };
            let of_part = |s: &&Stroke| s.part == part && self.seen(s.side);
            let strokes = scene.strokes.iter().filter(of_part);
            let commands: String = strokes
                .map(|s| polyline(&s.ends.map(|p| self.at(p))))
                .collect();
            canvas.path(&commands, Some(pen), None);
        }
        if let Some(at) = scene.gravity.filter(|_| self.aspect == Aspect::LeftSide) {
            self.gravity(canvas, self.at(at), ink);
        }
        if strong {
            let joints = scene.joints.iter().filter(|(side, _)| self.seen(*side));
            let commands: String = joints.map(|(_, p)| ring(self.at(*p), JOINT)).collect();
            let paper = Fill {
                ink: Ink::Paper,
                cover: 1.0,
            };
            canvas.path(&commands, Some(Pen::new(ink, 1.3)), Some(paper));
        }
    }

    /// A circle with a cross, and two opposite quarters filled.
    fn gravity(&self, canvas: &mut Canvas, [x, y]: [f64; 2], ink: Ink) {
        let pen = Pen::new(ink, 1.2);
        canvas.path(&ring([x, y], GRAVITY), Some(pen), None);
        let [l, r, t, b] = [x - GRAVITY, x + GRAVITY, y - GRAVITY, y + GRAVITY].map(short);
        let [x, y, g] = [x, y, GRAVITY].map(short);
        let arc = format!("A{g},{g} 0 0,1");
        let quarters = format!("M{x},{y}V{t}{arc} {r},{y}ZM{x},{y}V{b}{arc} {l},{y}Z");
        canvas.path(&quarters, Some(pen), Some(Fill { ink, cover: 1.0 }));
    }

    fn pen(&self, part: Part, ink: Ink, strong: bool) -> Option<Pen> {
        let thin = if strong { 1.0 } else { 0.6 };
        Some(match part {
            Part::Rod => Pen::new(ink, 2.6 * thin),
            Part::Knuckle | Part::Crank => Pen::new(ink, 2.0 * thin),
            Part::Rocker => Pen::new(ink, 1.6 * thin),
            Part::Cable => Pen::new(ink, 0.9 * thin),
            Part::Frame => Pen::new(if strong { Ink::Rule } else { ink }, thin),
            Part::Kingpin => Pen::new(ink, 0.9 * thin).dashed(Dash::Centre),
            Part::Middle if self.aspect == Aspect::Behind => {
                Pen::new(Ink::Rule, 1.0).dashed(Dash::Centre)
            }
            Part::Middle => return None,
        })
    }

    /// Below the view: which way is which, and a bar of 100 mm. Returns where a key may stand.
    pub fn foot(&self, canvas: &mut Canvas) -> f64 {
        let y = self.bottom + 18.0;
        let [first, last] = self.aspect.ends();
        canvas.text([MARGIN, y], &format!("← {first}"), Type::SOFT);
        let kind = Type::SOFT.at(Anchor::End);
        canvas.text([WIDTH - MARGIN, y], &format!("{last} →"), kind);
        let (half, middle) = (50.0 * self.scale, 0.5 * WIDTH);
        let (left, right, low) = (middle - half, middle + half, y - 4.0);
        let bar = [[left, low], [right, low]];
        let ends = [left, right].map(|x| polyline(&[[x, low - 3.0], [x, low + 3.0]]));
        let commands = format!("{}{}", polyline(&bar), ends.concat());
        canvas.path(&commands, Some(Pen::new(Ink::Soft, 1.2)), None);
        canvas.text([right + 5.0, y], "100 mm", Type::SOFT);
        y + 20.0
    }
}

/// Equal for the eye.
fn alike(a: &Tyre, b: &Tyre) -> bool {
    let near = |p: [f64; 3], q: [f64; 3], most: f64| (0..3).all(|k| (p[k] - q[k]).abs() < most);
    near(a.centre, b.centre, 0.1)
        && near(a.axis, b.axis, 1e-4)
        && (a.ring - b.ring).abs() + (a.section - b.section).abs() < 0.1
}
