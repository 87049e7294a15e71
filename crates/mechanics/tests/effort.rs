//! Handlebar torques against hand-worked machines and against slopes of their own curves.

mod common;

use common::*;
use kinematics::{Linkage, Machine};
use leanwright_mechanics::{Effort, Fittings, Over, Point, Quantity, Settings, Survey};

const G: f64 = 9.806_65;

/// Upright kingpins with so much trail and no scrub, crank arms as long as the steering arms, so
/// that a turn of the crank turns both knuckles as far while straight.
fn upright_kingpins(trail: f64) -> Machine {
    let mut left = corner();
    let x = trail;
    left.lower.ball_joint = v(x, 395.0, 170.0);
    left.upper.ball_joint = v(x, 395.0, 330.0);
    left.rod_inner = v(x - 80.0, 30.0, 222.0);
    left.rod_outer = v(x - 80.0, 395.0, 222.0);
    mirrored(left, wheel(v(-1150.0, 0.0, 250.0)), v(x, 0.0, 222.0))
}

fn with(effort: Effort) -> Settings {
    let usual = bare();
    Settings {
        fittings: Fittings {
            effort,
            ..usual.fittings
        },
        ..usual
    }
}

fn load_on_front() -> f64 {
    // Moments about the rear contact. Derived.
    170.0 * G * (1150.0 - 560.0) / 1150.0
}

fn points(machine: &Machine, lean: [f64; 2]) -> Vec<Point> {
    let linkage = Linkage::new(machine).expect("assembles");
    let settings = bare();
    let survey = Survey::new(&linkage, &settings).expect("sound settings");
    survey.over_lean(lean, 1.0, 0.0)
}

/// Side force times trail: the front contacts carry their share of the weight, and of the side
/// force W tan φ; wheels straight. Derived; to 5 % for the small changes of load and trail in lean.
#[test]
fn trail_takes_the_side_force() {
    let machine = upright_kingpins(25.0);
    let linkage = Linkage::new(&machine).expect("assembles");
    let settings = bare();
    let survey = Survey::new(&linkage, &settings).expect("sound settings");
    // A turn so wide that the wheels stand straight all but.
    let at = survey.over_curvature(6.0, &[-1.0 / 30.0])[0].expect("a pose");
    let wanted = 1e-3 * load_on_front() * 6.0_f64.to_radians().tan() * 25.0;
    let found = at.side_torque_nm.expect("masses are given");
    assert!(
        (found.abs() / wanted - 1.0).abs() < 0.05,
        "{found} {wanted}"
    );
    // With trail the side force turns the wheels back: it resists turning further.
    assert!(found > 0.0);
    let without = points(&upright_kingpins(0.0), [6.0, 6.0])[0];
    assert!(without.side_torque_nm.expect("masses").abs() < 0.03 * wanted);
}

/// μ N b / √8 where the kingpin meets the ground under the contact, and μ N √(b²/8 + e²) off it.
#[test]
fn tyres_are_turned_on_the_ground() {
    let effort = Effort {
        tyre_friction: 0.7,
        patch_mm: 50.0,
        friction_nm: 1.25,
    };
    let parked = |trail: f64| {
        let machine = upright_kingpins(trail);
        let over = Over::Lean([0.0, 0.0]);
        let linkage = Linkage::new(&machine).expect("assembles");
        let settings = with(effort);
        let survey = Survey::new(&linkage, &settings).expect("sound settings");
        let most = answer(&machine, &settings, Quantity::ParkingTorque, over);
        (survey.design(), most.value)
    };
    for trail in [0.0_f64, 30.0] {
        let arm = (50.0_f64 * 50.0 / 8.0 + trail * trail).sqrt();
        let wanted = 1e-3 * 0.7 * load_on_front() * arm;
        let (straight, most) = parked(trail);
        let found = straight.scrub_torque_nm.expect("masses are given");
        assert!((found / wanted - 1.0).abs() < 1e-6, "{found} {wanted}");
        assert!(most >= found + 1.25 && straight.friction_nm == 1.25);
    }
}

/// The slope that is reported is that of the reported curve.
#[test]
fn self_centring_is_the_slope_of_the_torque() {
    let machine = hauler();
    let linkage = Linkage::new(&machine).expect("assembles");
    let mut parked = bare();
    parked.parts.states.clear();
    parked.reach.speed_mps = [0.0, 0.0];
    // Little steer: the slope is that next to straight.
    parked.reach.radius_m = [90.0, 91.0];
    let survey = Survey::new(&linkage, &parked).expect("sound settings");
    let curve = survey.over_steer(0.0);
    let signed = |p: &Point| p.handlebar_torque_nm.expect("masses") * p.crank_deg.signum();
    let middle = curve
        .iter()
        .position(|p| p.crank_deg == 0.0)
        .expect("straight");
    let (before, after) = (&curve[middle - 1], &curve[middle + 1]);
    let least = (signed(after) - signed(before)) / (after.crank_deg - before.crank_deg);
    let found = answer(&machine, &parked, Quantity::SelfCentring, Over::Reach).value;
    assert!((found - least).abs() < 0.1 * least.abs(), "{found} {least}");
    // The hauler's inclined kingpins lift it: it returns by itself while it stands.
    assert!(found > 0.0);
    // Parked, riding takes what the rise takes; in a turn the side force comes to it.
    let mut moving = bare();
    moving.reach.parking = false;
    let both = [Quantity::RidingTorque, Quantity::HandlebarTorque];
    let [riding, rise] = both.map(|q| answer(&machine, &moving, q, Over::Reach).value);
    assert!(
        riding > 0.0 && (riding - rise).abs() > 1e-3,
        "{riding} {rise}"
    );
}
