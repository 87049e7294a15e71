//! Cable drives: path, ratio, slack and stretch.

mod common;

use common::*;
use core::f64::consts::{FRAC_PI_2, PI};
use kinematics::{Linkage, Target};
use leanwright_mechanics::{
    Ask, Bend, CableBend, CableDrive, Carrier, Driven, Guide, Over, Quantity, Settings, Survey,
    check_cable, taut,
};

fn bend(centre: [f64; 3], radius: f64, turn: f64) -> Bend {
    Bend {
        centre: centre.into(),
        axis: v(0.0, 0.0, 1.0),
        radius,
        turn,
    }
}

fn eye(centre: [f64; 3]) -> Bend {
    bend(centre, 0.0, 1.0)
}

/// Worked by hand: a sheave of 30 mm midway between eyes 100 mm apart. The 3-4-5 triangle gives
/// two straight parts of 40 mm, and an arc of 180° − 2·acos(3/5).
#[test]
fn a_cable_over_one_sheave_as_worked_by_hand() {
    let path = taut(&[
        eye([-50.0, 0.0, 0.0]),
        bend([0.0, 0.0, 0.0], 30.0, -1.0),
        eye([50.0, 0.0, 0.0]),
    ])
    .expect("clear");
    let arc = PI - 2.0 * 0.6f64.acos();
    assert!((path.wraps[1] - arc).abs() < 1e-12);
    assert!((path.length - (80.0 + 30.0 * arc)).abs() < 1e-10);
    assert!((path.length - 118.610).abs() < 1e-3, "{}", path.length);
}

/// Lengths of the free parts of open and crossed belts, √(C² − (r₁ ∓ r₂)²): any text on belt
/// drives (quoted from memory), and first principles.
#[test]
fn free_parts_of_open_and_crossed_belts() {
    for (turn, expected) in [
        (1.0, f64::sqrt(200.0 * 200.0 - 30.0 * 30.0)),
        (-1.0, f64::sqrt(200.0 * 200.0 - 70.0 * 70.0)),
    ] {
        let path = taut(&[
            bend([0.0; 3], 20.0, 1.0),
            bend([200.0, 0.0, 0.0], 50.0, turn),
        ])
        .expect("clear");
        assert!((path.length - expected).abs() < 1e-10, "{}", path.length);
    }
}

/// A sheave that the cable need not touch is passed by; through one it cannot run.
#[test]
fn a_cable_lifts_off_and_never_runs_through() {
    let straight = taut(&[
        eye([0.0; 3]),
        bend([100.0, -40.0, 0.0], 30.0, -1.0),
        eye([200.0, 0.0, 0.0]),
    ])
    .expect("clear");
    assert_eq!((straight.length, straight.wraps[1]), (200.0, 0.0));
    let inside = taut(&[
        eye([0.0; 3]),
        bend([10.0, 0.0, 0.0], 30.0, 1.0),
        eye([200.0, 0.0, 0.0]),
    ]);
    assert_eq!(inside.unwrap_err(), 1);
}

fn on_frame(x: f64, y: f64, z: f64) -> Guide {
    Guide {
        on: Carrier::Frame,
        bend: eye([x, y, z]),
    }
}

fn drive(driven: Driven) -> CableDrive {
    CableDrive {
        handlebar: bend([-550.0, 0.0, 600.0], 40.0, 1.0),
        driven,
        runs: [
            vec![on_frame(-350.0, 60.0, 330.0)],
            vec![on_frame(-350.0, -60.0, 330.0)],
        ],
        crossed: false,
        stiffness_n: 160_000.0,
        preload_n: 80.0,
        hand_force_n: 100.0,
        grip: 260.0,
        friction: 0.0,
    }
}

fn to_crank() -> CableDrive {
    drive(Driven::Crank(60.0))
}

fn to_knuckles() -> CableDrive {
    drive(Driven::Knuckles(v(-5.0, 323.25, 290.0), 50.0))
}

fn with(cable: CableDrive) -> Settings {
    let mut settings = settings();
    settings.parts.cable = Some(cable);
    settings
}

