//! Braking, parking and locking of the lean: by hand and by virtual work.

mod common;

use common::{answer, hauler, masses, settings, v};
use kinematics::{Coupling, Linkage, Machine, Rocker, Side, Target};
use leanwright_mechanics::{Masses, Over, Parts, Quantity, Settings, Step, Tube, critical_load};

fn with_rocker() -> Machine {
    Machine {
        coupling: Coupling::Rocker(Rocker {
            axis: kinematics::Axis {
                point: v(0.0, 0.0, 420.0),
                direction: v(1.0, 0.0, 0.0),
            },
            arm: 150.0,
            left_foot: v(10.0, 190.0, 200.0),
            right_foot: v(10.0, -190.0, 200.0),
        }),
        ..hauler()
    }
}

/// One state of loading, on level ground.
fn level(slope_deg: f64) -> Settings {
    let base = settings();
    Settings {
        parts: Parts {
            states: Vec::new(),
            slope_deg,
            ..base.parts.clone()
        },
        ..base
    }
}

/// Rise of the centre of gravity per radian of lean, and turn of the rocker's left end about its
/// pivot, by central differences of solved poses.
fn rates(machine: &Machine, lean_deg: f64) -> (f64, f64) {
    let linkage = Linkage::new(machine).expect("it assembles");
    let centre = masses().centre_of_gravity;
    let at = |lean: f64| {
        let target = Target {
            lean,
            steer: 0.0,
            mean_travel: None,
        };
        let pose = linkage.pose(&target).expect("reached");
        let turned = linkage.rocker_links(&pose).map_or(0.0, |links| {
            let end = links[0][1] - v(0.0, 0.0, 420.0);
            libm::atan2(end.z, end.y)
        });
        (pose.up.dot(centre) + pose.height, turned)
    };
    let (lean, step) = (lean_deg.to_radians(), 1e-4);
    let (a, b) = (at(lean - step), at(lean + step));
    ((b.0 - a.0) / (2.0 * step), (b.1 - a.1) / (2.0 * step))
}

#[test]
fn a_lock_on_the_level_holds_what_the_weight_would_do() {
    // Derived by virtual work: the lock's moment times its turn is the weight times its rise. Ours
    // goes another way, over contact forces and the equilibrium of knuckles and wishbones.
    let weight = masses().total_kg * 9.806_65;
    for (machine, rocker) in [(hauler(), false), (with_rocker(), true)] {
        for lean in [4.0, 8.0] {
            let (rise, turn) = rates(&machine, lean);
            let per = if rocker { turn } else { 1.0 };
            let wanted = (1e-3 * weight * rise / per).abs();
            let over = Over::Lean([lean, lean]);
            let found = answer(&machine, &level(0.0), Quantity::LeanLockMoment, over);
            assert!(
                (found.value / wanted - 1.0).abs() < 1e-5,
                "{lean}: {} {wanted}",
                found.value
            );
        }
    }
}

#[test]
fn a_slope_loads_the_lock_by_the_height_of_the_centre_of_gravity() {
    // Upright nothing leans on the lock; on a slope across, to first order the weight's pull
    // downhill acts at the height h of the centre of gravity, less what the contacts' sideways
    // forces do as the wheels part and meet (nothing to first order where the track is stationary).
    let on_level = answer(
        &hauler(),
        &level(0.0),
        Quantity::LeanLockMoment,
        Over::Design,
    );
    assert!(on_level.value < 1e-6, "{}", on_level.value);
    let found = answer(
        &hauler(),
        &level(10.0),
        Quantity::LeanLockMoment,
        Over::Design,
    );
    let slope = 10_f64.to_radians();
    let pull = masses().total_kg * 9.806_65 * libm::sin(slope);
    // All of it, were the machine hinged on the ground: an upper end.
    let most = 1e-3 * pull * masses().centre_of_gravity.z;
    assert!(
        found.value > 0.5 * most && found.value < 1.2 * most,
        "{} {most}",
        found.value
    );
}

