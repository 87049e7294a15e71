//! The outer Newton iteration over two wishbone angles and the frame's pitch.
//!
//! Unknowns are tangents of half angles, so that the kernel needs no circular functions.
//! Frame height is eliminated by the rear wheel's contact. Lanes that have converged are
//! frozen, so a wider row of lanes gives the same bits as one.

use crate::coupling::{Couple, mean_travel};
use crate::knuckle::{CornerRate, CornerState};
use crate::steering::Ends;
use crate::wheel::Drop;
use crate::{Drive, Lane, Linkage, V3};

/// Residual (mm) below which a pose counts as solved.
const CONVERGED_MM: f64 = 1e-10;
/// Residual (mm) that is still accepted when rounding keeps it from falling further.
const ACCEPTED_MM: f64 = 1e-8;
/// Newton steps before giving up.
const MOST_STEPS: usize = 24;
/// Largest turn of an unknown in one step, radians.
const LARGEST_TURN: f64 = 0.35;

struct Knuckles<L> {
    states: [CornerState<L>; 2],
    rates: [CornerRate<L>; 2],
    rod_inner: [V3<L>; 2],
    carried: CornerRate<L>,
}

/// Everything known at one set of unknowns.
pub(crate) struct System<L> {
    pub states: [CornerState<L>; 2],
    pub rates: [CornerRate<L>; 2],
    /// Inner ends of the rods that turn the knuckles.
    pub rod_inner: [V3<L>; 2],
    /// Margin of the driver's own loop.
    pub driver_margin: L,
    pub drops: [Drop<L>; 2],
    pub rear_drop: Drop<L>,
    pub up: V3<L>,
    pub up_rate: V3<L>,
    pub pitch: [L; 2],
    pub height: L,
    /// Heights of both front contacts, mm.
    pub heights: [L; 2],
    /// Their rates per radian of their own wishbone.
    pub by_arm: [L; 2],
    /// Rate of the second contact's height per radian of the first wishbone.
    pub by_other: L,
    /// Index of the corner that is solved first.
    pub first: usize,
    /// Their rates per radian of pitch.
    pub by_pitch: [L; 2],
    pub couple: Couple<L>,
    pub determinant: L,
}

#[inline(always)]
fn half_angle<L: Lane>(t: L) -> [L; 2] {
    let square = t * t;
    let inverse = L::splat(1.0) / (L::splat(1.0) + square);
    [(t + t) * inverse, (L::splat(1.0) - square) * inverse]
}

impl<L: Lane> System<L> {
    #[inline(always)]
    pub fn residual(&self) -> L {
        // A sum, not a maximum: not-a-number in any part must reach the result.
        self.heights[0].abs() + self.heights[1].abs() + self.couple.residual.abs()
    }

    /// Solves J·d = −(heights, coupling) for turns of both lower wishbones and the pitch.
    ///
    /// With `a` the corner solved first and `b` the other, J is
    /// `[[a1, 0, b1], [m, a2, b2], [c1, c2, 0]]`; m is 0 unless a cross rod joins them.
    #[inline(always)]
    pub fn turns<const CROSS: bool>(&self, heights: [L; 2], couple: L) -> Turns<L> {
        let (a, b) = if CROSS {
            (self.first, 1 - self.first)
        } else {
            (0, 1)
        };
        let (a1, a2, m) = (self.by_arm[a], self.by_arm[b], self.by_other);
        let (b1, b2) = (self.by_pitch[a], self.by_pitch[b]);
        let (c1, c2) = (self.couple.by_arm[a], self.couple.by_arm[b]);
        let (first, second) = (heights[a], heights[b]);
        let seen = if CROSS {
            second * a1 - m * first
        } else {
            second * a1
        };
        let pitch = (couple * a1 * a2 - c1 * first * a2 - c2 * seen) / self.determinant;
        let one = -((first + b1 * pitch) / a1);
        let carried = if CROSS { second + m * one } else { second };
        let other = -((carried + b2 * pitch) / a2);
        let arms = if a == 0 { [one, other] } else { [other, one] };
        Turns { arms, pitch }
    }
}

/// Turns of the lower wishbones and of the pitch, radians.
pub(crate) struct Turns<L> {
    pub arms: [L; 2],
    pub pitch: L,
}

