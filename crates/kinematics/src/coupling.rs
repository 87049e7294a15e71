//! What joins left and right: a held mean travel, or a rocker with two links.

use crate::circle::LoopShape;
use crate::knuckle::{Arm, CornerState, SMALLEST_MM};
use crate::{DesignFault, Lane, Loop, Rocker, Side, V3};

/// The coupling's residual (mm) and its rates per radian of the lower wishbones.
#[derive(Clone, Copy)]
pub(crate) struct Couple<L> {
    pub residual: L,
    pub by_arm: [L; 2],
    /// Margin of the left link's loop; 1 without a rocker.
    pub margin: L,
}

/// Mean rise of the lower ball joints against the one asked for.
#[inline(always)]
pub(crate) fn mean_travel<L: Lane>(
    states: [&CornerState<L>; 2],
    rates: [V3<L>; 2],
    design_sum: f64,
    wanted: L,
) -> Couple<L> {
    let half = L::splat(0.5);
    let sum = states[0].lower.z + states[1].lower.z - L::splat(design_sum);
    Couple {
        residual: half * sum - wanted,
        by_arm: [half * rates[0].z, half * rates[1].z],
        margin: L::splat(1.0),
    }
}

/// A rocker prepared for solving.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RockerLink {
    axis: V3<f64>,
    /// Feet of the left and right rocker end on the pivot axis, mm.
    foot: [V3<f64>; 2],
    radius: f64,
    left_loop: LoopShape,
    right_length: f64,
    /// Link feet in (out, hinge × out, hinge) of their wishbones from the ball joint's foot.
    link: [[f64; 3]; 2],
}

impl RockerLink {
    pub fn new(rocker: &Rocker, arms: [&Arm; 2]) -> Result<RockerLink, DesignFault> {
        let size = rocker.axis.direction.norm();
        if size.is_nan() || size < 1e-9 {
            return Err(DesignFault::ZeroAxis);
        }
        let axis = rocker.axis.direction.scale(1.0 / size);
        let arm = V3::new(0.0, rocker.arm, 0.0);
        let reach = arm.across(axis);
        let radius = reach.norm();
        if rocker.arm.is_nan() || rocker.arm <= 0.0 || radius < SMALLEST_MM {
            return Err(DesignFault::RockerShape);
        }
        let along = arm - reach;
        let foot = [rocker.axis.point + along, rocker.axis.point - along];
        let e = reach.scale(1.0 / radius);
        let left_loop = LoopShape::of_design(axis, e, rocker.left_foot - foot[0], radius)
            .ok_or(DesignFault::AtDeadCentre(Loop::RockerLink(Side::Left)))?;
        LoopShape::of_design(axis, -e, rocker.right_foot - foot[1], radius)
            .ok_or(DesignFault::AtDeadCentre(Loop::RockerLink(Side::Right)))?;
        let right_length = (foot[1] - reach - rocker.right_foot).norm();
        if right_length < SMALLEST_MM {
            return Err(DesignFault::RockerShape);
        }
        let local = |a: &Arm, p: V3<f64>| [a.out, a.aside, a.hinge].map(|d| d.dot(p - a.foot));
        let link = [
            local(arms[0], rocker.left_foot),
            local(arms[1], rocker.right_foot),
        ];
        Ok(RockerLink {
            axis,
            foot,
            radius,
            left_loop,
            right_length,
            link,
        })
    }

    #[inline(always)]
    fn link_foot<L: Lane>(&self, side: usize, arm: &Arm, out: V3<L>) -> (V3<L>, V3<L>) {
        let hinge = V3::splat(arm.hinge);
        let [a, b, c] = self.link[side].map(L::splat);
        let turned = out.scale(a) + hinge.cross(out).scale(b);
        (
            V3::splat(arm.foot) + turned + hinge.scale(c),
            hinge.cross(turned),
        )
    }

    /// Feet and rocker ends of both links in a pose.
    pub fn links(&self, arms: [&Arm; 2], outs: [V3<f64>; 2]) -> [[V3<f64>; 2]; 2] {
        let (left, _) = self.link_foot(0, arms[0], outs[0]);
        let (right, _) = self.link_foot(1, arms[1], outs[1]);
        let met = self.left_loop.meet(self.axis, left - self.foot[0]);
        let reach = met.direction.scale(self.radius);
        [[left, self.foot[0] + reach], [right, self.foot[1] - reach]]
    }

    /// Left link closed by form; what is left over is the right link's length.
    #[inline(always)]
    pub fn couple<L: Lane>(&self, arms: [&Arm; 2], outs: [V3<L>; 2]) -> Couple<L> {
        let k = V3::splat(self.axis);
        let (left, v_left) = self.link_foot(0, arms[0], outs[0]);
        let (right, v_right) = self.link_foot(1, arms[1], outs[1]);
        let centre = V3::splat(self.foot[0]);
        let met = self.left_loop.meet(k, left - centre);
        let reach = met.direction.scale(L::splat(self.radius));
        let swing = k.cross(reach);
        let left_link = centre + reach - left;
        let turn = left_link.dot(v_left) / left_link.dot(swing);
        let right_link = V3::splat(self.foot[1]) - reach - right;
        let length = L::splat(self.right_length);
        let inverse = L::splat(1.0 / self.right_length);
        Couple {
            residual: (right_link.norm2() - length * length) * inverse * L::splat(0.5),
            by_arm: [
                -(right_link.dot(swing) * turn * inverse),
                -(right_link.dot(v_right) * inverse),
            ],
            margin: met.margin,
        }
    }
}
