//! A link from the handlebar to the crank: a four-bar in front of the crank.
//!
//! The crank drives the solver, so the handlebar follows from it: its arm's end is circle∩sphere
//! about the handlebar's axis and the link's end on the crank. Read the other way round, the same
//! loop says how the handlebar moves the crank, and both in-line positions stop it: at the arm of
//! the handlebar no further turn of it moves the crank that way, at the crank's it has no leverage.

use crate::circle::LoopShape;
use crate::knuckle::SMALLEST_MM;
use crate::steering::{Turning, UnitAxis, unit_axis};
use crate::{DesignFault, Handlebar, Lane, Loop, V3};

/// A handlebar link prepared for solving.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HandlebarLink {
    crank_axis: V3<f64>,
    crank_end: Turning,
    axis: V3<f64>,
    bar_end: Turning,
    shape: LoopShape,
}

/// The handlebar in a pose.
#[derive(Clone, Copy, Debug)]
pub struct HandlebarPose<L> {
    /// Sine and cosine of its rotation about its own axis since the design pose.
    pub turn: [L; 2],
    /// Its rotation per rotation of the crank; negative where they turn in opposite senses.
    pub per_crank: L,
    /// Sine of the angle between link and handlebar arm, as the link's pull on the handlebar;
    /// 0 in line.
    pub bar_sine: L,
    /// The same between link and crank arm.
    pub crank_sine: L,
    /// The link's end on the handlebar, frame axes, mm.
    pub bar_end: V3<L>,
    /// The link's end on the crank, frame axes, mm.
    pub crank_end: V3<L>,
    /// How far the loop is from failing: 1 at its best, 0 at dead centre, below 0 beyond.
    pub margin: L,
}

impl HandlebarLink {
    pub fn new(handlebar: &Handlebar, crank: &UnitAxis) -> Result<HandlebarLink, DesignFault> {
        let axis = unit_axis(&handlebar.axis)?;
        let on_axis = DesignFault::HandlebarShape;
        let crank_end = Turning::new(crank, handlebar.crank_end).ok_or(on_axis)?;
        let bar_end = Turning::new(&axis, handlebar.bar_end).ok_or(on_axis)?;
        if (handlebar.bar_end - handlebar.crank_end).norm() < SMALLEST_MM {
            return Err(on_axis);
        }
        let radius = bar_end.reach.norm();
        let shape = LoopShape::of_design(
            axis.direction,
            bar_end.reach.scale(1.0 / radius),
            handlebar.crank_end - bar_end.foot,
            radius,
        )
        .ok_or(DesignFault::AtDeadCentre(Loop::HandlebarLink))?;
        let link = HandlebarLink {
            crank_axis: crank.direction,
            crank_end,
            axis: axis.direction,
            bar_end,
            shape,
        };
        let drawn = link.pose::<f64>([0.0, 1.0]);
        if drawn.crank_sine.abs() < 1e-6 {
            return Err(DesignFault::AtDeadCentre(Loop::HandlebarLink));
        }
        Ok(link)
    }

    /// The loop's margin at sine and cosine of the crank angle.
    #[inline(always)]
    pub fn margin<L: Lane>(&self, [s, c]: [L; 2]) -> L {
        let to = self.crank_end.at(c, s) - V3::splat(self.bar_end.foot);
        self.shape.meet(V3::splat(self.axis), to).margin
    }

    /// The handlebar at sine and cosine of the crank angle.
    pub fn pose<L: Lane>(&self, [s, c]: [L; 2]) -> HandlebarPose<L> {
        let crank_end = self.crank_end.at(c, s);
        let foot = V3::splat(self.bar_end.foot);
        let met = self.shape.meet(V3::splat(self.axis), crank_end - foot);
        let radius = L::splat(self.shape.circle_radius);
        let reach = met.direction.scale(radius);
        let bar_end = foot + reach;
        let link = (bar_end - crank_end).unit();
        let swing = V3::splat(self.axis).cross(reach);
        let push = V3::splat(self.crank_axis).cross(crank_end - V3::splat(self.crank_end.foot));
        let inverse = L::splat(1.0 / self.shape.circle_radius);
        let crank_radius = L::splat(1.0 / self.crank_end.reach.norm());
        let (on_bar, on_crank) = (link.dot(swing), link.dot(push));
        let own = |d: V3<f64>| met.direction.dot(V3::splat(d)) * inverse;
        HandlebarPose {
            turn: [own(self.bar_end.aside), own(self.bar_end.reach)],
            per_crank: on_crank / on_bar,
            bar_sine: on_bar * inverse,
            crank_sine: on_crank * crank_radius,
            bar_end,
            crank_end,
            margin: met.margin,
        }
    }
}
