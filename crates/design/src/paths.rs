//! Points of the vehicle by path, in the file and in the machine.

mod cable;
mod steering;

use crate::job::Axis;
use crate::right_side::RightSide;
use crate::steering::Steering;
use crate::vehicle::{LeanCoupling, Point, Vehicle};
pub(crate) use cable::CablePoint;
use kinematics::{Coupling, Machine, V3};

/// A point of the vehicle file. Closed: each must be found in the file and, all but those of the
/// cables, in the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Place {
    WheelCentre,
    LowerFront,
    LowerRear,
    LowerBall,
    UpperFront,
    UpperRear,
    UpperBall,
    RodInner,
    RodOuter,
    LinkFoot,
    RearCentre,
    CrankPoint,
    RockerPivot,
    IdlerPoint,
    CrankEnd,
    IdlerEnd,
    DragInner,
    DragOuter,
    HandlebarPoint,
    HandlebarArm,
    HandlebarCrank,
    /// A point of the cable drive, which the machine itself does not know.
    Cable(CablePoint),
}

const PLACES: [(Place, &str); 21] = [
    (Place::WheelCentre, "front_wheels.centre_mm"),
    (Place::LowerFront, "lower_wishbone.front_pivot_mm"),
    (Place::LowerRear, "lower_wishbone.rear_pivot_mm"),
    (Place::LowerBall, "lower_wishbone.ball_joint_mm"),
    (Place::UpperFront, "upper_wishbone.front_pivot_mm"),
    (Place::UpperRear, "upper_wishbone.rear_pivot_mm"),
    (Place::UpperBall, "upper_wishbone.ball_joint_mm"),
    (Place::RodInner, "steering.rod_inner_mm"),
    (Place::RodOuter, "steering.rod_outer_mm"),
    (Place::LinkFoot, "lean_coupling.link_foot_mm"),
    (Place::RearCentre, "rear_wheel.centre_mm"),
    (Place::CrankPoint, "steering.crank.point_mm"),
    (Place::RockerPivot, "lean_coupling.pivot_mm"),
    (Place::IdlerPoint, "steering.idler.point_mm"),
    (Place::CrankEnd, "steering.crank_end_mm"),
    (Place::IdlerEnd, "steering.idler_end_mm"),
    (Place::DragInner, "steering.drag_link.inner_mm"),
    (Place::DragOuter, "steering.drag_link.outer_mm"),
    (Place::HandlebarPoint, "steering.handlebar.point_mm"),
    (Place::HandlebarArm, "steering.handlebar.arm_end_mm"),
    (Place::HandlebarCrank, "steering.handlebar.crank_end_mm"),
];

impl Place {
    /// Each side has one.
    pub(crate) fn sided(self) -> bool {
        !matches!(
            self,
            Place::RearCentre
                | Place::CrankPoint
                | Place::RockerPivot
                | Place::IdlerPoint
                | Place::CrankEnd
                | Place::IdlerEnd
                | Place::DragInner
                | Place::DragOuter
                | Place::HandlebarPoint
                | Place::HandlebarArm
                | Place::HandlebarCrank
                | Place::Cable(_)
        )
    }

    /// The path without a side.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Place::Cable(point) => point.name(),
            _ => PLACES.iter().find(|p| p.0 == self).map_or("", |p| p.1),
        }
    }
}

/// A point as a job names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Path {
    /// Which point.
    pub place: Place,
    /// It is named with `right.` in front.
    pub right: bool,
}

impl Path {
    /// Reads a path.
    pub(crate) fn parse(text: &str) -> Option<Path> {
        let (name, right) = match text.strip_prefix("right.") {
            Some(rest) => (rest, true),
            None => (text, false),
        };
        let of_machine = PLACES.iter().find(|(_, known)| *known == name);
        let place = match of_machine {
            Some((place, _)) => *place,
            None => Place::Cable(CablePoint::parse(name)?),
        };
        (place.sided() || !right).then_some(Path { place, right })
    }

