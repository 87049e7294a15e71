//! Rod ends of the links between handlebar, crank and knuckle.

use super::drawn_kingpin;
use super::rod_end::{apart, best_spin};
use crate::Joint;
use crate::settings::Fittings;
use kinematics::{Axis, Layout, Linkage, Pose, Side, V3};

/// What a link's end is fixed to.
#[derive(Clone, Copy, Debug)]
enum Body {
    Crank(Axis),
    Handlebar(Axis),
    Knuckle(Side),
}

/// A link's end: its bolt and its place in the drawing, frame axes.
#[derive(Clone, Copy, Debug)]
struct End {
    on: Body,
    /// Unit direction; of a knuckle in the knuckle's coordinates.
    bolt: V3<f64>,
    place: V3<f64>,
    joint: Joint,
}

impl End {
    fn bolt(&self, pose: &Pose<f64>) -> V3<f64> {
        match self.on {
            Body::Crank(axis) => turned(self.bolt, &axis, pose.steer),
            Body::Handlebar(axis) => turned(self.bolt, &axis, pose.handlebar),
            Body::Knuckle(side) => pose.corner(side).knuckle_vector(self.bolt.to_array()),
        }
    }

    fn place(&self, pose: &Pose<f64>) -> V3<f64> {
        let about = |axis: &Axis, turn| axis.point + turned(self.place - axis.point, axis, turn);
        match self.on {
            Body::Crank(axis) => about(&axis, pose.steer),
            Body::Handlebar(axis) => about(&axis, pose.handlebar),
            Body::Knuckle(_) => pose.drag.map_or(self.place, |drag| drag.outer),
        }
    }
}

fn turned(v: V3<f64>, axis: &Axis, [sine, cosine]: [f64; 2]) -> V3<f64> {
    v.rotated(axis.direction.unit(), cosine, sine)
}

/// Both ends of one link.
#[derive(Clone, Copy, Debug)]
struct Link {
    ends: [End; 2],
    /// Cosine and sine of the clock angle between the eyes, best in the design pose.
    clock: [f64; 2],
}

impl Link {
    fn new(ends: [End; 2], design: &Pose<f64>) -> Link {
        let mut link = Link {
            ends,
            clock: [1.0, 0.0],
        };
        link.clock = apart(&link.about_rod(design));
        link
    }

    fn about_rod(&self, pose: &Pose<f64>) -> [V3<f64>; 3] {
        let [from, to] = self.ends;
        let along = (to.place(pose) - from.place(pose)).unit();
        [
            from.bolt(pose).across(along),
            to.bolt(pose).across(along),
            along,
        ]
    }

    fn cosines(&self, pose: &Pose<f64>) -> [f64; 2] {
        let bolts = self.about_rod(pose);
        let [c, s] = apart(&bolts);
        let [kc, ks] = self.clock;
        best_spin(
            bolts[0].norm(),
            bolts[1].norm(),
            [c * kc + s * ks, s * kc - c * ks],
        )
    }
}

/// The drag link to a knuckle and the handlebar's, where the machine has them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Links([Option<Link>; 2]);

impl Links {
    pub fn new(linkage: &Linkage, fittings: &Fittings, design: &Pose<f64>) -> Links {
        let machine = linkage.machine();
        let along = |given: Option<V3<f64>>, usual: V3<f64>| given.unwrap_or(usual).unit();
        let crank = machine.crank;
        let drag = match machine.layout {
            Layout::CrossRod {
                driven,
                drag_inner,
                drag_outer,
            } => {
                let [inner, outer] = fittings.drag_link_bolts;
                let outer = along(outer, drawn_kingpin(linkage, driven));
                Some([
                    End {
                        on: Body::Crank(crank),
                        bolt: along(inner, crank.direction),
                        place: drag_inner,
                        joint: Joint::DragLinkInner,
                    },
                    End {
                        on: Body::Knuckle(driven),
                        bolt: linkage.knuckle_coordinates(driven, outer).into(),
                        place: drag_outer,
                        joint: Joint::DragLinkOuter,
                    },
                ])
            }
            _ => None,
        };
        let handlebar = machine.handlebar.map(|h| {
            let [arm, on_crank] = fittings.handlebar_bolts;
            [
                End {
                    on: Body::Handlebar(h.axis),
                    bolt: along(arm, h.axis.direction),
                    place: h.arm_end,
                    joint: Joint::HandlebarLinkArm,
                },
                End {
                    on: Body::Crank(crank),
                    bolt: along(on_crank, crank.direction),
                    place: h.crank_end,
                    joint: Joint::HandlebarLinkCrank,
                },
            ]
        });
        Links([drag, handlebar].map(|ends| ends.map(|ends| Link::new(ends, design))))
    }

    /// Each end's joint with the cosine of its misalignment.
    pub fn cosines(&self, pose: &Pose<f64>) -> impl Iterator<Item = (Joint, f64)> {
        let one = |link: Link| {
            let cosines = link.cosines(pose);
            [0, 1].map(|i: usize| (link.ends[i].joint, cosines[i]))
        };
        let found = self.0.map(|link| link.map(one));
        found.into_iter().flatten().flatten()
    }
}
