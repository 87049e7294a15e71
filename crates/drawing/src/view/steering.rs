//! What drives the rods, as strokes, and the numbered hardpoints.

use super::scene::{Drawn, Mark, Part};
use kinematics::{Axis, Layout, Machine, V3};

/// Half of the drawn length of an axis, mm.
const AXIS: f64 = 35.0;

/// Names of the numbered points of a machine, in the order of their numbers from 1.
pub(crate) fn point_names(machine: &Machine) -> Vec<&'static str> {
    let mut names = vec![
        "lower_wishbone.front_pivot_mm",
        "lower_wishbone.rear_pivot_mm",
        "lower_wishbone.ball_joint_mm",
        "upper_wishbone.front_pivot_mm",
        "upper_wishbone.rear_pivot_mm",
        "upper_wishbone.ball_joint_mm",
    ];
    names.extend(match &machine.layout {
        Layout::CentreCrank => &[
            "steering.rod_inner_mm",
            "steering.rod_outer_mm",
            "steering.crank.point_mm",
        ][..],
        Layout::Slider => &["steering.rod_inner_mm", "steering.rod_outer_mm"],
        Layout::IdlerParallelogram { .. } => &[
            "steering.rod_inner_mm",
            "steering.rod_outer_mm",
            "steering.crank.point_mm",
            "steering.idler.point_mm",
            "steering.crank_end_mm",
            "steering.idler_end_mm",
        ],
        Layout::CrossRod { .. } => &[
            "steering.rod_outer_mm",
            "steering.crank.point_mm",
            "steering.drag_link.inner_mm",
            "steering.drag_link.outer_mm",
        ],
    });
    if machine.handlebar.is_some() {
        names.extend([
            "steering.handlebar.point_mm",
            "steering.handlebar.arm_end_mm",
            "steering.handlebar.crank_end_mm",
        ]);
    }
    names
}

impl Drawn<'_> {
    /// Crank, slider or centre link with what hangs on it.
    pub(super) fn steering(&mut self) {
        let crank = &self.machine.crank;
        let [left, right] = [self.pose.left.rod_inner, self.pose.right.rod_inner];
        match self.machine.layout {
            Layout::CentreCrank => {
                for end in [left, right] {
                    self.stroke(Part::Crank, None, foot(crank, end), end);
                }
                self.axis(crank, left);
            }
            Layout::Slider => self.stroke(Part::Crank, None, left, right),
            Layout::IdlerParallelogram { idler, .. } => self.centre_link(&idler),
            Layout::CrossRod { .. } => {}
        }
        if let Some(drag) = self.pose.drag {
            self.stroke(Part::Crank, None, foot(crank, drag.inner), drag.inner);
            self.axis(crank, drag.inner);
            self.stroke(Part::Rod, Some(drag.driven), drag.inner, drag.outer);
            let on_kingpin = self.pose.corner(drag.driven).foot(drag.outer);
            self.stroke(Part::Knuckle, Some(drag.driven), on_kingpin, drag.outer);
            self.joints(Some(drag.driven), &[drag.inner, drag.outer]);
        }
        self.handlebar();
    }

    /// The handlebar's arm, its drag link and the crank's arm to it.
    fn handlebar(&mut self) {
        let link = self.linkage.handlebar_link(self.pose);
        let Some(([arm_end, crank_end], handlebar)) = link.zip(self.machine.handlebar) else {
            return;
        };
        let turns = [(&self.machine.crank, crank_end), (&handlebar.axis, arm_end)];
        for (axis, end) in turns {
            self.stroke(Part::Crank, None, foot(axis, end), end);
            self.axis(axis, end);
        }
        self.stroke(Part::Rod, None, arm_end, crank_end);
        self.joints(None, &[arm_end, crank_end]);
    }

    fn centre_link(&mut self, idler: &Axis) {
        let Some([start, end]) = self.linkage.centre_link(self.pose) else {
            return;
        };
        for (axis, at) in [(&self.machine.crank, start), (idler, end)] {
            self.stroke(Part::Crank, None, foot(axis, at), at);
            self.axis(axis, at);
        }
        self.stroke(Part::Crank, None, start, end);
        for rod in [self.pose.left.rod_inner, self.pose.right.rod_inner] {
            let near = closest(rod, [start, end]);
            self.stroke(Part::Crank, None, near, rod);
        }
        self.joints(None, &[start, end]);
    }

    /// A stroke along an axis beside a point that turns about it.
    fn axis(&mut self, axis: &Axis, beside: V3<f64>) {
        let (middle, half) = (foot(axis, beside), axis.direction.unit().scale(AXIS));
        self.stroke(Part::Crank, None, middle - half, middle + half);
    }

    /// Numbers the hardpoints of the left side and of the steering's middle.
    pub(super) fn number(&mut self) {
        let (fixed, now) = (&self.machine.left, &self.pose.left);
        let crank = self.machine.crank.point;
        let mut places = vec![
            fixed.lower.front_pivot,
            fixed.lower.rear_pivot,
            now.lower,
            fixed.upper.front_pivot,
            fixed.upper.rear_pivot,
            now.upper,
        ];
        match self.machine.layout {
            Layout::CentreCrank => places.extend([now.rod_inner, now.rod_outer, crank]),
            Layout::Slider => places.extend([now.rod_inner, now.rod_outer]),
            Layout::IdlerParallelogram { idler, .. } => {
                places.extend([now.rod_inner, now.rod_outer, crank, idler.point]);
                places.extend(self.linkage.centre_link(self.pose).into_iter().flatten());
            }
            Layout::CrossRod { .. } => {
                places.extend([now.rod_outer, crank]);
                places.extend(self.pose.drag.iter().flat_map(|d| [d.inner, d.outer]));
            }
        }
        if let Some(handlebar) = self.machine.handlebar {
            places.push(handlebar.axis.point);
            places.extend(self.linkage.handlebar_link(self.pose).into_iter().flatten());
        }
        let marks = places.into_iter().enumerate().map(|(k, p)| Mark {
            number: k + 1,
            at: self.at(p),
        });
        self.scene.marks = marks.collect();
    }
}

/// Foot of a point on an axis.
fn foot(axis: &Axis, p: V3<f64>) -> V3<f64> {
    let along = axis.direction.unit();
    axis.point + along.scale((p - axis.point).dot(along))
}

/// The point of a line between two ends that is nearest to `p`.
fn closest(p: V3<f64>, [a, b]: [V3<f64>; 2]) -> V3<f64> {
    let span = b - a;
    let part = ((p - a).dot(span) / span.norm2()).clamp(0.0, 1.0);
    a + span.scale(part)
}
