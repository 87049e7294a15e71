//! Boxes on the frame, rims, hubs, brake discs and calipers as thin outlines.

use super::scene::{Drawn, Scene, Tyre};
use super::sheet::Sheet;
use crate::canvas::{Canvas, Pen};
use crate::ink::Ink;
use crate::path::polyline;
use kinematics::Side;
use mechanics::{Block, Body, Outline, outlines};

impl Drawn<'_> {
    pub(super) fn outlines(&mut self, body: &Body) {
        for (side, outline) in outlines(self.linkage, body, self.pose) {
            match outline {
                Outline::Box(block) => {
                    let corners = self.corners(&block);
                    self.scene.boxes.push((side, corners));
                }
                Outline::Circle {
                    centre,
                    axis,
                    radius,
                } => {
                    let pose = self.pose;
                    self.scene.circles.push(Tyre {
                        centre: self.at(centre),
                        axis: [pose.ground_x, pose.ground_y, pose.up].map(|e| e.dot(axis)),
                        ring: radius,
                        section: 0.0,
                        side,
                    });
                }
            }
        }
    }

    /// Corners of a box; bit k of an index says on which end of axis k it lies.
    fn corners(&self, block: &Block) -> [[f64; 3]; 8] {
        core::array::from_fn(|index| {
            let mut at = block.centre;
            for k in 0..3 {
                let sign = if index >> k & 1 == 1 { 1.0 } else { -1.0 };
                at = at + block.axes[k].scale(sign * block.half[k]);
            }
            self.at(at)
        })
    }
}

impl Sheet {
    /// Thin lines below the linkage. Boxes that reach out of the view end at its border.
    pub(super) fn outlines(&self, canvas: &mut Canvas, scene: &Scene, ink: Ink) {
        let pen = Pen::new(ink, 0.8);
        let seen = |side: &Option<Side>| self.seen(*side);
        let circles = scene.circles.iter().filter(|c| seen(&c.side));
        let rings: String = circles.map(|c| self.circle(c)).collect();
        let boxes = scene.boxes.iter().filter(|(side, _)| seen(side));
        let edges: String = boxes
            .flat_map(|(_, corners)| box_edges(corners))
            .filter_map(|ends| within(ends.map(|p| self.at(p)), self.room()))
            .map(|ends| polyline(&ends))
            .collect();
        canvas.path(&(rings + &edges), Some(pen), None);
    }
}

/// The twelve edges: corners whose indices differ in one bit.
pub(crate) fn box_edges(corners: &[[f64; 3]; 8]) -> impl Iterator<Item = [[f64; 3]; 2]> {
    let pairs = (0..8).flat_map(|i: usize| (0..3).map(move |k| (i, i | 1 << k)));
    pairs
        .filter(|(i, k)| i != k)
        .map(|(i, k)| [corners[i], corners[k]])
}

/// The part of a line that lies in a rectangle: Liang & Barsky (1984).
fn within([a, b]: [[f64; 2]; 2], room: [f64; 4]) -> Option<[[f64; 2]; 2]> {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for k in 0..2 {
        let along = b[k] - a[k];
        for (sign, edge) in [(-1.0, -room[k]), (1.0, room[k + 2])] {
            let (p, q) = (sign * along, edge - sign * a[k]);
            match p {
                p if p < 0.0 => from = from.max(q / p),
                p if p > 0.0 => to = to.min(q / p),
                _ if q < 0.0 => return None,
                _ => {}
            }
        }
    }
    let at = |t: f64| [0, 1].map(|k| a[k] + t * (b[k] - a[k]));
    (from < to).then(|| [at(from), at(to)])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_at_the_border() {
        let room = [0.0, 0.0, 10.0, 5.0];
        let cut = within([[-5.0, 2.0], [20.0, 2.0]], room);
        assert_eq!(cut, Some([[0.0, 2.0], [10.0, 2.0]]));
        assert_eq!(
            within([[1.0, 1.0], [9.0, 4.0]], room),
            Some([[1.0, 1.0], [9.0, 4.0]])
        );
        assert_eq!(within([[-1.0, 6.0], [9.0, 6.0]], room), None);
        assert_eq!(within([[11.0, -1.0], [11.0, 9.0]], room), None);
    }
}
