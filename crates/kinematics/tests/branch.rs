//! One long step of continuation lands where many short ones do, or names a failure.

mod common;

use leanwright_kinematics::{Linkage, Pose, Side, Target};
use proptest::prelude::*;

const SHORT_STEPS: usize = 400;

/// The same pose in steps far shorter than those of the continuation itself.
fn in_short_steps(linkage: &Linkage, to: &Target) -> Option<Pose<f64>> {
    let part = |k: usize| {
        let share = k as f64 / SHORT_STEPS as f64;
        Target {
            lean: to.lean * share,
            steer: to.steer * share,
            mean_travel: None,
        }
    };
    let mut pose = *linkage.design_pose();
    for k in 1..=SHORT_STEPS {
        pose = linkage.advance(&pose, &part(k - 1), &part(k)).ok()?;
    }
    Some(pose)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2000) })]

    #[test]
    fn long_and_short_steps_end_in_one_pose(
        shifts in prop::collection::vec(-1.0f64..1.0, 30),
        size in 0.0f64..120.0,
        rocker in any::<bool>(),
        lean in -0.6f64..0.6,
        steer in -1.2f64..1.2,
    ) {
        let base = if rocker { common::with_rocker() } else { common::orchard_hauler() };
        let Ok(linkage) = Linkage::new(&common::shaken(base, size, &shifts)) else { return Ok(()) };
        let to = Target { lean, steer, mean_travel: None };
        let Ok(long) = linkage.pose(&to) else { return Ok(()) };
        let short = in_short_steps(&linkage, &to);
        let Some(short) = short else {
            return Err(TestCaseError::fail("long steps leapt to a pose that short steps do not reach"));
        };
        for side in [Side::Left, Side::Right] {
            let (a, b) = (long.corner(side), short.corner(side));
            for (p, q) in [(a.lower, b.lower), (a.upper, b.upper), (a.rod_outer, b.rod_outer)] {
                prop_assert!((p - q).norm() < 1e-3, "{p:?} against {q:?}");
            }
        }
    }
}
