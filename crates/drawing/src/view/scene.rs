//! A machine in a pose as shapes in ground axes: x along the rear heading, y left, z up, mm.

use super::rocker::rocker;
use kinematics::{CornerPose, Coupling, Layout, Linkage, Machine, Pose, Side, V3, Wheel, Wishbone};

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
}

/// A tyre: the ring on which its round section is centred.
#[derive(Clone, Debug)]
pub(crate) struct Tyre {
    pub ring: Vec<[f64; 3]>,
    pub section: f64,
    pub front: bool,
}

/// A numbered hardpoint of the left side.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mark {
    pub number: usize,
    pub at: [f64; 3],
}

/// Names of the numbered points, in the order of their numbers from 1.
pub(crate) const POINTS: [&str; 9] = [
    "lower_wishbone.front_pivot_mm",
    "lower_wishbone.rear_pivot_mm",
    "lower_wishbone.ball_joint_mm",
    "upper_wishbone.front_pivot_mm",
    "upper_wishbone.rear_pivot_mm",
    "upper_wishbone.ball_joint_mm",
    "steering.rod_inner_mm",
    "steering.rod_outer_mm",
    "steering.crank.point_mm",
];

/// All shapes of one machine.
#[derive(Clone, Debug, Default)]
pub(crate) struct Scene {
    pub tyres: Vec<Tyre>,
    pub arms: Vec<[[f64; 3]; 3]>,
    pub strokes: Vec<(Part, [[f64; 3]; 2])>,
    pub joints: Vec<[f64; 3]>,
    pub marks: Vec<Mark>,
}

struct Ground<'a>(&'a Pose<f64>);

impl Ground<'_> {
    fn at(&self, p: V3<f64>) -> [f64; 3] {
        let pose = self.0;
        [
            pose.ground_x.dot(p),
            pose.ground_y.dot(p),
            pose.up.dot(p) + pose.height,
        ]
    }
}

impl Scene {
    pub fn of(linkage: &Linkage, pose: &Pose<f64>) -> Scene {
        let machine = linkage.machine();
        let ground = Ground(pose);
        let mut scene = Scene::default();
        scene.tyre(
            &ground,
            &machine.rear,
            machine.rear.centre,
            machine.rear.axis,
            false,
        );
        for side in [Side::Left, Side::Right] {
            scene.corner(&ground, machine, pose.corner(side), side);
        }
        scene.frame(&ground, machine);
        scene.steering(&ground, machine, pose);
        if let Coupling::Rocker(given) = &machine.coupling {
            for [from, to] in rocker(linkage, pose, given) {
                scene.stroke(&ground, Part::Rocker, from, to);
                scene.joints.extend([ground.at(from), ground.at(to)]);
            }
        }
        scene.number(&ground, machine, pose);
        scene
    }

    fn stroke(&mut self, ground: &Ground, part: Part, from: V3<f64>, to: V3<f64>) {
        self.strokes.push((part, [ground.at(from), ground.at(to)]));
    }

    fn tyre(
        &mut self,
        ground: &Ground,
        wheel: &Wheel,
        centre: V3<f64>,
        axis: V3<f64>,
        front: bool,
    ) {
        const PARTS: usize = 48;
        let aside = V3::new(1.0, 0.0, 0.0).across(axis).unit();
        let up = aside.cross(axis);
        let radius = wheel.radius - wheel.section_radius;
        let ring = (0..PARTS).map(|i| {
            let turn = core::f64::consts::TAU * i as f64 / PARTS as f64;
            let (c, s) = (radius * libm::cos(turn), radius * libm::sin(turn));
            ground.at(centre + aside.scale(c) + up.scale(s))
        });
        self.tyres.push(Tyre {
            ring: ring.collect(),
            section: wheel.section_radius,
            front,
        });
    }

