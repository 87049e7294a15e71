//! Equilibrium of one front corner: knuckle, wishbones, rod, coupling.
//!
//! The upper wishbone hangs free on its hinge, so its ball joint passes force only along its two
//! legs. The lower one is also held by the lean coupling, which takes what acts across its plane.
//! With the rod that makes six unknowns for the six equations of the knuckle.

use super::linear::solve;
use kinematics::{Linkage, Pose, Side, V3};

/// Force of the ground on one front wheel, frame axes, N.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WheelForce {
    /// Acting at the contact.
    pub at_contact: V3<f64>,
    /// Acting at the wheel centre: what a freely rolling wheel, or one braked from the frame,
    /// passes on along its heading.
    pub at_centre: V3<f64>,
}

/// Forces in the members of one front corner, N; tension positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CornerForces {
    /// Wishbone legs: lower and upper, each front and rear.
    pub legs: [[f64; 2]; 2],
    /// Forces of the wishbones on the knuckle at the lower and upper ball joint, frame axes.
    pub balls: [V3<f64>; 2],
    /// Forces of the frame on the pivots: lower and upper, each front and rear, frame axes. Along
    /// the hinge they are shared as two pin-jointed legs would.
    pub pivots: [[V3<f64>; 2]; 2],
    /// Rod that turns this knuckle.
    pub rod: f64,
    /// Moment about the lower hinge that the coupling carries, N·mm, positive lifts the wheel's
    /// end of the wishbone when the hinge points forwards on the left side.
    pub coupling_moment: f64,
    /// Link of the rocker; 0 without one.
    pub link: f64,
}

/// Moments are taken in this length, mm, so that all equations are of one size.
const LENGTH: f64 = 100.0;

/// Forces on one knuckle besides those of its wishbones and rod.
struct Applied {
    force: V3<f64>,
    /// About the lower ball joint, N·mm.
    moment: V3<f64>,
}

/// Forces in the members of both front corners, left first, under the forces of the ground on
/// both wheels; `None` at a singularity of the linkage.
pub fn corner_forces(
    linkage: &Linkage,
    pose: &Pose<f64>,
    wheels: &[WheelForce; 2],
) -> Option<[CornerForces; 2]> {
    let mut found = [CornerForces::default(); 2];
    // A cross rod carries the force of the other knuckle on to the driven one.
    let order = match pose.drag.map(|d| d.driven) {
        Some(Side::Left) => [Side::Right, Side::Left],
        _ => [Side::Left, Side::Right],
    };
    let links = linkage.rocker_links(pose);
    for (nth, side) in order.into_iter().enumerate() {
        let corner = pose.corner(side);
        let mut applied = from_wheel(pose, side, &wheels[side as usize]);
        let mut rod = [corner.rod_inner, corner.rod_outer];
        if let Some(drag) = pose.drag.filter(|d| d.driven == side && nth == 1) {
            let other = pose.corner(order[0]);
            let along = (other.rod_outer - corner.rod_outer).unit();
            let pull = along.scale(found[order[0] as usize].rod);
            applied.force = applied.force + pull;
            applied.moment = applied.moment + (corner.rod_outer - corner.lower).cross(pull);
            rod = [drag.inner, drag.outer];
        }
        found[side as usize] = corner_of(linkage, pose, side, &applied, rod)?;
        if let Some(links) = &links {
            hang(
                linkage,
                pose,
                side,
                links[side as usize],
                &mut found[side as usize],
            )?;
        }
    }
    Some(found)
}

fn from_wheel(pose: &Pose<f64>, side: Side, wheel: &WheelForce) -> Applied {
    let corner = pose.corner(side);
    Applied {
        force: wheel.at_contact + wheel.at_centre,
        moment: (corner.contact - corner.lower).cross(wheel.at_contact)
            + (corner.centre - corner.lower).cross(wheel.at_centre),
    }
}

/// Pivots of a wishbone, front and rear.
fn pivots(linkage: &Linkage, side: Side, upper: bool) -> [V3<f64>; 2] {
    let corner = linkage.machine().corner(side);
    let arm = if upper { &corner.upper } else { &corner.lower };
    [arm.front_pivot, arm.rear_pivot]
}

