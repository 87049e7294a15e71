//! Angles of ball joints and rod ends.

mod links;
mod rod_end;

use crate::candidate::{SIDES, tighten};
use crate::settings::{Fittings, Inner};
use crate::{Joint, Stop};
use kinematics::{Linkage, Pose, Side, V3};
use links::Links;
use rod_end::RodEnds;

/// Errors of the directions of studs and bolts on a machine as built.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tilts {
    /// Per side, left first, of lower stud, upper stud, inner bolt and outer bolt: the angles by
    /// which they lean across two axes square to them, radians, small.
    pub of: [[[f64; 2]; 4]; 2],
}

impl Tilts {
    fn tilted(&self, side: Side, which: usize, direction: V3<f64>) -> V3<f64> {
        let by = self.of[side as usize][which];
        if by == [0.0; 2] {
            return direction;
        }
        let x = V3::new(1.0, 0.0, 0.0).across(direction);
        let across = match x.norm() > 0.1 {
            true => x.unit(),
            false => V3::new(0.0, 1.0, 0.0).across(direction).unit(),
        };
        let other = direction.cross(across);
        (direction + across.scale(by[0]) + other.scale(by[1])).unit()
    }
}

/// The ball joint of one wishbone: stud fixed in the knuckle, socket fixed in the wishbone.
#[derive(Clone, Copy, Debug)]
struct BallJoint {
    /// Stud in knuckle coordinates.
    stud: [f64; 3],
    /// Socket axis in frame axes in the design pose, a unit vector.
    socket: V3<f64>,
    hinge: V3<f64>,
    upper: bool,
}

impl BallJoint {
    fn new(
        linkage: &Linkage,
        side: Side,
        upper: bool,
        stud: Option<V3<f64>>,
        socket: Option<V3<f64>>,
        tilts: &Tilts,
    ) -> BallJoint {
        let own = |v: V3<f64>| on_side(v, side).unit();
        let stud = stud.map_or(drawn_kingpin(linkage, side), own);
        BallJoint {
            stud: linkage.knuckle_coordinates(side, tilts.tilted(side, upper.into(), stud)),
            socket: socket.map_or(stud, own),
            hinge: linkage.hinge(side, upper),
            upper,
        }
    }

    /// Cosine of the angle between stud and socket axis.
    fn cosine(&self, pose: &Pose<f64>, side: Side) -> f64 {
        let corner = pose.corner(side);
        let [c, s] = match self.upper {
            true => corner.upper_turn,
            false => corner.lower_turn,
        };
        let socket = self.socket.rotated(self.hinge, c, s);
        corner.knuckle_vector(self.stud).dot(socket)
    }
}

/// Direction of the kingpin as drawn: directions are given in the drawing, and a machine whose
/// drawn wheels do not all touch the ground settles into a design pose a little off it.
fn drawn_kingpin(linkage: &Linkage, side: Side) -> V3<f64> {
    let machine = linkage.machine();
    let corner = match side {
        Side::Left => &machine.left,
        Side::Right => &machine.right,
    };
    (corner.upper.ball_joint - corner.lower.ball_joint).unit()
}

/// A direction given for the left side, on a side.
fn on_side(v: V3<f64>, side: Side) -> V3<f64> {
    match side {
        Side::Left => v,
        Side::Right => v.mirrored(),
    }
}

/// All joints of a machine.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Joints {
    /// Per side: lower, upper.
    balls: [[BallJoint; 2]; 2],
    rods: [RodEnds; 2],
    links: Links,
}

impl Joints {
    pub fn new(
        linkage: &Linkage,
        fittings: &Fittings,
        tilts: &Tilts,
        design: &Pose<f64>,
        limits: &[Option<f64>; 4],
    ) -> Joints {
        let f = fittings;
        Joints {
            balls: SIDES.map(|side| {
                [
                    BallJoint::new(linkage, side, false, f.lower_stud, f.lower_socket, tilts),
                    BallJoint::new(linkage, side, true, f.upper_stud, f.upper_socket, tilts),
                ]
            }),
            links: Links::new(linkage, fittings, design),
            rods: SIDES.map(|side| {
                RodEnds::new(linkage, side, fittings, tilts, design)
                    .allowing([limits[2], limits[3]])
            }),
        }
    }

    /// Cosines of the ball joint angles of one side: lower, upper.
    pub fn ball_cosines(&self, pose: &Pose<f64>, side: Side) -> [f64; 2] {
        self.balls[side as usize].map(|ball| ball.cosine(pose, side))
    }

    /// Cosines of the misalignment of one side's rod ends: inner, outer.
    pub fn rod_cosines(&self, pose: &Pose<f64>, side: Side) -> [f64; 2] {
        self.rods[side as usize].cosines(pose, side)
    }

    /// The joints of one side that have a limit: cosine of the angle, limit in radians.
    pub fn limited(
        &self,
        pose: &Pose<f64>,
        side: Side,
        inner: &Inner,
    ) -> impl Iterator<Item = (Joint, f64, f64)> {
        const JOINTS: [Joint; 4] = [
            Joint::LowerBall,
            Joint::UpperBall,
            Joint::InnerRodEnd,
            Joint::OuterRodEnd,
        ];
        let limits = inner.joint_limits;
        let [lower, upper] = match limits[0].or(limits[1]) {
            Some(_) => self.ball_cosines(pose, side),
            None => [1.0; 2],
        };
        let [inside, outside] = match (limits[2], limits[3]) {
            (None, None) => [1.0; 2],
            _ => self.rod_cosines(pose, side),
        };
        let cosines = [lower, upper, inside, outside];
        (0..4).filter_map(move |i| Some((JOINTS[i], cosines[i], limits[i]?)))
    }

    /// Joints of the drag links with the cosines of their misalignment.
    pub fn link_cosines(&self, pose: &Pose<f64>) -> impl Iterator<Item = (Joint, f64)> {
        self.links.cosines(pose)
    }

    /// Room left before the first joint reaches its limit: cosine beyond the limit's cosine.
    pub fn room(&self, pose: &Pose<f64>, inner: &Inner) -> (f64, Stop) {
        let mut room = (f64::INFINITY, Stop::SweepEnd);
        for side in SIDES {
            for (joint, cosine, limit) in self.limited(pose, side, inner) {
                let left = cosine - libm::cos(limit);
                tighten(&mut room, left, Stop::JointLimit(side, joint));
            }
        }
        if let Some(limit) = inner.link_limit {
            for (joint, cosine) in self.link_cosines(pose) {
                let left = cosine - libm::cos(limit);
                tighten(&mut room, left, Stop::LinkJointLimit(joint));
            }
        }
        room
    }
}

/// An angle from its cosine, degrees.
pub(crate) fn degrees_of_cosine(cosine: f64) -> f64 {
    let c = cosine.clamp(-1.0, 1.0);
    libm::atan2((1.0 - c * c).sqrt(), c).to_degrees()
}
