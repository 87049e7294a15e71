//! Where a fault of the machine stands in the vehicle file.

use crate::job::SideName;
use crate::steering::Steering;
use crate::vehicle::Vehicle;
use kinematics::{DesignFault, Failure, Loop, Side};
use mechanics::{CableBend, CableFault};

/// The block of the handlebar's drag link.
const HANDLEBAR: &str = "/steering/handlebar";

/// JSON pointer to the block that a fault of the machine is about: the right block's own where
/// the file gives it; empty where the fault is the whole machine's.
pub(crate) fn pointer(vehicle: &Vehicle, fault: &DesignFault) -> String {
    let arm = |upper: bool| match upper {
        true => "/upper_wishbone",
        false => "/lower_wishbone",
    };
    match *fault {
        DesignFault::HingeHasNoLength { upper, side } => sided(vehicle, side, arm(upper)),
        DesignFault::BallJointOnHinge { upper, side } => sided(vehicle, side, arm(upper)),
        DesignFault::NoKingpin(side) => sided(vehicle, side, "/upper_wishbone/ball_joint_mm"),
        DesignFault::RodEndOnKingpin(side) if drags(vehicle, side) => {
            "/steering/drag_link/outer_mm".into()
        }
        DesignFault::RodEndOnKingpin(side) => sided(vehicle, side, "/steering/rod_outer_mm"),
        DesignFault::RodEndOnCrankAxis(side) | DesignFault::RodHasNoLength(side) => {
            inner_end(vehicle, side)
        }
        DesignFault::RockerShape => "/lean_coupling".into(),
        DesignFault::HandlebarShape => HANDLEBAR.into(),
        DesignFault::CentreLinkShape => centre_link(vehicle),
        DesignFault::AtDeadCentre(which) => of_loop(vehicle, which),
        DesignFault::Unsolvable(Failure::CannotAssemble { which, .. }) => of_loop(vehicle, which),
        _ => String::new(),
    }
}

fn of_loop(vehicle: &Vehicle, which: Loop) -> String {
    match which {
        Loop::UpperWishbone(side) => sided(vehicle, side, "/upper_wishbone"),
        Loop::RockerLink(side) => sided(vehicle, side, "/lean_coupling"),
        Loop::TieRod(side) => sided(vehicle, side, "/steering"),
        Loop::CrossRod(side) => sided(vehicle, side, "/steering/rod_outer_mm"),
        Loop::DragLink(_) => "/steering/drag_link".into(),
        Loop::Idler => centre_link(vehicle),
        Loop::Handlebar => HANDLEBAR.into(),
    }
}

/// The drag link moves this side.
fn drags(vehicle: &Vehicle, side: Side) -> bool {
    let Steering::CrossRod(s) = &vehicle.steering else {
        return false;
    };
    (s.drag_link.side == SideName::Right) == (side == Side::Right)
}

fn inner_end(vehicle: &Vehicle, side: Side) -> String {
    match &vehicle.steering {
        Steering::CrossRod(_) if drags(vehicle, side) => "/steering/drag_link/inner_mm".into(),
        Steering::CrossRod(_) => "/steering/rod_outer_mm".into(),
        _ => sided(vehicle, side, "/steering/rod_inner_mm"),
    }
}

fn centre_link(vehicle: &Vehicle) -> String {
    match &vehicle.steering {
        Steering::IdlerParallelogram(s) if s.idler_end_mm.is_some() => "/steering/idler_end_mm",
        _ => "/steering/crank_end_mm",
    }
    .into()
}

/// The place, under `right` where the fault is the right side's and the file gives it there.
fn sided(vehicle: &Vehicle, side: Side, place: &str) -> String {
    let given = || {
        let right = serde_json::to_value(vehicle.right.as_ref()?).ok()?;
        right.pointer(place).map(|_| ())
    };
    match side == Side::Right && given().is_some() {
        true => format!("/right{place}"),
        false => place.to_owned(),
    }
}

/// Where a fault of a cable stands, and in words.
pub(crate) fn cable(vehicle: &Vehicle, fault: &CableFault) -> (String, String) {
    let own = vehicle
        .steering
        .cable()
        .is_some_and(|c| c.right_run.is_some());
    let (name, run) = match (fault.run, own) {
        (0, _) => ("left", "left_run"),
        (_, true) => ("right", "right_run"),
        (_, false) => ("right", "left_run"),
    };
    let (place, bend) = match fault.bend {
        CableBend::Handlebar => ("sheave".to_owned(), "the handlebar's sheave"),
        CableBend::Guide(i) => (format!("{run}/{i}"), "this guide"),
        CableBend::Driven => ("driven".to_owned(), "the driven sheave"),
    };
    let what = match fault.untouched {
        true => "does not touch",
        false => "runs through",
    };
    (
        format!("{HANDLEBAR}/{place}"),
        format!("the {name} cable {what} {bend}"),
    )
}