    /// The point is one of the machine, not of its cables.
    pub(crate) fn of_machine(&self) -> bool {
        !matches!(self.place, Place::Cable(_))
    }

    /// The path as text.
    pub(crate) fn text(self) -> String {
        let side = if self.right { "right." } else { "" };
        format!("{side}{}", self.place.name())
    }

    /// The path as a JSON pointer into the vehicle.
    pub(crate) fn pointer(self) -> String {
        format!("/{}", self.text().replace('.', "/"))
    }
}

/// A point of a vehicle has this path.
pub(crate) fn known(text: &str) -> bool {
    Path::parse(text).is_some()
}

/// Every point of the machine, in the table's order.
pub(crate) fn places() -> impl Iterator<Item = Place> {
    PLACES.iter().map(|(place, _)| *place)
}

fn places_and_cables() -> impl Iterator<Item = Place> {
    places().chain(CablePoint::all().map(Place::Cable))
}

/// Every path, sided ones also with `right.` in front.
pub(crate) fn all() -> Vec<String> {
    let cables = CablePoint::all().map(|point| point.name().to_owned());
    of_machine().into_iter().chain(cables).collect()
}

/// The same without the points of the cables.
pub(crate) fn of_machine() -> Vec<String> {
    let side = |right: bool| {
        places()
            .filter(move |place| place.sided() || !right)
            .map(move |place| Path { place, right }.text())
    };
    side(false).chain(side(true)).collect()
}

/// Every point that the file gives, in the order of the table, left before right.
pub(crate) fn given(vehicle: &Vehicle) -> Vec<(Path, Point)> {
    [false, true]
        .into_iter()
        .flat_map(|right| places_and_cables().map(move |place| Path { place, right }))
        .filter_map(|path| get(vehicle, path).map(|point| (path, point)))
        .collect()
}

/// The point as the file gives it; nothing where the file doesn't (mirrored, or no rocker).
pub(crate) fn get(vehicle: &Vehicle, path: Path) -> Option<Point> {
    let mut copy = vehicle.clone();
    get_mut(&mut copy, path).copied()
}

/// The same to write to.
pub(crate) fn get_mut(vehicle: &mut Vehicle, path: Path) -> Option<&mut Point> {
    if path.right {
        return right_mut(vehicle.right.as_mut()?, path.place);
    }
    let lower = &mut vehicle.lower_wishbone;
    let upper = &mut vehicle.upper_wishbone;
    Some(match path.place {
        Place::WheelCentre => &mut vehicle.front_wheels.centre_mm,
        Place::LowerFront => &mut lower.front_pivot_mm,
        Place::LowerRear => &mut lower.rear_pivot_mm,
        Place::LowerBall => &mut lower.ball_joint_mm,
        Place::UpperFront => &mut upper.front_pivot_mm,
        Place::UpperRear => &mut upper.rear_pivot_mm,
        Place::UpperBall => &mut upper.ball_joint_mm,
        Place::RearCentre => &mut vehicle.rear_wheel.centre_mm,
        Place::RodInner
        | Place::RodOuter
        | Place::CrankPoint
        | Place::IdlerPoint
        | Place::CrankEnd
        | Place::IdlerEnd
        | Place::DragInner
        | Place::DragOuter
        | Place::HandlebarPoint
        | Place::HandlebarArm
        | Place::HandlebarCrank
        | Place::Cable(_) => return steering::in_file(&mut vehicle.steering, path.place),
        Place::LinkFoot | Place::RockerPivot => {
            return rocker_mut(&mut vehicle.lean_coupling, path.place);
        }
    })
}

fn rocker_mut(coupling: &mut LeanCoupling, place: Place) -> Option<&mut Point> {
    match coupling {
        LeanCoupling::MeanTravel => None,
        LeanCoupling::Rocker(rocker) => match place {
            Place::LinkFoot => Some(&mut rocker.link_foot_mm),
            _ => Some(&mut rocker.pivot_mm),
        },
    }
}

