//! The steering block as crank axis and layout of the machine.

use crate::job::SideName;
use crate::steering::{Crank, IdlerParallelogram, Steering};
use kinematics::{Axis, Handlebar, Layout, Side, V3};

/// Axis of the crank, or direction of the rail, and the layout.
pub(super) fn driver(steering: &Steering) -> (Axis, Layout) {
    match steering {
        Steering::CentreCrank(s) => (axis(&s.crank), Layout::CentreCrank),
        Steering::Slider(s) => {
            let rail = Axis {
                point: s.rod_inner_mm.into(),
                direction: s.rail.axis.into(),
            };
            (rail, Layout::Slider)
        }
        Steering::IdlerParallelogram(s) => (axis(&s.crank), parallelogram(s)),
        Steering::CrossRod(s) => {
            let layout = Layout::CrossRod {
                driven: side(s.drag_link.side),
                drag_inner: s.drag_link.inner_mm.into(),
                drag_outer: s.drag_link.outer_mm.into(),
            };
            (axis(&s.crank), layout)
        }
    }
}

/// The handlebar where a drag link joins it to the crank.
pub(super) fn handlebar(steering: &Steering) -> Option<Handlebar> {
    steering.handlebar_link().map(|link| Handlebar {
        axis: Axis {
            point: link.point_mm.into(),
            direction: link.axis.into(),
        },
        arm_end: link.arm_end_mm.into(),
        crank_end: link.crank_end_mm.into(),
    })
}

/// Bolts of the drag link to a knuckle, and of the handlebar's, as the file gives them.
pub(super) fn link_bolts(steering: &Steering) -> [[Option<V3<f64>>; 2]; 2] {
    let drag = match steering {
        Steering::CrossRod(s) => [s.drag_link.inner_bolt, s.drag_link.outer_bolt],
        _ => [None; 2],
    };
    let link = steering.handlebar_link();
    let handlebar = link.map_or([None; 2], |link| [link.arm_bolt, link.crank_bolt]);
    [drag, handlebar].map(|bolts| bolts.map(|bolt| bolt.map(V3::from)))
}

fn axis(crank: &Crank) -> Axis {
    Axis {
        point: crank.point_mm.into(),
        direction: crank.axis.into(),
    }
}

/// The mirror image of an axis about which both sides turn the same way.
fn mirrored(axis: Axis) -> Axis {
    Axis {
        point: axis.point.mirrored(),
        direction: axis.direction.mirrored(),
    }
}

fn parallelogram(s: &IdlerParallelogram) -> Layout {
    let crank_end: V3<f64> = s.crank_end_mm.into();
    Layout::IdlerParallelogram {
        idler: s.idler.as_ref().map_or(mirrored(axis(&s.crank)), axis),
        crank_end,
        idler_end: s.idler_end_mm.map_or(crank_end.mirrored(), V3::from),
    }
}

fn side(name: SideName) -> Side {
    match name {
        SideName::Left => Side::Left,
        SideName::Right => Side::Right,
    }
}

/// Travel of a slider per degree of the handlebar, mm.
pub(crate) fn slider_rate(steering: &Steering) -> Option<f64> {
    match steering {
        Steering::Slider(s) => Some(s.rail.travel_mm_per_handlebar_deg),
        _ => None,
    }
}
