//! Between single poses and rows of poses.

use crate::{CornerPose, DragLink, Drive, Lane, Linkage, Margins, Pose, V3};

impl<L: Lane> Drive<L> {
    /// One drive per lane.
    ///
    /// The coupling of the first applies to all: a row never mixes couplings.
    ///
    /// # Panics
    /// If `drives` has not exactly one drive per lane.
    pub fn gather(drives: &[Drive<f64>]) -> Self {
        assert_eq!(drives.len(), L::WIDTH, "one drive per lane");
        let row = |f: fn(&Drive<f64>) -> f64| {
            let mut out = L::splat(0.0);
            for (i, drive) in drives.iter().enumerate() {
                out.set(i, f(drive));
            }
            out
        };
        Drive {
            lean_sin: row(|d| d.lean_sin),
            lean_cos: row(|d| d.lean_cos),
            steer_sin: row(|d| d.steer_sin),
            steer_cos: row(|d| d.steer_cos),
            steer: row(|d| d.steer),
            mean_travel: row(|d| d.mean_travel),
            rocker: drives[0].rocker,
        }
    }
}

impl Linkage {
    /// The design pose in every lane, to start a row from.
    pub fn design_in_lanes<L: Lane>(&self) -> Pose<L> {
        self.design
            .map(&|v| L::splat(v), L::mask(self.design.solved))
    }
}

impl<L: Lane> Pose<L> {
    /// The pose of one lane (`index < WIDTH`).
    pub fn lane(&self, index: usize) -> Pose<f64> {
        self.map(&|v| v.get(index), L::holds(self.solved, index))
    }

    fn map<M: Lane>(&self, f: &impl Fn(L) -> M, solved: M::Mask) -> Pose<M> {
        let v = |p: V3<L>| V3::new(f(p.x), f(p.y), f(p.z));
        let pair = |p: [L; 2]| [f(p[0]), f(p[1])];
        let corner = |c: &CornerPose<L>| CornerPose {
            lower: v(c.lower),
            upper: v(c.upper),
            rod_outer: v(c.rod_outer),
            rod_inner: v(c.rod_inner),
            centre: v(c.centre),
            axis: v(c.axis),
            kingpin: v(c.kingpin),
            across: v(c.across),
            lower_turn: pair(c.lower_turn),
            upper_turn: pair(c.upper_turn),
            contact: v(c.contact),
            contact_ground: pair(c.contact_ground),
            heading: pair(c.heading),
            inclination_sin: f(c.inclination_sin),
        };
        Pose {
            left: corner(&self.left),
            right: corner(&self.right),
            up: v(self.up),
            ground_x: v(self.ground_x),
            ground_y: v(self.ground_y),
            height: f(self.height),
            pitch: pair(self.pitch),
            rear_contact: v(self.rear_contact),
            rear_contact_ground: pair(self.rear_contact_ground),
            steer: pair(self.steer),
            handlebar: pair(self.handlebar),
            drag: self.drag.map(|d| DragLink {
                driven: d.driven,
                inner: v(d.inner),
                outer: v(d.outer),
            }),
            margins: Margins {
                upper: pair(self.margins.upper),
                rod: pair(self.margins.rod),
                idler: f(self.margins.idler),
                handlebar: f(self.margins.handlebar),
                rocker: f(self.margins.rocker),
                fold: f(self.margins.fold),
            },
            unknowns: self.unknowns.map(f),
            residual: f(self.residual),
            solved,
        }
    }
}