    fn corner(&mut self, ground: &Ground, machine: &Machine, now: &CornerPose<f64>, side: Side) {
        let fixed = match side {
            Side::Left => &machine.left,
            Side::Right => &machine.right,
        };
        self.tyre(ground, &fixed.wheel, now.centre, now.axis, true);
        self.arm(ground, &fixed.lower, now.lower);
        self.arm(ground, &fixed.upper, now.upper);
        self.stroke(ground, Part::Knuckle, now.lower, now.upper);
        let on_kingpin =
            |p: V3<f64>| now.lower + now.kingpin.scale((p - now.lower).dot(now.kingpin));
        self.stroke(ground, Part::Knuckle, on_kingpin(now.centre), now.centre);
        self.stroke(
            ground,
            Part::Knuckle,
            on_kingpin(now.rod_outer),
            now.rod_outer,
        );
        self.kingpin(ground, now);
        self.stroke(ground, Part::Rod, now.rod_inner, now.rod_outer);
        self.joints
            .extend([now.rod_inner, now.rod_outer].map(|p| ground.at(p)));
    }

    /// The kingpin's line from above the upper ball joint down to the ground.
    fn kingpin(&mut self, ground: &Ground, now: &CornerPose<f64>) {
        let (low, high) = (ground.at(now.lower), ground.at(now.upper));
        let rise = high[2] - low[2];
        if rise.abs() < 1.0 {
            return;
        }
        let along = |t: f64| [0, 1, 2].map(|k| low[k] + t * (high[k] - low[k]));
        let foot = along((0.0 - low[2]) / rise);
        self.strokes.push((Part::Kingpin, [foot, along(1.3)]));
    }

    fn arm(&mut self, ground: &Ground, arm: &Wishbone, ball: V3<f64>) {
        let points = [arm.front_pivot, ball, arm.rear_pivot].map(|p| ground.at(p));
        self.arms.push(points);
        self.joints.extend(points);
    }

    fn frame(&mut self, ground: &Ground, machine: &Machine) {
        let (left, right) = (&machine.left, &machine.right);
        let ring = |pick: fn(&Wishbone) -> V3<f64>| {
            [&left.lower, &left.upper, &right.upper, &right.lower].map(pick)
        };
        for corners in [ring(|w| w.front_pivot), ring(|w| w.rear_pivot)] {
            for k in 0..4 {
                self.stroke(ground, Part::Frame, corners[k], corners[(k + 1) % 4]);
            }
        }
        let top = 2.3 * left.wheel.radius;
        self.stroke(
            ground,
            Part::Middle,
            V3::new(0.0, 0.0, 0.0),
            V3::new(0.0, 0.0, top),
        );
    }

    fn steering(&mut self, ground: &Ground, machine: &Machine, pose: &Pose<f64>) {
        let axis = machine.crank.direction.unit();
        let foot =
            |p: V3<f64>| machine.crank.point + axis.scale((p - machine.crank.point).dot(axis));
        let inner = [pose.left.rod_inner, pose.right.rod_inner];
        match machine.layout {
            Layout::CentreCrank => {
                for end in inner {
                    self.stroke(ground, Part::Crank, foot(end), end);
                }
                let middle = foot(inner[0]);
                let half = axis.scale(35.0);
                self.stroke(ground, Part::Crank, middle - half, middle + half);
            }
            Layout::Slider | Layout::IdlerParallelogram { .. } => {
                self.stroke(ground, Part::Crank, inner[0], inner[1]);
            }
            Layout::CrossRod { .. } => {}
        }
        if let Some(drag) = pose.drag {
            self.stroke(ground, Part::Crank, foot(drag.inner), drag.inner);
            self.stroke(ground, Part::Rod, drag.inner, drag.outer);
            self.joints
                .extend([drag.inner, drag.outer].map(|p| ground.at(p)));
        }
    }

    fn number(&mut self, ground: &Ground, machine: &Machine, pose: &Pose<f64>) {
        let (fixed, now) = (&machine.left, &pose.left);
        let places = [
            fixed.lower.front_pivot,
            fixed.lower.rear_pivot,
            now.lower,
            fixed.upper.front_pivot,
            fixed.upper.rear_pivot,
            now.upper,
            now.rod_inner,
            now.rod_outer,
            machine.crank.point,
        ];
        let marks = places.into_iter().enumerate().map(|(k, p)| Mark {
            number: k + 1,
            at: ground.at(p),
        });
        self.marks.extend(marks);
    }
}
