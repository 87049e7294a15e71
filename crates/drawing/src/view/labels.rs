//! Numbers beside hardpoints, placed where they cover least.

use super::Sheet;
use super::scene::Scene;
use crate::canvas::{Anchor, Canvas, Type, text_width};
use crate::ink::Ink;

const SIZE: f64 = 10.5;
/// Points nearer than this on the paper share one label.
const TOGETHER: f64 = 4.0;

type Label = ([f64; 2], String);

/// Writes the numbers of a scene's hardpoints.
pub(super) fn numbers(canvas: &mut Canvas, sheet: &Sheet, scene: &Scene) {
    let labels = gathered(sheet, scene);
    let joints: Vec<[f64; 2]> = scene.joints.iter().map(|(_, p)| sheet.at(*p)).collect();
    let mut taken: Vec<[f64; 4]> = joints.iter().map(|p| around(*p, 3.5)).collect();
    taken.extend(labels.iter().map(|(p, _)| around(*p, 3.5)));
    for (at, text) in labels {
        let (place, box_) = free(at, &text, &taken);
        taken.push(box_);
        let kind = Type {
            ink: Ink::Text,
            size: SIZE,
            bold: true,
            anchor: Anchor::Middle,
        };
        canvas.text_over(place, &text, kind);
    }
}

fn gathered(sheet: &Sheet, scene: &Scene) -> Vec<Label> {
    let mut labels: Vec<Label> = Vec::new();
    for mark in &scene.marks {
        let at = sheet.at(mark.at);
        let near = |p: &[f64; 2]| libm::hypot(p[0] - at[0], p[1] - at[1]) < TOGETHER;
        match labels.iter_mut().find(|(p, _)| near(p)) {
            Some((_, text)) => {
                text.push('·');
                text.push_str(&mark.number.to_string());
            }
            None => labels.push((at, mark.number.to_string())),
        }
    }
    labels
}

fn around([x, y]: [f64; 2], r: f64) -> [f64; 4] {
    [x - r, y - r, x + r, y + r]
}

/// The first of sixteen places round a point that covers nothing taken, or the least bad one.
fn free([x, y]: [f64; 2], text: &str, taken: &[[f64; 4]]) -> ([f64; 2], [f64; 4]) {
    let half = 0.5 * text_width(text, SIZE);
    let places = (0..16).map(|k| {
        let turn = core::f64::consts::TAU * (k % 8) as f64 / 8.0 + 0.4;
        let far = if k < 8 { 7.0 } else { 15.0 };
        let middle = [
            x + (far + half) * libm::cos(turn),
            y - (far + 5.0) * libm::sin(turn),
        ];
        let box_ = [
            middle[0] - half,
            middle[1] - 5.0,
            middle[0] + half,
            middle[1] + 5.0,
        ];
        let covered: f64 = taken.iter().map(|t| overlap(t, &box_)).sum();
        (covered, [middle[0], middle[1] + 3.8], box_)
    });
    let best = places.min_by(|a, b| a.0.total_cmp(&b.0));
    best.map_or(([x, y], around([x, y], half)), |(_, at, box_)| (at, box_))
}

fn overlap(a: &[f64; 4], b: &[f64; 4]) -> f64 {
    let side = |k: usize| (a[k + 2].min(b[k + 2]) - a[k].max(b[k])).max(0.0);
    side(0) * side(1)
}
