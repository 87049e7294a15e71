//! Contact forces of a load case in a pose.

use super::{Braked, LoadCase, Stance, Struck, WheelForce};
use crate::candidate::SIDES;
use crate::set_up::outward;
use crate::strength::WheelLoad;
use crate::{Brake, Masses};
use kinematics::{Pose, Side, V3};

/// Forces of the ground in ground axes: forwards, left, up per contact (left, right, rear), N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Contacts(pub [[f64; 3]; 3]);

/// Riding forces of a case before any impact. `turn` is where the machine turns to, `wheel` the
/// front wheel that brakes alone.
pub(crate) fn riding(
    case: &LoadCase,
    pose: &Pose<f64>,
    masses: &Masses,
    turn: Side,
    wheel: Side,
) -> Contacts {
    let stance = Stance::of(pose, masses);
    // Inertia pushes away from the turn: to the left in a right turn.
    let out = -outward(turn);
    let most = stance.lift([0.0; 2], [0.0, out]).0.max(0.0);
    let sideways = out * case.sideways_g.min(most);
    let braking = decelerated(case, &stance, sideways, wheel);
    let shares = stance.shares([braking, sideways]);
    let load = shares.map(|s| s * stance.weight);
    let mut forces = load.map(|n| [0.0, 0.0, n]);
    let brake = braking * stance.weight;
    match case.braked {
        Braked::One => forces[wheel as usize][0] = -brake,
        Braked::Both => {
            let front = (load[0] + load[1]).max(f64::MIN_POSITIVE);
            forces[0][0] = -brake * load[0] / front;
            forces[1][0] = -brake * load[1] / front;
        }
    }
    share_sideways(&stance, stance.weight, [brake, sideways], &mut forces);
    Contacts(forces)
}

/// Deceleration in g: the case's, unless friction or a lifting wheel ends it earlier.
fn decelerated(case: &LoadCase, stance: &Stance, sideways: f64, wheel: Side) -> f64 {
    if case.braking_g <= 0.0 {
        return 0.0;
    }
    let body = [0.0, sideways];
    let lift = stance.lift(body, [1.0, 0.0]).0.max(0.0);
    let braked = |shares: [f64; 3]| match case.braked {
        Braked::One => shares[wheel as usize],
        Braked::Both => shares[0] + shares[1],
    };
    let standing = braked(stance.shares(body));
    let gain = braked(stance.shares([1.0, sideways])) - standing;
    // μ (n + a·gain) = a at the limit of grip.
    let slack = 1.0 - case.friction * gain;
    let grip = match slack > 0.0 {
        true => (case.friction * standing / slack).max(0.0),
        false => f64::INFINITY,
    };
    case.braking_g.min(lift).min(grip)
}

/// Forces of the ground on the front wheels, frame axes, of a machine that stands with its rear
/// wheel braked. `across` is its weight across the ground, N, `body` the pull along the ground
/// (forwards, left) as a part of that.
pub(crate) fn parked(
    pose: &Pose<f64>,
    masses: &Masses,
    across: f64,
    body: [f64; 2],
) -> [WheelForce; 2] {
    let stance = Stance::of(pose, masses);
    let mut forces = stance.shares(body).map(|share| [0.0, 0.0, share * across]);
    let [forwards, left] = body;
    share_sideways(&stance, across, [forwards * across, left], &mut forces);
    SIDES.map(|side| {
        let [_, left, up] = forces[side as usize];
        WheelForce {
            at_contact: pose.up.scale(up) + pose.ground_y.scale(left),
            ..WheelForce::default()
        }
    })
}