/// What stands on the frame keeps its length whatever the wheels do, and the ratio is that of the
/// radii: 60/40 times the crank's.
#[test]
fn cables_to_the_crank_have_the_ratio_of_their_sheaves() {
    let machine = hauler();
    let cabled = with(to_crank());
    let ask = |s: &Settings, q, over| answer(&machine, s, q, over).value;
    let lean = Over::Lean([-12.0, 12.0]);
    for over in [lean, Over::Travel([-30.0, 30.0]), Over::Reach] {
        assert!(ask(&cabled, Quantity::CablePathChange, over) < 1e-9);
    }
    assert!(ask(&cabled, Quantity::CableSteer, lean) < 1e-9);
    let plain = ask(&settings(), Quantity::SteeringRatio, Over::Design);
    let ratio = ask(&cabled, Quantity::SteeringRatio, Over::Design);
    assert!((ratio / plain - 1.5).abs() < 1e-9, "{plain} {ratio}");
    // Handlebar torques shrink by as much.
    let torque = |s: &Settings| ask(s, Quantity::HandlebarTorque, Over::Reach);
    assert!((torque(&settings()) / torque(&cabled) - 1.5).abs() < 1e-9);
}

/// Stretch by first principles: two springs EA/L side by side at the sheave's radius, M/(r²Σk),
/// while the other run stays taut; slack once the preload is used up.
#[test]
fn stretch_and_slack_follow_from_stiffness_and_preload() {
    let machine = hauler();
    let stretch = |cable: CableDrive| {
        let over = Over::Lean([0.0, 0.0]);
        answer(&machine, &with(cable), Quantity::CableStretch, over).value
    };
    let slack = |cable: CableDrive| {
        let over = Over::Lean([0.0, 0.0]);
        answer(&machine, &with(cable), Quantity::CableSlack, over).value
    };
    let path = |cable: &CableDrive| {
        let list = [
            Bend {
                turn: -1.0,
                ..cable.handlebar
            },
            cable.runs[0][0].bend,
            Bend {
                turn: -1.0,
                ..bend([-120.0, 0.0, 222.0], 60.0, -1.0)
            },
        ];
        taut(&list).expect("clear").length
    };
    let cable = to_crank();
    let rate = cable.stiffness_n / path(&cable);
    let pull = 100.0 * 260.0 / 40.0; // N on the sheave
    let taut_both = (pull / (2.0 * rate) / 40.0).to_degrees();
    let preloaded = CableDrive {
        preload_n: pull,
        ..cable.clone()
    };
    assert!((stretch(preloaded.clone()) - taut_both).abs() < 1e-9);
    assert!((slack(preloaded) + pull / rate).abs() < 1e-9);
    // Without preload the pulling run stretches alone.
    let loose = CableDrive {
        preload_n: 0.0,
        ..cable
    };
    assert!((stretch(loose.clone()) - 2.0 * taut_both).abs() < 1e-9);
    assert!(slack(loose).abs() < 1e-9);
}

/// Capstan: tension grows by e^(μβ); here both runs lie round one sheave each.
#[test]
fn friction_grows_with_the_angle_of_the_bends() {
    let mut cable = to_crank();
    cable.friction = 0.2;
    cable.handlebar = bend([-400.0, 0.0, 222.0], 40.0, 1.0);
    cable.driven = Driven::Crank(40.0);
    // From the handlebar out to the side, round the sheave, and in to the crank.
    let round = |side: f64| Guide {
        on: Carrier::Frame,
        bend: Bend {
            centre: v(-300.0, side * 200.0, 222.0),
            axis: v(0.0, 0.0, 1.0),
            radius: 25.0,
            turn: -side,
        },
    };
    cable.runs = [vec![round(1.0)], vec![round(-1.0)]];
    let machine = hauler();
    let linkage = Linkage::new(&machine).expect("assembles");
    assert_eq!(
        check_cable(&linkage, &cable, linkage.design_pose(), true),
        None
    );
    let over = Over::Lean([0.0, 0.0]);
    let found = answer(
        &machine,
        &with(cable.clone()),
        Quantity::CableFriction,
        over,
    )
    .value;
    let bends = [
        Bend {
            turn: -1.0,
            ..cable.handlebar
        },
        cable.runs[0][0].bend,
        bend([-120.0, 0.0, 222.0], 40.0, -1.0),
    ];
    let wrap = taut(&bends).expect("clear").wraps[1];
    assert!(wrap > FRAC_PI_2 * 0.5, "{wrap}");
    let expected = 0.040 * 2.0 * 80.0 * ((0.2 * wrap).exp() - 1.0);
    assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    // The hands work against it and against the bearings: sheaves on the frame keep their wraps.
    let mut both = with(cable.clone());
    both.fittings.effort.friction_nm = 1.25;
    let survey = Survey::new(&linkage, &both).expect("settings make sense");
    let friction = survey.design().friction_nm;
    assert!((friction - expected - 1.25).abs() < 1e-9, "{friction}");
    cable.friction = 0.0;
    let parked = |settings: &Settings| answer(&machine, settings, Quantity::ParkingTorque, over);
    let more = parked(&both).value - parked(&with(cable)).value;
    assert!((more - expected - 1.25).abs() < 1e-9, "{more}");
}

