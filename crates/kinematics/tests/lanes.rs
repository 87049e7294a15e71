//! A wider row of lanes gives the same bits as one lane.

mod common;

use common::{orchard_hauler, with_rocker};
use leanwright_kinematics::{Drive, Lane, Linkage, Pose, Row, Target};

fn targets() -> Vec<Target> {
    (0..24)
        .map(|i| Target {
            lean: (f64::from(i % 5) - 2.0) * 0.09,
            // The last ones lie beyond reach: a failing lane must not disturb its neighbours.
            steer: (f64::from(i % 7) - 3.0) * if i >= 20 { 0.9 } else { 0.2 },
            mean_travel: None,
        })
        .collect()
}

fn splat<L: Lane>(linkage: &Linkage) -> Pose<L> {
    linkage.design_in_lanes()
}

fn wide<const N: usize>(linkage: &Linkage) {
    let drives: Vec<Drive<f64>> = targets().iter().map(Drive::new).collect();
    for group in drives.chunks_exact(N) {
        let drive = Drive::<Row<N>>::gather(group);
        let together = linkage.solve(&drive, &splat(linkage));
        for (i, one) in group.iter().enumerate() {
            let alone = linkage.solve(one, linkage.design_pose());
            let place = together.lane(i);
            assert_eq!(alone.solved, place.solved);
            let bits = |p: &Pose<f64>| {
                [
                    p.left.contact.x,
                    p.right.axis.y,
                    p.height,
                    p.residual,
                    p.margins.fold,
                    p.margins.rod[0],
                ]
                .map(f64::to_bits)
            };
            // Bits of not-a-number may differ; nothing else may.
            if alone.residual.is_finite() {
                assert_eq!(bits(&alone), bits(&place));
            }
        }
    }
}

#[test]
fn two_four_and_eight_lanes_give_equal_bits() {
    for machine in [orchard_hauler(), with_rocker()] {
        let linkage = Linkage::new(&machine).unwrap();
        wide::<2>(&linkage);
        wide::<4>(&linkage);
        wide::<8>(&linkage);
    }
}
