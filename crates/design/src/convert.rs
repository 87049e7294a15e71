//! Wire types to the types of kinematics and mechanics and back: degrees become radians where
//! the kernel wants them, the right side is mirrored where the file doesn't give it.

mod body;
mod cable;
mod steering;

pub(crate) use body::{body, box_names, part_name, stop_text};
pub(crate) use cable::cable;
pub(crate) use steering::slider_rate;

use crate::answer::JointName;
use crate::job::{Over, Reach, SideName};
use crate::right_side::RightSide;
use crate::vehicle::{BrakeInput, FittingsInput, LeanCoupling, Point, Vehicle};
use kinematics::{Axis, Corner, Coupling, Machine, Rocker, Side, V3, Wheel, Wishbone};
use mechanics::{Brake, Fittings, Joint, Masses, OverKind, Sag, Settings};

const DEGREE: f64 = core::f64::consts::PI / 180.0;

/// The machine of a checked vehicle file: its points as given, what is not given mirrored.
pub fn machine(vehicle: &Vehicle) -> Machine {
    let left = left_corner(vehicle);
    let (crank, layout) = steering::driver(&vehicle.steering);
    Machine {
        left,
        right: right_corner(vehicle, &left),
        rear: Wheel {
            centre: vehicle.rear_wheel.centre_mm.into(),
            axis: V3::new(0.0, 1.0, 0.0),
            radius: vehicle.rear_wheel.radius_mm,
            section_radius: vehicle.rear_wheel.section_radius_mm,
        },
        crank,
        coupling: coupling(vehicle),
        handlebar: steering::handlebar(&vehicle.steering),
        layout,
    }
}

fn left_corner(vehicle: &Vehicle) -> Corner {
    let wheels = &vehicle.front_wheels;
    let arm = |w: &crate::WishboneInput| Wishbone {
        front_pivot: w.front_pivot_mm.into(),
        rear_pivot: w.rear_pivot_mm.into(),
        ball_joint: w.ball_joint_mm.into(),
    };
    Corner {
        lower: arm(&vehicle.lower_wishbone),
        upper: arm(&vehicle.upper_wishbone),
        // A cross rod has no inner end, and none is read.
        rod_inner: vehicle.steering.rod_inner_mm().unwrap_or_default().into(),
        rod_outer: vehicle.steering.rod_outer_mm().into(),
        wheel: Wheel {
            centre: wheels.centre_mm.into(),
            axis: front_axis(Side::Left, wheels.toe_in_deg, wheels.camber_deg),
            radius: wheels.radius_mm,
            section_radius: wheels.section_radius_mm,
        },
    }
}

fn front_axis(side: Side, toe_in_deg: f64, camber_deg: f64) -> V3<f64> {
    Wheel::front_axis(side, toe_in_deg * DEGREE, camber_deg * DEGREE)
}

fn right_corner(vehicle: &Vehicle, left: &Corner) -> Corner {
    let mut corner = left.mirrored();
    let nothing = RightSide::default();
    let right = vehicle.right.as_ref().unwrap_or(&nothing);
    let arm = |to: &mut Wishbone, from: &crate::RightWishbone| {
        set(&mut to.front_pivot, from.front_pivot_mm);
        set(&mut to.rear_pivot, from.rear_pivot_mm);
        set(&mut to.ball_joint, from.ball_joint_mm);
    };
    if let Some(given) = &right.lower_wishbone {
        arm(&mut corner.lower, given);
    }
    if let Some(given) = &right.upper_wishbone {
        arm(&mut corner.upper, given);
    }
    if let Some(given) = &right.steering {
        set(&mut corner.rod_inner, given.rod_inner_mm);
        set(&mut corner.rod_outer, given.rod_outer_mm);
    }
    if let Some(given) = &right.front_wheels {
        let both = &vehicle.front_wheels;
        let toe = given.toe_in_deg.unwrap_or(both.toe_in_deg);
        let camber = given.camber_deg.unwrap_or(both.camber_deg);
        set(&mut corner.wheel.centre, given.centre_mm);
        corner.wheel.axis = front_axis(Side::Right, toe, camber);
        corner.wheel.radius = given.radius_mm.unwrap_or(both.radius_mm);
        corner.wheel.section_radius = given.section_radius_mm.unwrap_or(both.section_radius_mm);
    }
    corner
}

fn set(to: &mut V3<f64>, from: Option<Point>) {
    if let Some(point) = from {
        *to = point.into();
    }
}

fn coupling(vehicle: &Vehicle) -> Coupling {
    let LeanCoupling::Rocker(rocker) = &vehicle.lean_coupling else {
        return Coupling::MeanTravel;
    };
    let left_foot: V3<f64> = rocker.link_foot_mm.into();
    let mut right_foot = left_foot.mirrored();
    let given = vehicle
        .right
        .as_ref()
        .and_then(|r| r.lean_coupling.as_ref());
    set(&mut right_foot, given.and_then(|g| g.link_foot_mm));
    Coupling::Rocker(Rocker {
        axis: Axis {
            point: rocker.pivot_mm.into(),
            direction: rocker.axis.into(),
        },
        arm: rocker.arm_mm,
        left_foot,
        right_foot,
    })
}