fn corner_of(
    linkage: &Linkage,
    pose: &Pose<f64>,
    side: Side,
    applied: &Applied,
    rod: [V3<f64>; 2],
) -> Option<CornerForces> {
    let corner = pose.corner(side);
    let balls = [corner.lower, corner.upper];
    let held = [pivots(linkage, side, false), pivots(linkage, side, true)];
    let leg = |arm: usize, i: usize| (held[arm][i] - balls[arm]).unit();
    let normal = leg(0, 0).cross(leg(0, 1)).unit();
    let along = (rod[0] - rod[1]).unit();
    let unknowns = [
        (leg(0, 0), balls[0]),
        (leg(0, 1), balls[0]),
        (normal, balls[0]),
        (leg(1, 0), balls[1]),
        (leg(1, 1), balls[1]),
        (along, rod[1]),
    ];
    let mut equations = [[0.0; 6]; 6];
    for (column, (direction, at)) in unknowns.into_iter().enumerate() {
        let moment = (at - corner.lower).cross(direction).scale(1.0 / LENGTH);
        let parts = [direction.to_array(), moment.to_array()];
        for (row, value) in parts.into_iter().flatten().enumerate() {
            equations[row][column] = value;
        }
    }
    let m = applied.moment.scale(1.0 / LENGTH);
    let f = applied.force;
    let x = solve(equations, [-f.x, -f.y, -f.z, -m.x, -m.y, -m.z])?;
    let lower = leg(0, 0).scale(x[0]) + leg(0, 1).scale(x[1]) + normal.scale(x[2]);
    let upper = leg(1, 0).scale(x[3]) + leg(1, 1).scale(x[4]);
    let mut found = CornerForces {
        legs: [[x[0], x[1]], [x[3], x[4]]],
        balls: [lower, upper],
        rod: x[5],
        coupling_moment: (balls[0] - held[0][1])
            .cross(lower)
            .dot(linkage.hinge(side, false)),
        ..CornerForces::default()
    };
    for arm in [0, 1] {
        let load = [(found.balls[arm].scale(-1.0), balls[arm])];
        found.pivots[arm] = reactions(held[arm], balls[arm], found.legs[arm], &load);
    }
    Some(found)
}

/// Forces of the frame on the front and rear pivot of a wishbone that carries `loads` (force and
/// place), its legs' forces given.
fn reactions(
    [front, rear]: [V3<f64>; 2],
    ball: V3<f64>,
    legs: [f64; 2],
    loads: &[(V3<f64>, V3<f64>)],
) -> [V3<f64>; 2] {
    let span = (front - rear).norm();
    let hinge = (front - rear).scale(1.0 / span);
    let zero = V3::new(0.0, 0.0, 0.0);
    let (force, moment) = loads.iter().fold((zero, zero), |(f, m), (force, at)| {
        (f + *force, m + (*at - rear).cross(*force))
    });
    let across = hinge.cross(moment.across(hinge)).scale(1.0 / span);
    let thrust = [
        legs[0] * (front - ball).unit().dot(hinge),
        legs[1] * (rear - ball).unit().dot(hinge),
    ];
    // What the legs do not carry along the hinge is shared in halves.
    let rest = -0.5 * (force.dot(hinge) + thrust[0] + thrust[1]);
    [
        across + hinge.scale(thrust[0] + rest),
        -force.across(hinge) - across + hinge.scale(thrust[1] + rest),
    ]
}

/// Hangs the lower wishbone on its rocker link.
fn hang(
    linkage: &Linkage,
    pose: &Pose<f64>,
    side: Side,
    [foot, end]: [V3<f64>; 2],
    found: &mut CornerForces,
) -> Option<()> {
    let held = pivots(linkage, side, false);
    let ball = pose.corner(side).lower;
    let hinge = linkage.hinge(side, false);
    let along = (end - foot).unit();
    let lever = (foot - held[1]).cross(along).dot(hinge);
    if lever.abs() < 1e-6 {
        return None;
    }
    found.link = found.coupling_moment / lever;
    let loads = [
        (found.balls[0].scale(-1.0), ball),
        (along.scale(found.link), foot),
    ];
    found.pivots[0] = reactions(held, ball, found.legs[0], &loads);
    Some(())
}