/// Sideways forces that hold a body force and the brakes' yaw moment: front and rear by levers
/// about the rear contact, the front wheels in proportion to their loads. The body force acts at
/// the centre of gravity: forwards in N, left as a part of the weight.
fn share_sideways(
    stance: &Stance,
    weight: f64,
    [forwards, sideways]: [f64; 2],
    forces: &mut [[f64; 3]; 3],
) {
    let rear = stance.contacts[2];
    let front = forces[0][2] + forces[1][2];
    if front <= 0.0 {
        forces[2][1] = -sideways * weight;
        return;
    }
    let share = [forces[0][2] / front, forces[1][2] / front];
    let arm = |i: usize| {
        [
            stance.contacts[i][0] - rear[0],
            stance.contacts[i][1] - rear[1],
        ]
    };
    let centre = [stance.centre[0] - rear[0], stance.centre[1] - rear[1]];
    let inertia = centre[0] * sideways * weight - centre[1] * forwards;
    let brakes: f64 = (0..2).map(|i| arm(i)[1] * forces[i][0]).sum();
    let lever: f64 = (0..2).map(|i| share[i] * arm(i)[0]).sum();
    let held = (brakes - inertia) / lever;
    for i in 0..2 {
        forces[i][1] = share[i] * held;
    }
    forces[2][1] = -sideways * weight - held;
}

/// The force of the ground on one front wheel with the case's impact.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Struckwheel {
    pub force: WheelForce,
    pub axle: WheelLoad,
}

/// One front wheel of a case: riding force and impact, on the linkage and on the axle.
pub(crate) fn front_wheel(
    case: &LoadCase,
    pose: &Pose<f64>,
    riding: &Contacts,
    side: Side,
    wheel: Side,
    brake: Brake,
) -> Struckwheel {
    let corner = pose.corner(side);
    let [forwards, left, up] = riding.0[side as usize];
    let struck = case.struck == Struck::Both || wheel == side;
    let ground = |x: f64, y: f64| pose.ground_x.scale(x) + pose.ground_y.scale(y);
    let heading = ground(corner.heading[0], corner.heading[1]);
    let sideways = ground(-corner.heading[1], corner.heading[0]);
    let level = ground(forwards, left);
    let along = level.dot(heading);
    let mut contact = pose.up.scale(up) + sideways.scale(level.dot(sideways));
    let mut centre = V3::new(0.0, 0.0, 0.0);
    if struck {
        contact = contact + pose.up.scale(up * (case.vertical_factor - 1.0));
        contact = contact - sideways.scale(outward(side) * case.inward_factor * up);
        centre = centre - heading.scale(case.rearward_factor * up);
    }
    let on_knuckle = brake == Brake::Knuckle && riding.0[side as usize][0] != 0.0;
    match on_knuckle {
        true => contact = contact + heading.scale(along),
        false => centre = centre + heading.scale(along),
    }
    let frame = axle_frame(pose, side);
    let parts = |v: V3<f64>| frame.map(|d| d.dot(v));
    let at = parts(corner.contact - corner.centre);
    Struckwheel {
        force: WheelForce {
            at_contact: contact,
            at_centre: centre,
        },
        axle: WheelLoad::of_force(parts(contact), at, on_knuckle).plus(&WheelLoad::of_force(
            parts(centre),
            [0.0; 3],
            false,
        )),
    }
}

/// Directions fixed in the knuckle: outwards along the axle, up across it in the plane of the
/// kingpin, forwards.
fn axle_frame(pose: &Pose<f64>, side: Side) -> [V3<f64>; 3] {
    let corner = pose.corner(side);
    let up = corner.kingpin.across(corner.axis).unit();
    [corner.axis.scale(outward(side)), up, corner.axis.cross(up)]
}

/// Both front wheels standing upright.
pub(crate) fn standing(pose: &Pose<f64>, masses: &Masses) -> [WheelLoad; 2] {
    let stance = Stance::of(pose, masses);
    let shares = stance.shares([0.0; 2]);
    SIDES.map(|side| {
        let frame = axle_frame(pose, side);
        let parts = |v: V3<f64>| frame.map(|d| d.dot(v));
        let corner = pose.corner(side);
        let force = pose.up.scale(shares[side as usize] * stance.weight);
        WheelLoad::of_force(parts(force), parts(corner.contact - corner.centre), false)
    })
}
