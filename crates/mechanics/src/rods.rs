//! Setting the rods of a machine as built: to a toe, or to another length.
//!
//! A rod has the length between its ends as drawn. Another length is therefore another drawing:
//! the knuckle, with all that is fixed to it, stands turned about its kingpin.

use crate::candidate::SIDES;
use kinematics::{DesignFault, Layout, Linkage, Machine, Side, V3};

/// Toe is set when it is missed by less, radians.
const SET: f64 = 1e-8;
/// Each round lessens the miss some thirtyfold.
const ROUNDS: usize = 6;

/// The machine with its rods set so that both front wheels stand at these angles to the rear
/// heading (radians, positive to the left) in the pose that it settles into: upright, crank
/// straight. With one cross rod that is its length for the total toe and the drag link's for the
/// middle.
///
/// # Errors
/// As [`Linkage::new`].
pub fn with_toe(machine: &Machine, angles: [f64; 2]) -> Result<Linkage, DesignFault> {
    let mut linkage = Linkage::new(machine)?;
    for _ in 0..ROUNDS {
        let pose = linkage.design_pose();
        let misses = SIDES.map(|side| angles[side as usize] - pose.steer_angle(side));
        if misses.iter().all(|miss| miss.abs() < SET) {
            break;
        }
        let mut turned = *linkage.machine();
        for (side, miss) in SIDES.into_iter().zip(misses) {
            turn_knuckle(&mut turned, side, miss);
        }
        linkage = Linkage::new(&turned)?;
    }
    Ok(linkage)
}

/// Angles of both front wheels to the rear heading in the pose that a machine settles into,
/// radians, left first.
pub fn settled_toe(linkage: &Linkage) -> [f64; 2] {
    SIDES.map(|side| linkage.design_pose().steer_angle(side))
}

/// The machine with its left and right rods longer by so many mm. With one cross rod, the driven
/// side's is the drag link and the other side's the cross rod.
pub fn with_longer_rods(machine: &Machine, by: [f64; 2]) -> Machine {
    let first = match machine.layout {
        Layout::CrossRod { driven, .. } => driven,
        _ => Side::Left,
    };
    let second = match first {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
    };
    let drawn = rod_lengths(machine);
    let wanted = SIDES.map(|side| drawn[side as usize] + by[side as usize]);
    let mut built = *machine;
    for side in [first, second] {
        for _ in 0..3 {
            let miss = wanted[side as usize] - rod_lengths(&built)[side as usize];
            let angle = miss / arm(&built, side);
            turn_knuckle(&mut built, side, angle);
        }
    }
    built
}

/// Lengths of the rods that turn the left and the right knuckle, mm, as drawn.
pub fn rod_lengths(machine: &Machine) -> [f64; 2] {
    SIDES.map(|side| {
        let [inner, outer] = ends(machine, side);
        (outer - inner).norm()
    })
}

/// Both ends of the rod that turns the knuckle of a side, that on the knuckle last.
fn ends(machine: &Machine, side: Side) -> [V3<f64>; 2] {
    let corner = machine.corner(side);
    match machine.layout {
        Layout::CrossRod {
            driven,
            drag_inner,
            drag_outer,
        } => match side == driven {
            true => [drag_inner, drag_outer],
            false => [machine.corner(driven).rod_outer, corner.rod_outer],
        },
        _ => [corner.rod_inner, corner.rod_outer],
    }
}

/// Length that a rod gains per turn of its knuckle, mm per radian; never so small that a rod close
/// to its dead centre turns the knuckle right round.
fn arm(machine: &Machine, side: Side) -> f64 {
    const SMALLEST: f64 = 5.0;
    let [inner, outer] = ends(machine, side);
    let (foot, kingpin) = kingpin(machine, side);
    let gain = (outer - inner).unit().dot(kingpin.cross(outer - foot));
    match gain.abs() < SMALLEST {
        true => SMALLEST.copysign(gain),
        false => gain,
    }
}

fn kingpin(machine: &Machine, side: Side) -> (V3<f64>, V3<f64>) {
    let corner = machine.corner(side);
    let foot = corner.lower.ball_joint;
    (foot, (corner.upper.ball_joint - foot).unit())
}

fn turn_knuckle(machine: &mut Machine, side: Side, angle: f64) {
    let (foot, kingpin) = kingpin(machine, side);
    let (c, s) = (libm::cos(angle), libm::sin(angle));
    let turn = |p: &mut V3<f64>| *p = foot + (*p - foot).rotated(kingpin, c, s);
    if let Layout::CrossRod {
        driven, drag_outer, ..
    } = &mut machine.layout
        && *driven == side
    {
        turn(drag_outer);
    }
    let corner = match side {
        Side::Left => &mut machine.left,
        Side::Right => &mut machine.right,
    };
    turn(&mut corner.rod_outer);
    turn(&mut corner.wheel.centre);
    corner.wheel.axis = corner.wheel.axis.rotated(kingpin, c, s);
}