/// What a plan or survey of a vehicle is told besides the hardpoints.
pub fn settings(vehicle: &Vehicle, reach: &Reach) -> Settings {
    let masses = vehicle.masses.as_ref();
    Settings {
        reach: reached(reach),
        sag: sag(masses.and_then(|m| m.mean_travel_mm), vehicle),
        smallest_transmission_deg: vehicle.limits.smallest_transmission_deg,
        stop_angle_deg: vehicle.limits.stop_angle_deg,
        ball_joint_limit_deg: vehicle.limits.ball_joint(),
        rod_end_limit_deg: vehicle.limits.rod_end(),
        lean_sweep_deg: vehicle.limits.lean_sweep_deg,
        parts: crate::convert_parts::parts(vehicle),
        fittings: fittings(&vehicle.fittings, vehicle),
        ..Settings::default()
    }
}

/// Reach as the mechanics take it.
pub(crate) fn reached(reach: &Reach) -> mechanics::Reach {
    mechanics::Reach {
        speed_mps: reach.speed_mps,
        radius_m: reach.radius_m,
        lean_limit_deg: reach.lean_limit_deg,
        parking: reach.parking,
        lean_out_deg: reach.lean_out_deg,
        side_slope_deg: reach.side_slope_deg,
    }
}

/// The mean travel of a state of loading: as given, else by the springs, else none.
pub(crate) fn sag(given_mm: Option<f64>, vehicle: &Vehicle) -> Sag {
    match (given_mm, &vehicle.springs) {
        (Some(mm), _) => Sag::Given(mm),
        (None, Some(_)) => Sag::Springs,
        (None, None) => Sag::Given(0.0),
    }
}

fn fittings(given: &FittingsInput, vehicle: &Vehicle) -> Fittings {
    let direction = |d: Option<[f64; 3]>| d.map(V3::from);
    let [drag_link_bolts, handlebar_bolts] = steering::link_bolts(&vehicle.steering);
    Fittings {
        masses: vehicle.masses.as_ref().map(|m| Masses {
            total_kg: m.total_kg,
            centre_of_gravity: m.centre_of_gravity_mm.into(),
        }),
        lower_stud: direction(given.lower_stud),
        upper_stud: direction(given.upper_stud),
        lower_socket: direction(given.lower_socket),
        upper_socket: direction(given.upper_socket),
        inner_bolt: direction(given.inner_bolt),
        outer_bolt: direction(given.outer_bolt),
        drag_link_bolts,
        handlebar_bolts,
        rod_clock_deg: given.rod_clock_deg,
        overhangs: given.overhangs_mm.iter().map(|p| V3::from(*p)).collect(),
        handlebar_per_crank: given.handlebar_per_crank,
        slider_per_handlebar: slider_rate(&vehicle.steering),
        brake: match given.brake {
            BrakeInput::Knuckle => Brake::Knuckle,
            BrakeInput::Frame => Brake::Frame,
        },
        effort: mechanics::Effort {
            tyre_friction: given.effort.tyre_friction,
            patch_mm: given.effort.patch_mm,
            friction_nm: given.effort.friction_nm,
        },
    }
}

/// The poses of an ask that has passed the checks; the quantity's own default if none is given.
pub(crate) fn over(quantity: mechanics::Quantity, over: Option<&Over>) -> mechanics::Over {
    let usual = quantity.info().default_over;
    let Some(over) = over else { return usual };
    let ranges = [
        over.lean_deg.map(mechanics::Over::Lean),
        over.steer_deg.map(mechanics::Over::Steer),
        over.travel_mm.map(mechanics::Over::Travel),
        (over.reach == Some(true)).then_some(mechanics::Over::Reach),
    ];
    ranges.into_iter().flatten().next().unwrap_or(usual)
}

/// The poses of an ask for a reader; nothing for the design pose.
pub(crate) fn over_wire(over: mechanics::Over) -> Option<Over> {
    let wire = Over::default();
    match over {
        mechanics::Over::Design | mechanics::Over::Cases => None,
        mechanics::Over::Lean(r) => Some(Over {
            lean_deg: Some(r),
            ..wire
        }),
        mechanics::Over::Travel(r) => Some(Over {
            travel_mm: Some(r),
            ..wire
        }),
        mechanics::Over::Steer(r) => Some(Over {
            steer_deg: Some(r),
            ..wire
        }),
        mechanics::Over::Reach => Some(Over {
            reach: Some(true),
            ..wire
        }),
    }
}

/// The field under `over` that asks for a kind of range.
pub(crate) fn over_field(kind: OverKind) -> Option<&'static str> {
    match kind {
        OverKind::Reach => Some("reach"),
        other => other.field(),
    }
}

/// The side's name.
pub(crate) fn side_name(side: Side) -> SideName {
    match side {
        Side::Left => SideName::Left,
        Side::Right => SideName::Right,
    }
}

/// The joint's name.
pub(crate) fn joint_name(joint: Joint) -> JointName {
    match joint {
        Joint::LowerBall => JointName::LowerBall,
        Joint::UpperBall => JointName::UpperBall,
        Joint::InnerRodEnd => JointName::InnerRodEnd,
        Joint::OuterRodEnd => JointName::OuterRodEnd,
        Joint::DragLinkInner => JointName::DragLinkInner,
        Joint::DragLinkOuter => JointName::DragLinkOuter,
        Joint::HandlebarLinkArm => JointName::HandlebarLinkArm,
        Joint::HandlebarLinkCrank => JointName::HandlebarLinkCrank,
        Joint::LowerFrontPivot => JointName::LowerFrontPivot,
        Joint::LowerRearPivot => JointName::LowerRearPivot,
        Joint::UpperFrontPivot => JointName::UpperFrontPivot,
        Joint::UpperRearPivot => JointName::UpperRearPivot,
    }
}
