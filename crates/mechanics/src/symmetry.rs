//! Machines whose right side mirrors the left.

use kinematics::{Coupling, Layout, Machine};

/// The machine equals its mirror image exactly, so a pose leaned or steered to the other side
/// is the mirror image of this one.
pub(crate) fn is_symmetric(machine: &Machine) -> bool {
    let coupling = match &machine.coupling {
        Coupling::MeanTravel => true,
        Coupling::Rocker(r) => {
            r.axis.point.y == 0.0
                && r.axis.direction.y == 0.0
                && r.right_foot == r.left_foot.mirrored()
        }
    };
    let direction = machine.crank.direction;
    let driver = match machine.layout {
        Layout::CentreCrank => machine.crank.point.y == 0.0 && direction.y == 0.0,
        Layout::Slider => direction.x == 0.0 && direction.z == 0.0,
        // Their drivers stand on one side of the machine.
        Layout::IdlerParallelogram { .. } | Layout::CrossRod { .. } => false,
    };
    coupling
        && driver
        // Its link stands on one side of the machine.
        && machine.handlebar.is_none()
        && machine.right == machine.left.mirrored()
        && machine.rear.centre.y == 0.0
        && machine.rear.axis.x == 0.0
        && machine.rear.axis.z == 0.0
}
