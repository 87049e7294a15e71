//! The outer Newton iteration over two wishbone angles and the frame's pitch.
//!
//! Unknowns are tangents of half angles, so that the kernel needs no circular functions.
//! Frame height is eliminated by the rear wheel's contact. Lanes that have converged are
//! frozen, so a wider row of lanes gives the same bits as one.

use crate::coupling::{Couple, mean_travel};
use crate::knuckle::{CornerRate, CornerState};
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

/// Everything known at one set of unknowns.
pub(crate) struct System<L> {
    pub states: [CornerState<L>; 2],
    pub rates: [CornerRate<L>; 2],
    pub rod_inner: [V3<L>; 2],
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

    /// Solves J·d = −(left, right, coupling) for turns of left arm, right arm and pitch.
    #[inline(always)]
    pub fn turns(&self, left: L, right: L, couple: L) -> [L; 3] {
        let [a1, a2] = self.by_arm;
        let [b1, b2] = self.by_pitch;
        let (c1, c2) = (self.couple.by_left, self.couple.by_right);
        let pitch = (couple * a1 * a2 - c1 * left * a2 - c2 * right * a1) / self.determinant;
        [
            -((left + b1 * pitch) / a1),
            -((right + b2 * pitch) / a2),
            pitch,
        ]
    }
}

impl Linkage {
    /// Positions, rates and residuals at the unknowns `t`.
    #[inline(always)]
    pub(crate) fn system<L: Lane>(&self, drive: &Drive<L>, t: &[L; 3]) -> System<L> {
        let turn = |k: usize| half_angle(t[k]);
        let rod_inner = self.rod_inner(drive);
        let [s0, c0] = turn(0);
        let [s1, c1] = turn(1);
        let states = [
            self.corners[0].state(c0, s0, rod_inner[0]),
            self.corners[1].state(c1, s1, rod_inner[1]),
        ];
        let rates = [
            self.corners[0].rate(&states[0], rod_inner[0]),
            self.corners[1].rate(&states[1], rod_inner[1]),
        ];
        let [sp, cp] = turn(2);
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
        let by_arm = |i: usize| {
            up.dot(rates[i].centre) + self.tyres[i].lift_rate(&drops[i], rates[i].axis.dot(up))
        };
        let by_pitch = |i: usize| {
            up_rate.dot(states[i].centre - rear_centre)
                + self.tyres[i].lift_rate(&drops[i], states[i].axis.dot(up_rate))
                - rear_lift
        };
        let couple = self.couple(drive, &states, &rates);
        let (arm, tip) = ([by_arm(0), by_arm(1)], [by_pitch(0), by_pitch(1)]);
        System {
            heights: [contact_height(0), contact_height(1)],
            determinant: couple.by_left * tip[0] * arm[1] + couple.by_right * tip[1] * arm[0],
            by_arm: arm,
            by_pitch: tip,
            states,
            rates,
            rod_inner,
            drops,
            rear_drop,
            up,
            up_rate,
            pitch: [sp, cp],
            height,
            couple,
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

    /// Newton's iteration from `start`; the unknowns and the system there.
    #[inline(always)]
    pub(crate) fn iterate<L: Lane>(&self, drive: &Drive<L>, start: &[L; 3]) -> ([L; 3], System<L>) {
        let mut t = *start;
        let mut system = self.system(drive, &t);
        for _ in 0..MOST_STEPS {
            let open = L::not(system.residual().less(L::splat(CONVERGED_MM)));
            if L::all(L::not(open)) {
                break;
            }
            let turns = system.turns(system.heights[0], system.heights[1], system.couple.residual);
            for (value, turn) in t.iter_mut().zip(turns) {
                let limit = L::splat(LARGEST_TURN);
                let turn = turn.min(limit).max(-limit);
                let scale = (L::splat(1.0) + *value * *value) * L::splat(0.5);
                *value = L::select(open, *value + turn * scale, *value);
            }
            system = self.system(drive, &t);
        }
        (t, system)
    }

    /// Residual small enough for the pose to stand.
    #[inline(always)]
    pub(crate) fn accepted<L: Lane>(residual: L) -> L::Mask {
        residual.less(L::splat(ACCEPTED_MM))
    }
}