impl Linkage {
    /// Positions, rates and residuals at the unknowns `t`.
    #[inline(always)]
    pub(crate) fn system<L: Lane, const CROSS: bool>(
        &self,
        drive: &Drive<L>,
        ends: &Ends<L>,
        t: &[L; 3],
    ) -> System<L> {
        let Knuckles {
            states,
            rates,
            rod_inner,
            carried,
        } = self.knuckles::<L, CROSS>(ends, t);
        let [sp, cp] = half_angle(t[2]);
        let (sl, cl) = (drive.lean_sin, drive.lean_cos);
        let up = V3::new(-sp, cp * sl, cp * cl);
        let up_rate = V3::new(-cp, -(sp * sl), -(sp * cl));
        let (rear_centre, rear_axis) = (V3::splat(self.rear_centre), V3::splat(self.rear_axis));
        let rear_drop = self.rear_tyre.drop(rear_axis, up);
        let height = rear_drop.below - up.dot(rear_centre);
        let rear_lift = self.rear_tyre.lift_rate(&rear_drop, rear_axis.dot(up_rate));
        let drops = [
            self.tyres[0].drop(states[0].axis, up),
            self.tyres[1].drop(states[1].axis, up),
        ];
        let contact_height = |i: usize| up.dot(states[i].centre) + height - drops[i].below;
        let by_arm = [
            self.lift(0, up, &drops[0], &rates[0]),
            self.lift(1, up, &drops[1], &rates[1]),
        ];
        let tip = |i: usize| {
            up_rate.dot(states[i].centre - rear_centre)
                + self.tyres[i].lift_rate(&drops[i], states[i].axis.dot(up_rate))
                - rear_lift
        };
        let by_pitch = [tip(0), tip(1)];
        let couple = self.couple(drive, &states, &rates);
        let (a, b) = if CROSS { self.driver.order() } else { (0, 1) };
        let mut seen = by_pitch[b] * by_arm[a];
        let mut by_other = L::splat(0.0);
        if CROSS {
            by_other = self.lift(b, up, &drops[b], &carried);
            seen = seen - by_pitch[a] * by_other;
        }
        System {
            determinant: couple.by_arm[a] * by_pitch[a] * by_arm[b] + couple.by_arm[b] * seen,
            heights: [contact_height(0), contact_height(1)],
            states,
            rates,
            rod_inner,
            driver_margin: ends.margin,
            drops,
            rear_drop,
            up,
            up_rate,
            pitch: [sp, cp],
            height,
            by_arm,
            by_other,
            first: a,
            by_pitch,
            couple,
        }
    }

    /// Rate of a front contact's height for one motion of its knuckle.
    #[inline(always)]
    pub(crate) fn lift<L: Lane>(
        &self,
        i: usize,
        up: V3<L>,
        drop: &Drop<L>,
        rate: &CornerRate<L>,
    ) -> L {
        up.dot(rate.centre) + self.tyres[i].lift_rate(drop, rate.axis.dot(up))
    }

    #[inline(always)]
    fn knuckle<L: Lane>(&self, i: usize, t: L, end: V3<L>) -> (CornerState<L>, CornerRate<L>) {
        let [s, c] = half_angle(t);
        let state = self.corners[i].state(c, s, end);
        (state, self.corners[i].rate(&state, end))
    }

    /// Both knuckles; with a cross rod the driven one first, and the other by its rod end.
    #[inline(always)]
    fn knuckles<L: Lane, const CROSS: bool>(&self, ends: &Ends<L>, t: &[L; 3]) -> Knuckles<L> {
        if !CROSS {
            let (left, left_rate) = self.knuckle(0, t[0], ends.points[0]);
            let (right, right_rate) = self.knuckle(1, t[1], ends.points[1]);
            return Knuckles {
                states: [left, right],
                rates: [left_rate, right_rate],
                rod_inner: ends.points,
                carried: CornerRate::rest(),
            };
        }
        let (a, b) = self.driver.order();
        let one = self.knuckle(a, t[a], ends.points[a]);
        let end = one.0.point(self.driver.cross_end());
        let other = self.knuckle(b, t[b], end);
        let carried = self.corners[b].steer_rate(&other.0, end, one.1.of_point(&one.0, end));
        let mut rod_inner = ends.points;
        rod_inner[b] = end;
        let (left, right) = if a == 0 { (one, other) } else { (other, one) };
        Knuckles {
            states: [left.0, right.0],
            rates: [left.1, right.1],
            rod_inner,
            carried,
        }
    }

    #[inline(always)]
    fn couple<L: Lane>(
        &self,
        drive: &Drive<L>,
        states: &[CornerState<L>; 2],
        rates: &[CornerRate<L>; 2],
    ) -> Couple<L> {
        match &self.rocker {
            Some(rocker) if drive.rocker => rocker.couple(
                [&self.corners[0].lower, &self.corners[1].lower],
                [states[0].out, states[1].out],
            ),
            _ => mean_travel(
                [&states[0], &states[1]],
                [rates[0].lower, rates[1].lower],
                self.design_sum,
                drive.mean_travel,
            ),
        }
    }

    /// Newton's iteration from `start`; the unknowns and the system there. `CROSS` says
    /// whether a cross rod joins the knuckles.
    #[inline(always)]
    pub(crate) fn iterate<L: Lane, const CROSS: bool>(
        &self,
        drive: &Drive<L>,
        start: &[L; 3],
    ) -> ([L; 3], System<L>) {
        let ends = self.driver.ends(drive);
        let mut t = *start;
        let mut system = self.system::<L, CROSS>(drive, &ends, &t);
        for _ in 0..MOST_STEPS {
            let open = L::not(system.residual().less(L::splat(CONVERGED_MM)));
            if L::all(L::not(open)) {
                break;
            }
            let turns = system.turns::<CROSS>(system.heights, system.couple.residual);
            let [left, right] = turns.arms;
            for (value, turn) in t.iter_mut().zip([left, right, turns.pitch]) {
                let limit = L::splat(LARGEST_TURN);
                let turn = turn.min(limit).max(-limit);
                let scale = (L::splat(1.0) + *value * *value) * L::splat(0.5);
                *value = L::select(open, *value + turn * scale, *value);
            }
            system = self.system::<L, CROSS>(drive, &ends, &t);
        }
        (t, system)
    }

    /// Residual small enough for the pose to stand.
    #[inline(always)]
    pub(crate) fn accepted<L: Lane>(residual: L) -> L::Mask {
        residual.less(L::splat(ACCEPTED_MM))
    }
}
