//! Lengths of the rods of a machine, between the centres of their ends.

use crate::answer::RodLengths;
use kinematics::{Layout, Machine};

/// Lengths of all rods of the steering.
pub(crate) fn rod_lengths(machine: &Machine) -> RodLengths {
    let (left, right) = (&machine.left, &machine.right);
    let mut lengths = RodLengths {
        left_mm: (left.rod_outer - left.rod_inner).norm(),
        right_mm: (right.rod_outer - right.rod_inner).norm(),
        drag_link_mm: None,
        handlebar_link_mm: machine.handlebar.map(|h| (h.crank_end - h.arm_end).norm()),
        centre_link_mm: None,
    };
    match &machine.layout {
        Layout::CentreCrank | Layout::Slider => {}
        Layout::IdlerParallelogram {
            crank_end,
            idler_end,
            ..
        } => lengths.centre_link_mm = Some((*idler_end - *crank_end).norm()),
        Layout::CrossRod {
            drag_inner,
            drag_outer,
            ..
        } => {
            let cross = (left.rod_outer - right.rod_outer).norm();
            (lengths.left_mm, lengths.right_mm) = (cross, cross);
            lengths.drag_link_mm = Some((*drag_outer - *drag_inner).norm());
        }
    }
    lengths
}