/// Cables to the knuckles follow the wheels: to first order the handlebar turns r_driven/r_handlebar
/// times the knuckle, and leaning pulls at it.
#[test]
fn cables_to_the_knuckles_follow_wheels_and_lean() {
    let machine = hauler();
    let cabled = with(to_knuckles());
    let linkage = Linkage::new(&machine).expect("assembles");
    let survey = Survey::new(&linkage, &cabled).expect("settings make sense");
    let at = |steer: f64| {
        let points = survey.over_lean([0.0, 0.0], 1.0, steer);
        let point = points[0];
        let mean = 0.5 * (point.steer_deg[0] + point.steer_deg[1]);
        (mean, point.cables.expect("clear").handlebar_deg)
    };
    let ((low, bar_low), (high, bar_high)) = (at(-1.0), at(1.0));
    let ratio = ((bar_high - bar_low) / (high - low)).abs();
    // Kingpins lean, so the wheels turn a little less on the ground than about them.
    assert!((ratio - 50.0 / 40.0).abs() < 0.12, "{ratio}");
    let lean = Over::Lean([-12.0, 12.0]);
    let change = answer(&machine, &cabled, Quantity::CablePathChange, lean);
    assert!(change.value > 0.1 && change.shortfall == 0.0, "{change:?}");
    // A machine and its cables that mirror themselves lean alike to both sides.
    let leaned = |deg: f64| {
        survey.over_lean([deg, deg], 1.0, 0.0)[0]
            .cables
            .expect("clear")
    };
    let (left, right) = (leaned(-8.0), leaned(8.0));
    assert!((left.path_change_mm - right.path_change_mm).abs() < 1e-7);
    assert!((left.handlebar_deg + right.handlebar_deg).abs() < 1e-7);
}

/// A guide on a wishbone moves with it: its distance to the ball joint stays.
#[test]
fn a_guide_on_a_wishbone_rides_on_it() {
    let mut cable = to_knuckles();
    let guide = |side: f64| Guide {
        on: Carrier::LowerWishbone,
        bend: eye([-60.0, side * 300.0, 200.0]),
    };
    cable.runs = [vec![guide(1.0)], vec![guide(-1.0)]];
    let machine = hauler();
    let lean = Over::Lean([-12.0, 12.0]);
    let riding = answer(&machine, &with(cable), Quantity::CablePathChange, lean).value;
    let fixed = answer(
        &machine,
        &with(to_knuckles()),
        Quantity::CablePathChange,
        lean,
    )
    .value;
    assert!(riding.is_finite() && riding != fixed);
}

/// A pose in which a cable would run through a sheave is missing, and named.
#[test]
fn a_cable_through_a_sheave_is_named_with_its_pose() {
    let mut cable = to_knuckles();
    // A sheave on the frame close above the lower wishbone's, which rises into it.
    cable.runs[0].push(Guide {
        on: Carrier::LowerWishbone,
        bend: eye([-150.0, 320.0, 240.0]),
    });
    cable.runs[0].insert(
        1,
        Guide {
            on: Carrier::Frame,
            bend: Bend {
                centre: v(-150.0, 300.0, 300.0),
                axis: v(1.0, 0.0, 0.0),
                radius: 30.0,
                turn: -1.0,
            },
        },
    );
    let machine = hauler();
    let linkage = Linkage::new(&machine).expect("assembles");
    let target = |lean: f64| Target {
        lean,
        steer: 0.0,
        mean_travel: None,
    };
    let through = [-0.2, 0.2].into_iter().find_map(|lean| {
        let pose = linkage.pose(&target(lean)).expect("reached");
        check_cable(&linkage, &cable, &pose, false)
    });
    assert_eq!(
        through.expect("the guide rises into the sheave").bend,
        CableBend::Guide(1)
    );
    let found = answer(
        &machine,
        &with(cable),
        Quantity::CableSlack,
        Over::Lean([-12.0, 12.0]),
    );
    assert!(
        found.shortfall > 0.0 && found.worst.lean_deg != 0.0,
        "{found:?}"
    );
}

#[test]
fn cables_are_needed_for_their_quantities() {
    let ask = Ask::usual(Quantity::CableSlack);
    let refused = leanwright_mechanics::Plan::new(&[ask], &settings()).unwrap_err();
    assert!(refused.to_string().contains("a cable drive"), "{refused}");
}
