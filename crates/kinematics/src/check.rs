//! Checks that need no solving.

use crate::{Axis, Coupling, DesignFault, Layout, Machine, Wheel};

pub(crate) fn check_finite(m: &Machine) -> Result<(), DesignFault> {
    let corner = |c: &crate::Corner| {
        let arm = |w: &crate::Wishbone| {
            w.front_pivot.is_finite() && w.rear_pivot.is_finite() && w.ball_joint.is_finite()
        };
        arm(&c.lower)
            && arm(&c.upper)
            && c.rod_inner.is_finite()
            && c.rod_outer.is_finite()
            && finite_wheel(&c.wheel)
    };
    let rocker = match &m.coupling {
        Coupling::MeanTravel => true,
        Coupling::Rocker(r) => {
            r.axis.point.is_finite()
                && r.axis.direction.is_finite()
                && r.arm.is_finite()
                && r.left_foot.is_finite()
                && r.right_foot.is_finite()
        }
    };
    let all = corner(&m.left)
        && corner(&m.right)
        && finite_wheel(&m.rear)
        && finite_axis(&m.crank)
        && finite_layout(&m.layout)
        && m.handlebar
            .iter()
            .all(|h| finite_axis(&h.axis) && h.arm_end.is_finite() && h.crank_end.is_finite())
        && rocker;
    if all {
        Ok(())
    } else {
        Err(DesignFault::NotFinite)
    }
}

fn finite_axis(axis: &Axis) -> bool {
    axis.point.is_finite() && axis.direction.is_finite()
}

fn finite_layout(layout: &Layout) -> bool {
    match layout {
        Layout::CentreCrank | Layout::Slider => true,
        Layout::IdlerParallelogram {
            idler,
            crank_end,
            idler_end,
        } => finite_axis(idler) && crank_end.is_finite() && idler_end.is_finite(),
        Layout::CrossRod {
            drag_inner,
            drag_outer,
            ..
        } => drag_inner.is_finite() && drag_outer.is_finite(),
    }
}

fn finite_wheel(w: &Wheel) -> bool {
    w.centre.is_finite()
        && w.axis.is_finite()
        && w.radius.is_finite()
        && w.section_radius.is_finite()
}

pub(crate) fn check_wheel(w: &Wheel) -> Result<(), DesignFault> {
    if (w.axis.norm() - 1.0).abs() > 1e-9 {
        return Err(DesignFault::ZeroAxis);
    }
    if w.section_radius < 0.0 || w.section_radius >= w.radius {
        return Err(DesignFault::WheelSize);
    }
    Ok(())
}