#[test]
fn the_rear_wheel_lifts_by_its_levers() {
    // Derived: moments about the front contacts, (L − b)/h upright with b from the rear wheel.
    let found = |quantity| answer(&hauler(), &level(10.0), quantity, Over::Design);
    let wanted = (1150.0 - 590.0) / 780.0;
    let pitch = found(Quantity::PitchOver);
    assert!((pitch.value / wanted - 1.0).abs() < 1e-9, "{}", pitch.value);
    let limit = found(Quantity::BrakingLimit);
    assert!((limit.value - pitch.value).abs() < 1e-12);
    assert_eq!(limit.worst.side, None, "no front wheel lifts first");
    // A narrow machine with the weight to its right: braking turns it over its right wheel.
    let aside = Settings {
        fittings: leanwright_mechanics::Fittings {
            masses: Some(Masses {
                total_kg: 170.0,
                centre_of_gravity: v(-560.0, -180.0, 780.0),
            }),
            ..settings().fittings
        },
        ..level(10.0)
    };
    let limit = answer(&hauler(), &aside, Quantity::BrakingLimit, Over::Design);
    let pitch = answer(&hauler(), &aside, Quantity::PitchOver, Over::Design);
    assert!(limit.value <= pitch.value);
    assert_eq!(
        limit.worst.side,
        (limit.value < pitch.value).then_some(Side::Left)
    );
}

#[test]
fn legs_buckle_by_their_own_length() {
    // Euler and Johnson as for rods; the largest push of all legs over its own load.
    let base = level(10.0);
    let tube = base.parts.bars.legs.expect("legs");
    let pushed = |tube: Tube| {
        let mut own = base.clone();
        own.parts.bars.legs = Some(tube);
        answer(&hauler(), &own, Quantity::LegBuckling, Over::Cases)
    };
    let (found, thick) = (pushed(tube), pushed(Tube { inner: 0.0, ..tube }));
    assert!(found.value > 0.0 && found.worst.joint.is_some());
    // A solid bar of the same outer size is stiffer by its second moment where Euler rules.
    let ball = v(4.0, 345.0, 170.0);
    let length = (v(60.0, 75.0, 175.0) - ball).norm();
    let gain = critical_load(&Tube { inner: 0.0, ..tube }, length) / critical_load(&tube, length);
    assert!(
        (found.value / thick.value / gain - 1.0).abs() < 0.02,
        "{} {} {gain}",
        found.value,
        thick.value
    );
    // Mass of bars by hand: two rods and eight legs.
    let bars = &base.parts.bars;
    let rod = bars.rod.expect("rods");
    let leg = |p: [f64; 3], b: [f64; 3]| (v(p[0], p[1], p[2]) - v(b[0], b[1], b[2])).norm();
    let legs = leg([60.0, 75.0, 175.0], [4.0, 345.0, 170.0])
        + leg([-60.0, 75.0, 175.0], [4.0, 345.0, 170.0])
        + leg([50.0, 95.0, 330.0], [-8.0, 316.0, 330.0])
        + leg([-50.0, 95.0, 330.0], [-8.0, 316.0, 330.0]);
    let quarter = core::f64::consts::FRAC_PI_4;
    let area = |t: &Tube| quarter * (t.outer * t.outer - t.inner * t.inner);
    let wanted = 2.0 * 2700e-9 * (292.0 * area(&rod) + legs * area(&tube));
    let mass = answer(&hauler(), &base, Quantity::LinkageMass, Over::Design).value;
    assert!((mass / wanted - 1.0).abs() < 1e-9, "{mass} {wanted}");
}

#[test]
fn a_spectrum_adds_up_what_its_steps_use() {
    // Palmgren and Miner: the sum over a spectrum is the sum over its steps, each taken alone, and
    // the safety is that of the step that is nearest to failing.
    let steps = [
        Step {
            share: 1.0,
            cycles: 2e4,
        },
        Step {
            share: 0.7,
            cycles: 8e5,
        },
    ];
    let with = |spectrum: &[Step]| {
        let mut own = level(10.0);
        own.parts.cases = vec![leanwright_mechanics::LoadCase {
            spectrum: spectrum.to_vec(),
            ..common::parts::bump()
        }];
        let of = |quantity| answer(&hauler(), &own, quantity, Over::Cases).value;
        [of(Quantity::StubAxleDamage), of(Quantity::StubAxleSafety)]
    };
    let [both, one, other] = [with(&steps), with(&steps[..1]), with(&steps[1..])];
    assert!(one[0] > 0.0 && other[0] > 0.0);
    assert!((both[0] / (one[0] + other[0]) - 1.0).abs() < 1e-12);
    assert_eq!(both[1], one[1].min(other[1]));
}
