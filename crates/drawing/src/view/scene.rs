//! A machine in a pose as shapes in ground axes: x along the rear heading, y left, z up, mm.

use super::rocker::rocker;
use kinematics::{CornerPose, Coupling, Linkage, Machine, Pose, Side, V3, Wheel, Wishbone};
use mechanics::{Body, CableDrive, cable_lines};

/// What a stroke stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    Rod,
    Knuckle,
    Crank,
    Frame,
    Middle,
    Kingpin,
    Rocker,
    Cable,
}

impl Part {
    /// In drawing order.
    pub const ALL: [Part; 8] = [
        Part::Middle,
        Part::Frame,
        Part::Kingpin,
        Part::Rocker,
        Part::Knuckle,
        Part::Crank,
        Part::Cable,
        Part::Rod,
    ];
}

/// A tyre: the circle on which its round section is centred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tyre {
    pub centre: [f64; 3],
    /// Unit vector.
    pub axis: [f64; 3],
    pub ring: f64,
    pub section: f64,
    /// The side of a front wheel.
    pub side: Option<Side>,
}

/// A numbered hardpoint of the left side.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mark {
    pub number: usize,
    pub at: [f64; 3],
}

/// All shapes of one machine. What belongs to a side carries it, so that a view may leave the
/// other side out.
#[derive(Clone, Debug, Default)]
pub(crate) struct Scene {
    pub tyres: Vec<Tyre>,
    pub arms: Vec<(Side, [[f64; 3]; 3])>,
    pub strokes: Vec<Stroke>,
    pub joints: Vec<(Option<Side>, [f64; 3])>,
    pub marks: Vec<Mark>,
    pub circles: Vec<Tyre>,
    pub boxes: Vec<(Option<Side>, [[f64; 3]; 8])>,
    pub gravity: Option<[f64; 3]>,
}

/// A straight part.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stroke {
    pub part: Part,
    pub side: Option<Side>,
    pub ends: [[f64; 3]; 2],
}

impl Scene {
    pub fn of(
        linkage: &Linkage,
        pose: &Pose<f64>,
        gravity: Option<V3<f64>>,
        body: Option<&Body>,
    ) -> Scene {
        let mut drawn = Drawn {
            linkage,
            machine: linkage.machine(),
            pose,
            scene: Scene::default(),
        };
        let rear = &drawn.machine.rear;
        drawn.tyre(rear, [rear.centre, rear.axis], None);
        drawn.corner(Side::Left);
        drawn.corner(Side::Right);
        drawn.frame();
        drawn.steering();
        if let Coupling::Rocker(given) = &drawn.machine.coupling {
            for [from, to] in rocker(linkage, pose, given) {
                drawn.stroke(Part::Rocker, None, from, to);
                drawn.joints(None, &[from, to]);
            }
        }
        if let Some(body) = body {
            drawn.outlines(body);
        }
        drawn.number();
        drawn.scene.gravity = gravity.map(|p| drawn.at(p));
        drawn.scene
    }
}

impl Scene {
    /// Adds both runs of a cable drive.
    pub fn cables(&mut self, linkage: &Linkage, pose: &Pose<f64>, cable: &CableDrive) {
        let mut drawn = Drawn {
            linkage,
            machine: linkage.machine(),
            pose,
            scene: core::mem::take(self),
        };
        for run in cable_lines(linkage, cable, pose) {
            for pair in run.windows(2) {
                drawn.stroke(Part::Cable, None, pair[0], pair[1]);
            }
        }
        *self = drawn.scene;
    }
}

/// A scene in the making.
pub(super) struct Drawn<'a> {
    pub(super) linkage: &'a Linkage,
    pub(super) machine: &'a Machine,
    pub(super) pose: &'a Pose<f64>,
    pub(super) scene: Scene,
}

impl Drawn<'_> {
    /// A point of the frame on the ground's axes.
    pub(super) fn at(&self, p: V3<f64>) -> [f64; 3] {
        let pose = self.pose;
        [
            pose.ground_x.dot(p),
            pose.ground_y.dot(p),
            pose.up.dot(p) + pose.height,
        ]
    }

    pub(super) fn stroke(&mut self, part: Part, side: Option<Side>, from: V3<f64>, to: V3<f64>) {
        let ends = [self.at(from), self.at(to)];
        self.scene.strokes.push(Stroke { part, side, ends });
    }

    pub(super) fn joints(&mut self, side: Option<Side>, points: &[V3<f64>]) {
        let points: Vec<_> = points.iter().map(|p| (side, self.at(*p))).collect();
        self.scene.joints.extend(points);
    }

    fn tyre(&mut self, wheel: &Wheel, [centre, axis]: [V3<f64>; 2], side: Option<Side>) {
        let pose = self.pose;
        let tyre = Tyre {
            centre: self.at(centre),
            axis: [pose.ground_x, pose.ground_y, pose.up].map(|e| e.dot(axis)),
            ring: wheel.radius - wheel.section_radius,
            section: wheel.section_radius,
            side,
        };
        self.scene.tyres.push(tyre);
    }

    fn corner(&mut self, side: Side) {
        let fixed = match side {
            Side::Left => &self.machine.left,
            Side::Right => &self.machine.right,
        };
        let now = self.pose.corner(side);
        let own = Some(side);
        self.tyre(&fixed.wheel, [now.centre, now.axis], own);
        self.arm(&fixed.lower, now.lower, side);
        self.arm(&fixed.upper, now.upper, side);
        self.stroke(Part::Knuckle, own, now.lower, now.upper);
        self.stroke(Part::Knuckle, own, now.foot(now.centre), now.centre);
        self.stroke(Part::Knuckle, own, now.foot(now.rod_outer), now.rod_outer);
        self.kingpin(now, side);
        self.stroke(Part::Rod, own, now.rod_inner, now.rod_outer);
        self.joints(own, &[now.rod_inner, now.rod_outer]);
    }

    /// The kingpin's line from above the upper ball joint down to the ground.
    fn kingpin(&mut self, now: &CornerPose<f64>, side: Side) {
        let (low, high) = (self.at(now.lower), self.at(now.upper));
        let rise = high[2] - low[2];
        // A kingpin that lies down meets the ground nowhere near the machine.
        if rise < 0.2 * (now.upper - now.lower).norm() {
            return;
        }
        let along = |t: f64| [0, 1, 2].map(|k| low[k] + t * (high[k] - low[k]));
        self.scene.strokes.push(Stroke {
            part: Part::Kingpin,
            side: Some(side),
            ends: [along(-low[2] / rise), along(1.3)],
        });
    }

    fn arm(&mut self, arm: &Wishbone, ball: V3<f64>, side: Side) {
        let points = [arm.front_pivot, ball, arm.rear_pivot];
        let seen = points.map(|p| self.at(p));
        self.scene.arms.push((side, seen));
        self.joints(Some(side), &points);
    }

    fn frame(&mut self) {
        let (left, right) = (&self.machine.left, &self.machine.right);
        let ring = |pick: fn(&Wishbone) -> V3<f64>| {
            [&left.lower, &left.upper, &right.upper, &right.lower].map(pick)
        };
        for corners in [ring(|w| w.front_pivot), ring(|w| w.rear_pivot)] {
            for k in 0..4 {
                self.stroke(Part::Frame, None, corners[k], corners[(k + 1) % 4]);
            }
        }
        let top = V3::new(0.0, 0.0, 2.0 * left.wheel.radius);
        self.stroke(Part::Middle, None, V3::new(0.0, 0.0, 0.0), top);
    }
}
