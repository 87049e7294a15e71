//! Laws that hold for every machine: mirror symmetry, grids that do not depend on company,
//! finite answers, shortfalls where poses are missing, continuity, one path for all callers.

mod common;

use common::*;
use kinematics::{Linkage, Machine, Side};
use leanwright_mechanics::{
    Answer, Ask, Over, OverKind, Plan, PlanFault, Quantity, Settings, Stop, Survey, TABLE,
};

/// A hauler with a cranked driver that reaches the whole of its reach.
fn steerable() -> Machine {
    let mut machine = hauler();
    machine.left.rod_inner = v(-30.0, 60.0, 222.0);
    machine.crank.point.x = -130.0;
    machine.right = machine.left.mirrored();
    machine
}

/// The same machine told apart from its mirror image by less than a picometre, so that both
/// halves are solved.
fn solved_whole(machine: &Machine) -> Machine {
    let mut whole = *machine;
    whole.right.rod_outer.y -= 1e-9;
    whole
}

#[test]
fn half_the_poses_of_a_symmetric_machine_tell_all() {
    let asks: Vec<Ask> = everything();
    for machine in [steerable(), hauler()] {
        let half = answers(&machine, &settings(), &asks);
        let whole = answers(&solved_whole(&machine), &settings(), &asks);
        for ((ask, a), b) in asks.iter().zip(&half).zip(&whole) {
            let close = (a.value - b.value).abs() < 1e-6 * (1.0 + a.value.abs());
            assert!(close, "{}: {a:?} {b:?}", ask.quantity.name());
            assert!(
                (a.shortfall - b.shortfall).abs() < 1e-6,
                "{}",
                ask.quantity.name()
            );
        }
    }
}

#[test]
fn left_and_right_exchanged_give_the_same_answers() {
    let mut lopsided = steerable();
    lopsided.left.rod_outer.y += 2.0;
    lopsided.left.wheel.centre.y += 3.0;
    let mut exchanged = lopsided;
    exchanged.left = lopsided.right.mirrored();
    exchanged.right = lopsided.left.mirrored();
    let asks = everything();
    let one = answers(&lopsided, &settings(), &asks);
    let other = answers(&exchanged, &settings(), &asks);
    for ((ask, a), b) in asks.iter().zip(&one).zip(&other) {
        let close = (a.value.abs() - b.value.abs()).abs() < 1e-6 * (1.0 + a.value.abs());
        assert!(close, "{}: {a:?} {b:?}", ask.quantity.name());
        // Where both sides differ, the worst changes sides too.
        let sided = matches!(
            ask.quantity,
            Quantity::ScrubRadius
                | Quantity::BumpSteer
                | Quantity::LeanSteer
                | Quantity::BallJointAngle
                | Quantity::BrakeSteerArm
        );
        assert!(!sided || a.worst.side != b.worst.side, "{a:?} {b:?}");
    }
}

#[test]
fn answers_do_not_depend_on_what_else_is_asked() {
    let asks = everything();
    for machine in [steerable(), solved_whole(&hauler())] {
        let together = answers(&machine, &settings(), &asks);
        for (ask, a) in asks.iter().zip(&together) {
            let alone = answers(&machine, &settings(), &[*ask])[0];
            // Warm starts differ, so bits may; nothing else.
            let close = (a.value - alone.value).abs() < 1e-7 * (1.0 + a.value.abs());
            assert!(close, "{}: {a:?} {alone:?}", ask.quantity.name());
        }
    }
}

#[test]
fn one_scratch_serves_many_candidates() {
    let asks = everything();
    let plan = Plan::new(&asks, &settings()).expect("the asks make sense");
    let (mut used, mut first, mut again) = (
        plan.scratch(),
        vec![Answer::default(); asks.len()],
        vec![Answer::default(); asks.len()],
    );
    let [one, two] = [steerable(), hauler()].map(|m| Linkage::new(&m).expect("assembles"));
    plan.evaluate(&one, &mut used, &mut first);
    plan.evaluate(&two, &mut used, &mut again);
    plan.evaluate(&one, &mut used, &mut again);
    assert_eq!(first, again, "to the last bit");
}