fn right_mut(right: &mut RightSide, place: Place) -> Option<&mut Point> {
    match place {
        Place::WheelCentre => right.front_wheels.as_mut()?.centre_mm.as_mut(),
        Place::LowerFront => right.lower_wishbone.as_mut()?.front_pivot_mm.as_mut(),
        Place::LowerRear => right.lower_wishbone.as_mut()?.rear_pivot_mm.as_mut(),
        Place::LowerBall => right.lower_wishbone.as_mut()?.ball_joint_mm.as_mut(),
        Place::UpperFront => right.upper_wishbone.as_mut()?.front_pivot_mm.as_mut(),
        Place::UpperRear => right.upper_wishbone.as_mut()?.rear_pivot_mm.as_mut(),
        Place::UpperBall => right.upper_wishbone.as_mut()?.ball_joint_mm.as_mut(),
        Place::RodInner => right.steering.as_mut()?.rod_inner_mm.as_mut(),
        Place::RodOuter => right.steering.as_mut()?.rod_outer_mm.as_mut(),
        Place::LinkFoot => right.lean_coupling.as_mut()?.link_foot_mm.as_mut(),
        _ => None,
    }
}

/// The point in a machine: `right` means the right side itself, mirrored or not.
pub(crate) fn in_machine(machine: &mut Machine, place: Place, right: bool) -> Option<&mut V3<f64>> {
    let corner = if right {
        &mut machine.right
    } else {
        &mut machine.left
    };
    Some(match place {
        Place::WheelCentre => &mut corner.wheel.centre,
        Place::LowerFront => &mut corner.lower.front_pivot,
        Place::LowerRear => &mut corner.lower.rear_pivot,
        Place::LowerBall => &mut corner.lower.ball_joint,
        Place::UpperFront => &mut corner.upper.front_pivot,
        Place::UpperRear => &mut corner.upper.rear_pivot,
        Place::UpperBall => &mut corner.upper.ball_joint,
        Place::RodInner => &mut corner.rod_inner,
        Place::RodOuter => &mut corner.rod_outer,
        Place::RearCentre => &mut machine.rear.centre,
        Place::CrankPoint => &mut machine.crank.point,
        Place::HandlebarPoint | Place::HandlebarArm | Place::HandlebarCrank => {
            return steering::in_handlebar(machine.handlebar.as_mut()?, place);
        }
        Place::IdlerPoint
        | Place::CrankEnd
        | Place::IdlerEnd
        | Place::DragInner
        | Place::DragOuter => return steering::in_layout(&mut machine.layout, place),
        Place::Cable(_) => return None,
        Place::LinkFoot | Place::RockerPivot => match &mut machine.coupling {
            Coupling::MeanTravel => return None,
            Coupling::Rocker(rocker) => match (place, right) {
                (Place::RockerPivot, _) => &mut rocker.axis.point,
                (_, false) => &mut rocker.left_foot,
                (_, true) => &mut rocker.right_foot,
            },
        },
    })
}

/// The point that is the mirror image of this one because the file leaves it out, where that is
/// another point than this one's right side: idler and idler end of a parallelogram.
pub(crate) fn reflection(vehicle: &Vehicle, place: Place) -> Option<Place> {
    let image = match place {
        Place::CrankPoint => Place::IdlerPoint,
        Place::CrankEnd => Place::IdlerEnd,
        _ => return None,
    };
    let path = Path {
        place: image,
        right: false,
    };
    let fitted = matches!(vehicle.steering, Steering::IdlerParallelogram(_));
    (fitted && get(vehicle, path).is_none()).then_some(image)
}

impl Axis {
    /// Position in a point's list.
    pub(crate) fn index(self) -> usize {
        self as usize
    }

    /// The axis as it stands in files.
    pub(crate) fn name(self) -> &'static str {
        ["x", "y", "z"][self as usize]
    }

    /// The coordinate of a vector.
    pub(crate) fn of(self, v: &mut V3<f64>) -> &mut f64 {
        match self {
            Axis::X => &mut v.x,
            Axis::Y => &mut v.y,
            Axis::Z => &mut v.z,
        }
    }
}
