//! Careless callers: whatever the machine and the target, a pose or a named failure comes
//! back, never a panic, a hang or a number that is none.

mod common;

use common::{orchard_hauler, shaken, with_rocker};
use leanwright_kinematics::{Drive, Failure, Linkage, Machine, Side, Target};
use proptest::prelude::*;

fn answers_soundly(machine: &Machine, target: &Target) {
    let Ok(linkage) = Linkage::new(machine) else {
        return;
    };
    if let Ok(pose) = linkage.pose(target) {
        for side in [Side::Left, Side::Right] {
            let at = pose.corner(side);
            assert!(at.contact.is_finite() && pose.steer_angle(side).is_finite());
            assert!((at.contact.dot(pose.up) + pose.height).abs() < 1e-6);
            assert!(
                ((at.rod_inner - at.rod_outer).norm()
                    - (linkage.machine().corner(side).rod_inner
                        - linkage.machine().corner(side).rod_outer)
                        .norm())
                .abs()
                    < 1e-6
            );
        }
        let rates = linkage.steer_rates(&pose, &Drive::new(target));
        assert!(rates[0].is_finite() && rates[1].is_finite());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn a_shaken_machine_gives_a_pose_or_a_named_failure(
        shifts in prop::collection::vec(-1.0f64..1.0, 30),
        size in prop::sample::select(vec![1.0, 30.0, 300.0]),
        lean in -1.6f64..1.6,
        steer in -3.5f64..3.5,
        rocker in any::<bool>(),
        travel in prop::option::of(-200.0f64..200.0),
    ) {
        let base = if rocker { with_rocker() } else { orchard_hauler() };
        answers_soundly(&shaken(base, size, &shifts), &Target { lean, steer, mean_travel: travel });
    }

    #[test]
    fn numbers_that_are_none_are_refused(value in prop::sample::select(vec![f64::NAN, f64::INFINITY]), which in 0usize..4) {
        let mut m = orchard_hauler();
        match which {
            0 => m.left.upper.ball_joint.z = value,
            1 => m.right.wheel.radius = value,
            2 => m.crank.direction.x = value,
            _ => m.rear.centre.x = value,
        }
        prop_assert!(Linkage::new(&m).is_err());
        let linkage = Linkage::new(&orchard_hauler()).unwrap();
        let failed = linkage.pose(&Target { lean: value, steer: 0.0, mean_travel: None });
        prop_assert!(matches!(failed, Err(Failure::NotConverged { .. })), "{failed:?}");
    }
}

#[test]
fn a_wheel_that_would_lie_flat_is_named() {
    let linkage = Linkage::new(&orchard_hauler()).unwrap();
    let failed = linkage.pose(&Target {
        lean: 1.57,
        steer: 0.0,
        mean_travel: None,
    });
    assert!(failed.is_err());
}