/// The plan and the curves are one path: the worst of a curve on the plan's grid is the answer.
#[test]
fn curves_hold_the_worst_values() {
    let machine = hauler();
    let linkage = Linkage::new(&machine).expect("assembles");
    let survey = Survey::new(&linkage, &settings()).expect("settings make sense");
    let design = survey.design();
    let travel = survey.over_travel([-30.0, 30.0], 5.0);
    let bump = travel
        .iter()
        .flat_map(|p| [0, 1].map(|i| (p.toe_in_deg[i] - design.toe_in_deg[i]).abs()))
        .fold(0.0, f64::max);
    let asked = answer(
        &machine,
        &settings(),
        Quantity::BumpSteer,
        Over::Travel([-30.0, 30.0]),
    );
    assert!((bump - asked.value).abs() < 1e-9);
    let joints = survey
        .over_lean([-12.0, 12.0], 1.0, 0.0)
        .iter()
        .flat_map(|p| p.ball_joint_deg.into_iter().flatten())
        .fold(0.0, f64::max);
    let asked = answer(
        &machine,
        &settings(),
        Quantity::BallJointAngle,
        Over::Lean([-12.0, 12.0]),
    );
    assert!(
        (joints - asked.value).abs() < 1e-7,
        "{joints} {}",
        asked.value
    );
}

/// Toe against travel splits into even and odd parts: in lean the odd part is common steer, the
/// even part toe-in of each wheel.
#[test]
fn bump_parts_add_up_to_the_curve() {
    let linkage = Linkage::new(&hauler()).expect("assembles");
    let survey = Survey::new(&linkage, &settings()).expect("settings make sense");
    let toe: Vec<f64> = survey
        .over_travel([-30.0, 30.0], 30.0)
        .iter()
        .map(|p| p.toe_in_deg[0])
        .collect();
    let travel = Over::Travel([-30.0, 30.0]);
    let part = |q| answer(&hauler(), &settings(), q, travel).value;
    let even = 0.5 * (toe[2] + toe[0]) - toe[1];
    let odd = 0.5 * (toe[2] - toe[0]);
    assert!((part(Quantity::BumpSteerEven) - even.abs()).abs() < 1e-9);
    assert!((part(Quantity::BumpSteerOdd) - odd.abs()).abs() < 1e-9);
    let slope = answer(
        &hauler(),
        &settings(),
        Quantity::BumpSteerSlope,
        Over::Design,
    )
    .value;
    let fine: Vec<f64> = survey
        .over_travel([-0.1, 0.1], 0.1)
        .iter()
        .map(|p| p.toe_in_deg[0])
        .collect();
    assert!((slope - (fine[2] - fine[0]) / 0.2).abs() < 1e-6 * slope.abs().max(1.0));
}

#[test]
fn missing_poses_show_as_a_shortfall_that_grows() {
    let over = |lean: f64| Over::Lean([-lean, lean]);
    let shortfall = |lean| answer(&hauler(), &settings(), Quantity::LeanSteer, over(lean));
    let ends = answer(&hauler(), &settings(), Quantity::LeanRange, Over::Design);
    let end = ends.value;
    assert!(end < 40.0, "the hauler cannot lean that far: {end}");
    assert_eq!(shortfall(end - 0.5).shortfall, 0.0);
    let mut last = 0.0;
    for beyond in [0.2, 1.0, 5.0, 20.0] {
        let answer = shortfall(end + beyond);
        let expected = beyond / (end + beyond);
        assert!(answer.shortfall > last && answer.value.is_finite());
        assert!(
            (answer.shortfall - expected).abs() < 2e-3,
            "{answer:?} {expected}"
        );
        last = answer.shortfall;
    }
}

/// Steer that the machine cannot reach inside reach is counted, never skipped, and less so the
/// closer the steering comes.
#[test]
fn unreachable_steer_is_a_shortfall_with_a_slope() {
    let at_radius = |tight: f64| {
        let mut s = settings();
        s.reach.radius_m[0] = tight;
        answer(&hauler(), &s, Quantity::SteeringError, Over::Reach).shortfall
    };
    let lock = answer(
        &hauler(),
        &settings(),
        Quantity::TurningRadiusRear,
        Over::Lean([0.0, 0.0]),
    );
    assert_eq!(at_radius(1.25 * lock.value), 0.0);
    let all = [0.9, 0.7, 0.5, 0.3].map(|part| at_radius(part * lock.value));
    assert!(all.windows(2).all(|w| 0.0 < w[0] && w[0] < w[1]), "{all:?}");
}

