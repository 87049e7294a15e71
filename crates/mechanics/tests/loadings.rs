//! States of loading with mean travel, springs and reach of their own, and reach beyond balanced
//! turns on the level.

mod common;

use common::*;
use kinematics::Linkage;
use leanwright_mechanics::{
    Ask, Loading, Masses, Over, Quantity, Reach, Sag, Settings, Springs, Survey,
};
use proptest::prelude::*;

fn empty() -> Masses {
    Masses {
        total_kg: 45.0,
        centre_of_gravity: v(-500.0, 0.0, 400.0),
    }
}

fn loaded(states: Vec<Loading>) -> Settings {
    let mut settings = settings();
    settings.parts.states = states;
    settings
}

const POSED: [Quantity; 6] = [
    Quantity::LeanSteer,
    Quantity::BumpSteer,
    Quantity::SteeringError,
    Quantity::TurningRadiusKerb,
    Quantity::BallJointAngle,
    Quantity::GroundClearance,
];

/// A quantity over two states is the worse of both alone, and says whose it is.
#[test]
fn quantities_are_the_worst_over_the_states() {
    let alone = loaded(Vec::new());
    let mut raised = alone.clone();
    raised.sag = Sag::Given(18.0);
    let both = loaded(vec![Loading {
        masses: masses(),
        sag: Sag::Given(18.0),
        reach: None,
    }]);
    let mut named = 0;
    for quantity in POSED {
        let ask = [Ask::usual(quantity)];
        let [one, other, worst] = [&alone, &raised, &both].map(|s| answers(&hauler(), s, &ask)[0]);
        assert_ne!(one.value, other.value, "{}", quantity.name());
        let smaller = quantity == Quantity::GroundClearance;
        let (wanted, state) = match (one.value > other.value) == smaller {
            true => (other.value, 1),
            false => (one.value, 0),
        };
        assert_eq!(worst.value, wanted, "{}", quantity.name());
        assert_eq!(worst.worst.state, Some(state), "{}", quantity.name());
        named += state;
    }
    assert!(named > 0, "some are worst at the other travel");
}

/// The mean rise of the lower ball joints is what was asked for, upright and leaned.
#[test]
fn the_machine_stands_at_its_travel() {
    let linkage = Linkage::new(&hauler()).expect("assembles");
    let mut raised = loaded(Vec::new());
    raised.sag = Sag::Given(18.0);
    let survey = Survey::new(&linkage, &raised).expect("sound settings");
    for point in survey.over_lean([-8.0, 8.0], 4.0, 0.0) {
        assert_eq!(point.travel_mm, 18.0);
    }
    // The wheels rise by 18 mm and stay on the ground: the frame sinks by as much.
    let design = Survey::new(&linkage, &settings()).expect("sound").design();
    let sunk = survey.over_lean([0.0, 0.0], 1.0, 0.0)[0].contact_mm;
    assert!(
        (sunk[0][1] - design.contact_mm[0][1]).abs() > 0.01,
        "the track has changed"
    );
}

#[test]
fn springs_carry_the_front_load() {
    let springs = Springs {
        rate: 20.0,
        motion_ratio: 0.5,
        preload: None,
        stops: [-60.0, 60.0],
    };
    // 100 N more at the wheel are 200 N at the spring, 10 mm there, 20 mm at the wheel. Derived.
    assert!((springs.travel(600.0, 500.0) - 20.0).abs() < 1e-12);
    assert_eq!(springs.travel(5000.0, 500.0), 60.0);
    let preloaded = Springs {
        preload: Some(900.0),
        ..springs
    };
    // 500 N at the wheel are 1000 N at the spring: 5 mm there, 10 mm at the wheel. Derived.
    assert!((preloaded.travel(500.0, 1.0) - 10.0).abs() < 1e-12);
    // In a machine: the light state stands higher by the load that it lacks.
    let mut settings = loaded(vec![Loading {
        masses: empty(),
        sag: Sag::Springs,
        reach: None,
    }]);
    settings.sag = Sag::Springs;
    settings.parts.springs = Some(springs);
    let found = answer(
        &hauler(),
        &settings,
        Quantity::LeanSteer,
        Over::Lean([-12.0, 12.0]),
    );
    let share = |m: &Masses| 0.5 * m.total_kg * (1150.0 + m.centre_of_gravity.x) / 1150.0;
    let less = 9.806_65 * (share(&masses()) - share(&empty()));
    let mut given = loaded(Vec::new());
    given.sag = Sag::Given(-(less / (20.0 * 0.25)).min(60.0));
    let alone = answer(
        &hauler(),
        &given,
        Quantity::LeanSteer,
        Over::Lean([-12.0, 12.0]),
    );
    let drawn = answer(
        &hauler(),
        &loaded(Vec::new()),
        Quantity::LeanSteer,
        Over::Lean([-12.0, 12.0]),
    );
    assert!(
        (found.value - alone.value.max(drawn.value)).abs() < 1e-6,
        "{found:?} {alone:?}"
    );
}

