//! Whatever the hardpoints: finite answers, and values without cliffs for the search to fall off.

mod common;

use common::*;
use kinematics::Linkage;
use leanwright_mechanics::{Answer, Over, Quantity, Settings};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Whatever the hardpoints, every answer is finite, and a small move changes it little unless
    /// a pose is lost.
    #[test]
    fn answers_are_finite_and_continuous(moves in prop::collection::vec(-40.0..40.0f64, 12)) {
        let moved = |extra: f64| {
            let mut machine = hauler();
            let l = &mut machine.left;
            let points = [
                &mut l.rod_outer, &mut l.rod_inner, &mut l.lower.ball_joint,
                &mut l.upper.ball_joint,
            ];
            for (point, m) in points.into_iter().zip(moves.chunks(3)) {
                *point = *point + v(m[0] + extra, m[1] - extra, m[2] + extra);
            }
            machine.right = machine.left.mirrored();
            machine
        };
        let asks = everything();
        if let (Ok(_), Ok(_)) = (Linkage::new(&moved(0.0)), Linkage::new(&moved(1e-7))) {
            let before = answers(&moved(0.0), &settings(), &asks);
            let after = answers(&moved(1e-7), &settings(), &asks);
            // Past a dead centre a machine may flip from one assembly to the other; what is not
            // worth searching is only asked for finite numbers.
            let sane = |all: &[Answer]| all[Quantity::SteeringError as usize].value < 15.0;
            let sane = sane(&before) && sane(&after);
            for ((ask, a), b) in asks.iter().zip(&before).zip(&after) {
                prop_assert!(a.value.is_finite() && (0.0..=1.0).contains(&a.shortfall));
                let name = ask.quantity.name();
                let whole = sane && a.shortfall == 0.0 && b.shortfall == 0.0;
                let change = (a.value - b.value).abs();
                // Whether a lean sweep to 45° gets past a near-singularity hangs on a hair; ends by
                // joint limits are smooth and have their own test.
                let slack = match ask.quantity {
                    Quantity::LeanRange => f64::INFINITY,
                    _ => 1e-3 * (1.0 + a.value.abs()),
                };
                prop_assert!(!whole || change < slack, "{name}: {a:?} {b:?}");
                let lost = (a.shortfall - b.shortfall).abs();
                prop_assert!(!sane || lost < 1e-2, "{name}: {a:?} {b:?}");
            }
        }
    }
}

/// With limited joints the lean range has a slope in every hardpoint.
#[test]
fn lean_range_by_joint_limits_is_smooth() {
    let range = |offset: f64| {
        let mut machine = hauler();
        machine.left.upper.ball_joint.z += offset;
        machine.right = machine.left.mirrored();
        let limited = Settings {
            ball_joint_limit_deg: Some(18.0),
            ..settings()
        };
        answer(&machine, &limited, Quantity::LeanRange, Over::Design).value
    };
    let slope = |at: f64, step: f64| (range(at + step) - range(at - step)) / (2.0 * step);
    for at in [-20.0, -3.0, 8.0] {
        let (fine, coarse) = (slope(at, 1e-3), slope(at, 1e-1));
        assert!(
            fine != 0.0 && (fine - coarse).abs() < 1e-3,
            "{fine} {coarse}"
        );
    }
}
