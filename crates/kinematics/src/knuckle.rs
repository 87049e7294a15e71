//! One front corner: lower wishbone angle and rod end in, knuckle and wheel out, with rates.

use crate::circle::LoopShape;
use crate::{Corner, DesignFault, Lane, Loop, Side, V3, Wishbone};

/// A wishbone in the form the kernel wants.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Arm {
    /// Unit hinge direction, rear to front pivot.
    pub hinge: V3<f64>,
    /// Foot of the ball joint on the hinge line, mm.
    pub foot: V3<f64>,
    /// Unit direction from the foot to the ball joint in the design pose.
    pub out: V3<f64>,
    /// hinge × out.
    pub aside: V3<f64>,
    /// Distance of the ball joint from the hinge line, mm.
    pub radius: f64,
}

impl Arm {
    fn new(w: &Wishbone, upper: bool, side: Side) -> Result<Arm, DesignFault> {
        let along = w.front_pivot - w.rear_pivot;
        let length = along.norm();
        if length < SMALLEST_MM {
            return Err(DesignFault::HingeHasNoLength { upper, side });
        }
        let hinge = along.scale(1.0 / length);
        let reach = (w.ball_joint - w.rear_pivot).across(hinge);
        let radius = reach.norm();
        if radius < SMALLEST_MM {
            return Err(DesignFault::BallJointOnHinge { upper, side });
        }
        let out = reach.scale(1.0 / radius);
        Ok(Arm {
            hinge,
            foot: w.ball_joint - reach,
            out,
            aside: hinge.cross(out),
            radius,
        })
    }
}

/// Lengths below this (mm) count as none.
pub(crate) const SMALLEST_MM: f64 = 1e-3;

/// A front corner prepared for solving. Knuckle points are stored in the knuckle's own
/// frame: origin at the lower ball joint, directions (across, kingpin × across, kingpin)
/// where `across` points from the kingpin to the rod end.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CornerLink {
    pub lower: Arm,
    pub upper: Arm,
    upper_loop: LoopShape,
    rod_loop: LoopShape,
    /// 1 / distance between the ball joints, 1/mm.
    inverse_kingpin: f64,
    /// Height of the rod end along the kingpin from the lower ball joint, mm.
    rod_height: f64,
    /// Distance of the rod end from the kingpin, mm.
    rod_arm: f64,
    wheel_centre: [f64; 3],
    wheel_axis: [f64; 3],
    frame: [V3<f64>; 3],
    origin: V3<f64>,
}

/// Positions of a corner for one lower wishbone angle and one rod end.
#[derive(Clone, Copy)]
pub(crate) struct CornerState<L> {
    pub out: V3<L>,
    pub lower: V3<L>,
    pub upper_out: V3<L>,
    pub upper: V3<L>,
    pub kingpin: V3<L>,
    pub across: V3<L>,
    pub rod_outer: V3<L>,
    pub centre: V3<L>,
    pub axis: V3<L>,
    pub upper_margin: L,
    pub rod_margin: L,
}

impl<L: Lane> CornerState<L> {
    /// A point of the knuckle from its knuckle coordinates.
    #[inline(always)]
    pub fn point(&self, coordinates: [f64; 3]) -> V3<L> {
        let [a, b, c] = coordinates.map(L::splat);
        let third = self.kingpin.cross(self.across);
        self.lower + self.across.scale(a) + third.scale(b) + self.kingpin.scale(c)
    }
}

impl<L: Lane> CornerRate<L> {
    /// No motion.
    #[inline(always)]
    pub fn rest() -> Self {
        let zero = V3::splat(V3::new(0.0, 0.0, 0.0));
        CornerRate {
            lower: zero,
            omega: zero,
            centre: zero,
            axis: zero,
        }
    }
    /// Velocity of a point of the knuckle.
    #[inline(always)]
    pub fn of_point(&self, at: &CornerState<L>, point: V3<L>) -> V3<L> {
        self.lower + self.omega.cross(point - at.lower)
    }
    /// The sum of two motions, the second `k` times.
    #[inline(always)]
    pub fn plus(&self, other: &CornerRate<L>, k: L) -> CornerRate<L> {
        CornerRate {
            lower: self.lower + other.lower.scale(k),
            omega: self.omega + other.omega.scale(k),
            centre: self.centre + other.centre.scale(k),
            axis: self.axis + other.axis.scale(k),
        }
    }
}

/// Velocities of a corner for one motion: of the lower wishbone by a radian with the rod's
/// inner end at rest, or of the rod's inner end with the wishbones at rest.
#[derive(Clone, Copy)]
pub(crate) struct CornerRate<L> {
    pub lower: V3<L>,
    /// Angular velocity of the knuckle.
    pub omega: V3<L>,
    pub centre: V3<L>,
    pub axis: V3<L>,
}

