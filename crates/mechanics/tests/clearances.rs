//! Clearances as quantities and as what stops steering and lean.

mod common;

use common::parts::body;
use common::*;
use kinematics::Linkage;
use leanwright_mechanics::{
    Ask, Body, Over, Part, Parts, Plan, Quantity, Settings, Stop, Survey, boxes_in_the_way,
};

fn fitted(body: Body) -> Settings {
    let usual = settings();
    Settings {
        parts: Parts {
            body: Some(body),
            ..usual.parts
        },
        ..usual
    }
}

const GAPS: [Quantity; 5] = [
    Quantity::Clearance,
    Quantity::WheelClearance,
    Quantity::RodClearance,
    Quantity::BoxClearance,
    Quantity::GroundClearance,
];

#[test]
fn gaps_are_smallest_over_poses_and_kinds() {
    let settings = fitted(body());
    let one = |over| GAPS.map(|quantity| answer(&hauler(), &settings, quantity, over));
    let still = one(Over::Travel([0.0, 0.0]));
    // The disc begins 4 mm beside the ball joint's plane, 70 mm round the axle; the lower leg
    // ends at that joint, 80.1 mm from the axle, 16 mm inside the plane. Derived, to half a mm.
    assert!(
        (still[0].value - (16.0_f64.hypot(10.1) - 10.0)).abs() < 0.5,
        "{:?}",
        still[0]
    );
    let [a, b] = still[0].worst.between.expect("a pair");
    assert!(
        matches!((a, b), (Part::BrakeDisc(_), Part::Leg(..))),
        "{a} {b}"
    );
    for over in [Over::Travel([-30.0, 30.0]), Over::Lean([-8.0, 8.0])] {
        for (swept, still) in one(over).into_iter().zip(still) {
            assert!(swept.value <= still.value + 1e-9, "{swept:?} {still:?}");
            assert!(
                swept.value > 0.0 && swept.worst.between.is_some(),
                "{swept:?}"
            );
        }
    }
    let reach = one(Over::Reach);
    assert!(reach[0].value <= reach[1].value.min(reach[2].value).min(reach[3].value));
}

/// Half of the poses of a symmetric machine tell all, boxes included.
#[test]
fn a_symmetric_machine_needs_half_of_the_poses() {
    let mut settings = fitted(body());
    let mut twin = settings.clone();
    let held = twin.parts.body.as_mut().expect("a body");
    // A box of no matter that stands on one side: every pose is then solved.
    let mut far = held.boxes[0];
    far.block.centre.z = 3000.0;
    held.boxes.push(far);
    for over in [Over::Lean([-10.0, 4.0]), Over::Reach] {
        for quantity in GAPS {
            let half = answer(&hauler(), &settings, quantity, over);
            let all = answer(&hauler(), &twin, quantity, over);
            assert!((half.value - all.value).abs() < 1e-7, "{half:?} {all:?}");
            let range = [-10.0 - 1e-9, 4.0 + 1e-9];
            let lean = half.worst.lean_deg;
            assert!(over == Over::Reach || (range[0]..=range[1]).contains(&lean));
        }
    }
    settings.parts.body = None;
    let asks = [Ask::usual(Quantity::Clearance)];
    assert!(Plan::new(&asks, &settings).is_err(), "sizes are needed");
}

#[test]
fn parts_that_meet_stop_steering_and_lean() {
    let mut near = body();
    // Stands closely behind and inside the front wheels.
    for (held, y) in near.boxes.iter_mut().zip([300.0, -300.0]) {
        held.block.centre = v(-250.0, y, 250.0);
    }
    let linkage = Linkage::new(&hauler()).expect("assembles");
    assert_eq!(boxes_in_the_way(&linkage, &near), []);
    let free = fitted(body());
    let tight = fitted(near);
    let stop = |settings: &Settings| {
        let survey = Survey::new(&linkage, settings).expect("sound settings");
        survey.steering_ends(0.0).expect("upright")
    };
    let (before, after) = (stop(&free), stop(&tight));
    for (before, after) in before.iter().zip(&after) {
        let Stop::Contact([a, b]) = after.stop else {
            panic!("{}", after.stop);
        };
        assert!(
            matches!(
                (a, b),
                (Part::Tyre(_) | Part::Spokes(_) | Part::Rim(_), Part::Box(_))
            ),
            "{a} {b}"
        );
        assert!(after.at.crank_deg.abs() < before.at.crank_deg.abs() - 1.0);
        // At the stop the gap is closed.
        let steer = after.at.crank_deg;
        let gap = Survey::new(&linkage, &tight)
            .expect("sound settings")
            .gap_at(0.0, steer);
        let (gap, pair) = gap.expect("a pose");
        assert!(gap.abs() < 1e-6, "{gap} {pair:?}");
    }
    // A wider gap that has to stay stops earlier, by name.
    let mut wide = tight.clone();
    wide.parts.body.as_mut().expect("a body").least_gap = 15.0;
    for (after, wide) in after.iter().zip(&stop(&wide)) {
        assert!(wide.at.crank_deg.abs() < after.at.crank_deg.abs() - 0.5);
    }
    // Leaning far, a wide low board meets the ground.
    let mut low = body();
    low.boxes[2].block.half = [150.0, 450.0, 30.0];
    low.boxes[2].block.centre = v(-600.0, 0.0, 150.0);
    let survey_settings = fitted(low);
    let survey = Survey::new(&linkage, &survey_settings).expect("sound settings");
    for end in survey.lean_ends(0.0).expect("upright") {
        assert_eq!(end.stop, Stop::Contact([Part::Box(2), Part::Ground]));
        // 120 mm at 450 mm from the middle: about asin(120/450) = 15.5°. Derived.
        assert!(
            (end.at.lean_deg.abs() - 15.5).abs() < 1.0,
            "{}",
            end.at.lean_deg
        );
    }
}

#[test]
fn a_box_around_a_wheel_is_in_the_way() {
    let linkage = Linkage::new(&hauler()).expect("assembles");
    let mut around = body();
    around.boxes[0].block.centre = v(0.0, 395.0, 250.0);
    around.boxes[1].block.centre = v(-1150.0, 0.0, 250.0);
    let found = boxes_in_the_way(&linkage, &around);
    let parts: Vec<_> = found
        .iter()
        .map(|(i, part, gap)| (*i, *part, *gap < 0.0))
        .collect();
    assert!(parts.iter().any(|p| p.0 == 0 && p.2), "{parts:?}");
    assert!(parts.contains(&(1, Part::RearSpokes, true)), "{parts:?}");
}