#[test]
fn stops_are_named() {
    let stop = |machine: &Machine, s: &Settings| {
        answer(machine, s, Quantity::CrankTravel, Over::Lean([0.0, 0.0]))
    };
    let first = stop(&hauler(), &settings());
    assert!(
        matches!(first.worst.stop, Some(Stop::CrankInLine(_))),
        "{first:?}"
    );
    let fitted = Settings {
        stop_angle_deg: Some(20.0),
        ..settings()
    };
    let at = stop(&hauler(), &fitted);
    assert!(at.worst.stop == Some(Stop::StopAngle) && (at.value - 20.0).abs() < 1e-9);
    // A long crank arm and a short knuckle arm bring the knuckle into line first.
    let mut short = hauler();
    short.left.rod_outer.x = -35.0;
    short.left.rod_inner.x = 60.0;
    short.left.rod_inner.y = 10.0;
    short.right = short.left.mirrored();
    let knuckle = stop(&short, &settings());
    assert!(
        matches!(knuckle.worst.stop, Some(Stop::DeadCentre(_))),
        "{knuckle:?}"
    );
    // Without a smallest angle the same machine goes on to the dead centre itself.
    let mut bare = settings();
    bare.smallest_transmission_deg = 0.0;
    let dead = stop(&short, &bare);
    assert!(
        matches!(dead.worst.stop, Some(Stop::DeadCentre(_))),
        "{dead:?}"
    );
    assert!(dead.value > knuckle.value);
    // And the hauler's wheel turns back where its rod is in line with the crank.
    let back = stop(&hauler(), &bare);
    let turned = matches!(
        back.worst.stop,
        Some(Stop::CrankInLine(_) | Stop::Reversal(_))
    );
    assert!(turned && back.value > first.value, "{back:?}");
}

#[test]
fn foreign_and_inverted_ranges_are_refused() {
    let refuse = |quantity, over| Plan::new(&[Ask { quantity, over }], &settings()).unwrap_err();
    let foreign = refuse(Quantity::BumpSteer, Over::Lean([-5.0, 5.0]));
    assert!(
        matches!(
            foreign,
            PlanFault::WrongOver {
                given: OverKind::Lean,
                ..
            }
        ),
        "{foreign}"
    );
    for range in [[5.0, -5.0], [f64::NAN, 5.0], [-90.0, 5.0]] {
        let bad = refuse(Quantity::LeanSteer, Over::Lean(range));
        assert!(matches!(bad, PlanFault::BadRange { .. }), "{bad}");
    }
    let mut massless = settings();
    massless.fittings.masses = None;
    let rise = Plan::new(&[Ask::usual(Quantity::SteeringRise)], &massless).unwrap_err();
    assert_eq!(rise, PlanFault::NeedsMasses(Quantity::SteeringRise));
    let mut upside_down = settings();
    upside_down.reach.radius_m = [10.0, 5.0];
    let bad = Plan::new(&[Ask::usual(Quantity::SteeringError)], &upside_down).unwrap_err();
    assert!(bad.to_string().contains("reach.radius_m[1]"), "{bad}");
}

#[test]
fn the_table_is_whole() {
    for (info, quantity) in TABLE.iter().zip(Quantity::ALL) {
        assert_eq!(info.quantity, *quantity);
        assert_eq!(Quantity::from_name(info.name), Some(*quantity));
        assert!(
            info.over.contains(&info.default_over.kind()),
            "{}",
            info.name
        );
        for text in [
            info.definition,
            info.sign,
            info.reduction,
            info.limit_origin,
        ] {
            assert!(
                !text.is_empty() && !text.contains("  "),
                "{}: {text}",
                info.name
            );
        }
    }
    assert_eq!(Quantity::from_name("lean_steer"), None);
}

/// The side named is the side of the machine that was asked for, also on the half not solved.
#[test]
fn places_are_brought_back_into_the_range() {
    let left_lean = answer(
        &hauler(),
        &settings(),
        Quantity::LeanSteer,
        Over::Lean([-12.0, 0.0]),
    );
    assert_eq!(left_lean.worst.lean_deg, -12.0);
    assert_eq!(
        left_lean.worst.side,
        Some(Side::Right),
        "the outer wheel of a left turn"
    );
}