/// Loads and torques are taken with every state's masses, also where the poses are shared.
#[test]
fn loads_are_the_worst_over_the_states() {
    let heavy = Masses {
        total_kg: 260.0,
        ..masses()
    };
    let state = |masses| Loading {
        masses,
        sag: Sag::Given(0.0),
        reach: None,
    };
    let one = loaded(vec![state(empty())]);
    let two = loaded(vec![state(empty()), state(heavy)]);
    for quantity in [
        Quantity::RodForce,
        Quantity::HandlebarTorque,
        Quantity::StubAxleSafety,
    ] {
        let ask = [Ask::usual(quantity)];
        let [before, after] = [&one, &two].map(|s| answers(&hauler(), s, &ask)[0]);
        assert_eq!(before.worst.state, Some(0), "{}", quantity.name());
        assert_eq!(after.worst.state, Some(2), "{}", quantity.name());
        assert_ne!(before.value, after.value);
    }
}

#[test]
fn a_state_may_have_a_reach_of_its_own() {
    let gentle = Reach {
        speed_mps: [0.0, 3.0],
        radius_m: [6.0, 50.0],
        lean_limit_deg: 4.0,
        ..Reach::default()
    };
    let own = Reach {
        radius_m: [6.0, 50.0],
        ..Reach::default()
    };
    let ask = [Ask::usual(Quantity::SteeringError)];
    let mut base = loaded(Vec::new());
    base.reach = gentle;
    let mut wide = base.clone();
    wide.reach = own;
    let mut state = base.clone();
    state.parts.states = vec![Loading {
        masses: empty(),
        sag: Sag::Given(0.0),
        reach: Some(own),
    }];
    let [gentle, wide, both] = [&base, &wide, &state].map(|s| answers(&hauler(), s, &ask)[0]);
    assert!(wide.value > gentle.value);
    assert_eq!((both.value, both.worst.state), (wide.value, Some(1)));
}

/// A machine that cannot stand at a state's travel has nothing to show there.
#[test]
fn a_travel_that_no_pose_has_is_missed() {
    let far = loaded(vec![Loading {
        masses: empty(),
        sag: Sag::Given(-149.0),
        reach: None,
    }]);
    let mut short = hauler();
    short.left.upper.ball_joint.z = 300.0;
    short.left.lower.ball_joint.z = 290.0 - 100.0;
    short.right = short.left.mirrored();
    let found = answer(&short, &far, Quantity::LeanSteer, Over::Lean([-12.0, 12.0]));
    assert!(
        found.shortfall > 0.0 && found.value.is_finite(),
        "{found:?}"
    );
}

proptest! {
    /// Every turn that a speed, a radius and a slope to either side make lies in reach: v² = gR tan φ
    /// against gravity, and the ground leans the machine by the slope.
    #[test]
    fn reach_holds_turns_on_side_slopes(speed in 0.0..8.0f64, radius in 2.5..50.0f64, uphill: bool) {
        let slope = 6.0;
        let reach = Reach { side_slope_deg: slope, lean_out_deg: 3.0, ..Reach::default() };
        let balanced = (speed * speed / (9.806_65 * radius)).atan().to_degrees();
        let against_ground = if uphill { balanced + slope } else { balanced - slope };
        if against_ground <= reach.lean_limit_deg {
            let [low, high] = reach.curvatures_per_m(against_ground).expect("held");
            let curvature = 1.0 / radius;
            prop_assert!(low <= curvature * (1.0 + 1e-9) && curvature <= high * (1.0 + 1e-9));
        }
        prop_assert!(reach.curvatures_per_m(-6.5).is_none());
    }
}

#[test]
fn leaning_out_asks_more_of_the_joints() {
    let mut out = settings();
    out.reach.lean_limit_deg = 4.0;
    let inside = answer(&hauler(), &out, Quantity::BallJointAngle, Over::Reach);
    out.reach.lean_out_deg = 9.0;
    let outside = answer(&hauler(), &out, Quantity::BallJointAngle, Over::Reach);
    assert!(outside.value > inside.value + 2.0, "{outside:?} {inside:?}");
    // Out of the turn: leaned to one side, steered to the other.
    let (lean, steer) = (outside.worst.lean_deg, outside.worst.steer_deg);
    let linkage = Linkage::new(&hauler()).expect("assembles");
    let survey = Survey::new(&linkage, &out).expect("sound settings");
    let turned = survey.over_lean([lean, lean], 1.0, steer);
    assert!(
        turned[0].curvature_per_m * lean > 0.0,
        "left of the lean to the right"
    );
    assert!((lean.abs() - 9.0).abs() < 1e-9);
}