impl CornerLink {
    /// Prepares a corner whose knuckle is turned by the rod from `rod_inner` to `rod_outer`.
    pub fn new(
        corner: &Corner,
        rod_inner: V3<f64>,
        rod_outer: V3<f64>,
        side: Side,
    ) -> Result<CornerLink, DesignFault> {
        let lower = Arm::new(&corner.lower, false, side)?;
        let upper = Arm::new(&corner.upper, true, side)?;
        let (l, u) = (corner.lower.ball_joint, corner.upper.ball_joint);
        let span = (u - l).norm();
        if span < SMALLEST_MM {
            return Err(DesignFault::NoKingpin(side));
        }
        let kingpin = (u - l).scale(1.0 / span);
        let arm = rod_outer - l;
        let rod_arm = arm.across(kingpin).norm();
        if rod_arm < SMALLEST_MM {
            return Err(DesignFault::RodEndOnKingpin(side));
        }
        if (rod_outer - rod_inner).norm() < SMALLEST_MM {
            return Err(DesignFault::RodHasNoLength(side));
        }
        let across = arm.across(kingpin).scale(1.0 / rod_arm);
        let frame = [across, kingpin.cross(across), kingpin];
        let local = |v: V3<f64>| frame.map(|d| d.dot(v));
        let rod_height = arm.dot(kingpin);
        let upper_loop = LoopShape::of_design(upper.hinge, upper.out, l - upper.foot, upper.radius)
            .ok_or(DesignFault::AtDeadCentre(Loop::UpperWishbone(side)))?;
        let rod_foot = l + kingpin.scale(rod_height);
        let rod_loop = LoopShape::of_design(kingpin, across, rod_inner - rod_foot, rod_arm)
            .ok_or(DesignFault::AtDeadCentre(Loop::TieRod(side)))?;
        Ok(CornerLink {
            lower,
            upper,
            upper_loop,
            rod_loop,
            inverse_kingpin: 1.0 / span,
            rod_height,
            rod_arm,
            wheel_centre: local(corner.wheel.centre - l),
            wheel_axis: local(corner.wheel.axis),
            frame,
            origin: l,
        })
    }

    /// Coordinates in the knuckle's frame of a direction given in the design pose.
    pub fn knuckle_coordinates(&self, v: V3<f64>) -> [f64; 3] {
        self.frame.map(|d| d.dot(v))
    }

    /// Coordinates in the knuckle's frame of a point given in the design pose.
    pub fn knuckle_point(&self, p: V3<f64>) -> [f64; 3] {
        self.knuckle_coordinates(p - self.origin)
    }

    /// The corner with the lower wishbone turned by the angle of cosine `c` and sine `s`.
    #[inline(always)]
    pub fn state<L: Lane>(&self, c: L, s: L, rod_inner: V3<L>) -> CornerState<L> {
        let out = V3::splat(self.lower.out).scale(c) + V3::splat(self.lower.aside).scale(s);
        let lower = V3::splat(self.lower.foot) + out.scale(L::splat(self.lower.radius));
        let upper_foot = V3::splat(self.upper.foot);
        let up = self
            .upper_loop
            .meet(V3::splat(self.upper.hinge), lower - upper_foot);
        let upper = upper_foot + up.direction.scale(L::splat(self.upper.radius));
        let kingpin = (upper - lower).scale(L::splat(self.inverse_kingpin));
        let foot = lower + kingpin.scale(L::splat(self.rod_height));
        let rod = self.rod_loop.meet(kingpin, rod_inner - foot);
        let across = rod.direction;
        let third = kingpin.cross(across);
        let carried = |p: &[f64; 3]| {
            across.scale(L::splat(p[0]))
                + third.scale(L::splat(p[1]))
                + kingpin.scale(L::splat(p[2]))
        };
        CornerState {
            out,
            lower,
            upper_out: up.direction,
            upper,
            kingpin,
            across,
            rod_outer: foot + across.scale(L::splat(self.rod_arm)),
            centre: lower + carried(&self.wheel_centre),
            axis: carried(&self.wheel_axis),
            upper_margin: up.margin,
            rod_margin: rod.margin,
        }
    }

    /// Rates per radian of the lower wishbone at a given crank.
    #[inline(always)]
    pub fn rate<L: Lane>(&self, at: &CornerState<L>, rod_inner: V3<L>) -> CornerRate<L> {
        let v_lower = V3::splat(self.lower.hinge)
            .cross(at.out)
            .scale(L::splat(self.lower.radius));
        let span = at.upper - at.lower;
        let swing = V3::splat(self.upper.hinge)
            .cross(at.upper_out)
            .scale(L::splat(self.upper.radius));
        let v_upper = swing.scale(span.dot(v_lower) / span.dot(swing));
        let tilt = at
            .kingpin
            .cross((v_upper - v_lower).scale(L::splat(self.inverse_kingpin)));
        let arm = at.rod_outer - at.lower;
        let rod = at.rod_outer - rod_inner;
        let v_rod = v_lower + tilt.cross(arm);
        let spin = -(rod.dot(v_rod) / rod.dot(at.kingpin.cross(arm)));
        let omega = tilt + at.kingpin.scale(spin);
        CornerRate {
            lower: v_lower,
            omega,
            centre: v_lower + omega.cross(at.centre - at.lower),
            axis: omega.cross(at.axis),
        }
    }

    /// Rates of wheel centre and axis where the wishbones rest and the rod's inner end
    /// moves with velocity `v_inner`.
    #[inline(always)]
    pub fn steer_rate<L: Lane>(
        &self,
        at: &CornerState<L>,
        rod_inner: V3<L>,
        v_inner: V3<L>,
    ) -> CornerRate<L> {
        let arm = at.rod_outer - at.lower;
        let rod = at.rod_outer - rod_inner;
        let spin = rod.dot(v_inner) / rod.dot(at.kingpin.cross(arm));
        let omega = at.kingpin.scale(spin);
        CornerRate {
            lower: V3::splat(V3::new(0.0, 0.0, 0.0)),
            omega,
            centre: omega.cross(at.centre - at.lower),
            axis: omega.cross(at.axis),
        }
    }
}
