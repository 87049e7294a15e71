//! A handlebar that turns the crank by a drag link of its own, closed by form.

use crate::circle::LoopShape;
use crate::knuckle::SMALLEST_MM;
use crate::steering::{Turning, UnitAxis, unit_axis};
use crate::{DesignFault, Drive, Handlebar, Lane, Layout, Linkage, Loop, Machine, Pose, V3};

/// Handlebar arm, drag link and crank arm: the arm's end turns with the handlebar, and the
/// link's end on the crank is where the crank's circle meets the sphere about it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HandlebarLink {
    arm: Turning,
    arm_axis: V3<f64>,
    crank_axis: V3<f64>,
    crank_foot: V3<f64>,
    /// Unit direction to the link's end on the crank in the design pose, and axis × direction.
    out: V3<f64>,
    aside: V3<f64>,
    shape: LoopShape,
}

/// The crank as the handlebar turns it.
#[derive(Clone, Copy)]
pub(crate) struct Cranked<L> {
    /// Sine and cosine of the crank angle.
    pub turn: [L; 2],
    /// Margin of the drag link's loop.
    pub margin: L,
    arm_end: V3<L>,
    crank_end: V3<L>,
}

impl HandlebarLink {
    pub fn new(
        handlebar: &Handlebar,
        crank: &UnitAxis,
        layout: &Layout,
    ) -> Result<HandlebarLink, DesignFault> {
        let axis = unit_axis(&handlebar.axis)?;
        let arm = Turning::new(&axis, handlebar.arm_end).ok_or(DesignFault::HandlebarShape)?;
        let reach = (handlebar.crank_end - crank.point).across(crank.direction);
        let radius = reach.norm();
        let length = (handlebar.crank_end - handlebar.arm_end).norm();
        let slides = matches!(layout, Layout::Slider);
        if slides || radius < SMALLEST_MM || length < SMALLEST_MM {
            return Err(DesignFault::HandlebarShape);
        }
        let out = reach.scale(1.0 / radius);
        let foot = handlebar.crank_end - reach;
        let shape = LoopShape::of_design(crank.direction, out, handlebar.arm_end - foot, radius)
            .ok_or(DesignFault::AtDeadCentre(Loop::Handlebar))?;
        Ok(HandlebarLink {
            arm,
            arm_axis: axis.direction,
            crank_axis: crank.direction,
            crank_foot: foot,
            out,
            aside: crank.direction.cross(out),
            shape,
        })
    }

    /// The crank at sine and cosine of the handlebar angle.
    #[inline(always)]
    pub fn at<L: Lane>(&self, [s, c]: [L; 2]) -> Cranked<L> {
        let arm_end = self.arm.at(c, s);
        let foot = V3::splat(self.crank_foot);
        let met = self.shape.meet(V3::splat(self.crank_axis), arm_end - foot);
        Cranked {
            turn: [
                met.direction.dot(V3::splat(self.aside)),
                met.direction.dot(V3::splat(self.out)),
            ],
            margin: met.margin,
            arm_end,
            crank_end: foot + met.direction.scale(L::splat(self.shape.circle_radius)),
        }
    }

    /// d(crank angle) / d(handlebar angle): the link keeps its length, so both ends move alike
    /// along it.
    #[inline(always)]
    pub fn rate<L: Lane>(&self, at: &Cranked<L>) -> L {
        let link = at.crank_end - at.arm_end;
        let arm = at.arm_end - V3::splat(self.arm.foot);
        let crank = at.crank_end - V3::splat(self.crank_foot);
        let moved = V3::splat(self.arm_axis).cross(arm);
        link.dot(moved) / link.dot(V3::splat(self.crank_axis).cross(crank))
    }
}

impl Linkage {
    /// The drive of the layout itself: that of the crank, where a handlebar turns it by a link.
    #[inline(always)]
    pub(crate) fn at_crank<L: Lane>(&self, drive: &Drive<L>) -> (Drive<L>, L) {
        match &self.handlebar {
            None => (*drive, L::splat(1.0)),
            Some(link) => {
                let found = link.at([drive.steer_sin, drive.steer_cos]);
                let [steer_sin, steer_cos] = found.turn;
                let own = Drive {
                    steer_sin,
                    steer_cos,
                    ..*drive
                };
                (own, found.margin)
            }
        }
    }

    /// Ends of the handlebar's drag link in a pose, on the handlebar's arm and on the crank,
    /// frame axes, mm; `None` where the handlebar is the crank.
    pub fn handlebar_link<L: Lane>(&self, pose: &Pose<L>) -> Option<[V3<L>; 2]> {
        let found = self.handlebar.as_ref()?.at(pose.handlebar);
        Some([found.arm_end, found.crank_end])
    }

    /// d(crank angle) / d(handlebar angle) in a pose; 1 where the handlebar is the crank.
    pub fn crank_per_handlebar(&self, pose: &Pose<f64>) -> f64 {
        let link = self.handlebar.as_ref();
        link.map_or(1.0, |link| link.rate(&link.at(pose.handlebar)))
    }
}

/// The handlebar's link of a machine that has one.
pub(crate) fn of_machine(machine: &Machine) -> Result<Option<HandlebarLink>, DesignFault> {
    let Some(handlebar) = &machine.handlebar else {
        return Ok(None);
    };
    let crank = unit_axis(&machine.crank)?;
    HandlebarLink::new(handlebar, &crank, &machine.layout).map(Some)
}
