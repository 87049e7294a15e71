//! Points of the steering, in the file and in the machine.

use super::Place;
use crate::handlebar::{HandlebarInput, HandlebarLinkInput};
use crate::steering::{IdlerParallelogram, Steering};
use crate::vehicle::Point;
use kinematics::{Handlebar, Layout, V3};

/// The point as the file gives it; nothing where this layout or file has none.
pub(super) fn in_file(steering: &mut Steering, place: Place) -> Option<&mut Point> {
    if matches!(
        place,
        Place::HandlebarPoint | Place::HandlebarArm | Place::HandlebarCrank
    ) {
        return of_handlebar(steering.handlebar_mut()?, place);
    }
    if let Place::Cable(point) = place {
        return point.in_file(steering.cable_mut()?);
    }
    match steering {
        Steering::CentreCrank(s) => match place {
            Place::RodInner => Some(&mut s.rod_inner_mm),
            Place::RodOuter => Some(&mut s.rod_outer_mm),
            Place::CrankPoint => Some(&mut s.crank.point_mm),
            _ => None,
        },
        Steering::Slider(s) => match place {
            Place::RodInner => Some(&mut s.rod_inner_mm),
            Place::RodOuter => Some(&mut s.rod_outer_mm),
            _ => None,
        },
        Steering::IdlerParallelogram(s) => of_parallelogram(s, place),
        Steering::CrossRod(s) => match place {
            Place::RodOuter => Some(&mut s.rod_outer_mm),
            Place::CrankPoint => Some(&mut s.crank.point_mm),
            Place::DragInner => Some(&mut s.drag_link.inner_mm),
            Place::DragOuter => Some(&mut s.drag_link.outer_mm),
            _ => None,
        },
    }
}

fn of_parallelogram(s: &mut IdlerParallelogram, place: Place) -> Option<&mut Point> {
    match place {
        Place::RodInner => Some(&mut s.rod_inner_mm),
        Place::RodOuter => Some(&mut s.rod_outer_mm),
        Place::CrankPoint => Some(&mut s.crank.point_mm),
        Place::CrankEnd => Some(&mut s.crank_end_mm),
        Place::IdlerPoint => s.idler.as_mut().map(|idler| &mut idler.point_mm),
        Place::IdlerEnd => s.idler_end_mm.as_mut(),
        _ => None,
    }
}

fn of_handlebar(handlebar: &mut HandlebarInput, place: Place) -> Option<&mut Point> {
    let HandlebarInput::DragLink(HandlebarLinkInput {
        point_mm,
        arm_end_mm,
        crank_end_mm,
        ..
    }) = handlebar
    else {
        return None;
    };
    match place {
        Place::HandlebarPoint => Some(point_mm),
        Place::HandlebarArm => Some(arm_end_mm),
        Place::HandlebarCrank => Some(crank_end_mm),
        _ => None,
    }
}

/// The point in the machine's handlebar.
pub(super) fn in_handlebar(handlebar: &mut Handlebar, place: Place) -> Option<&mut V3<f64>> {
    match place {
        Place::HandlebarPoint => Some(&mut handlebar.axis.point),
        Place::HandlebarArm => Some(&mut handlebar.arm_end),
        Place::HandlebarCrank => Some(&mut handlebar.crank_end),
        _ => None,
    }
}

/// The point in the machine's layout.
pub(super) fn in_layout(layout: &mut Layout, place: Place) -> Option<&mut V3<f64>> {
    match (layout, place) {
        (Layout::IdlerParallelogram { idler, .. }, Place::IdlerPoint) => Some(&mut idler.point),
        (Layout::IdlerParallelogram { crank_end, .. }, Place::CrankEnd) => Some(crank_end),
        (Layout::IdlerParallelogram { idler_end, .. }, Place::IdlerEnd) => Some(idler_end),
        (Layout::CrossRod { drag_inner, .. }, Place::DragInner) => Some(drag_inner),
        (Layout::CrossRod { drag_outer, .. }, Place::DragOuter) => Some(drag_outer),
        _ => None,
    }
}
