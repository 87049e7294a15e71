//! Properties of a handlebar that turns the crank by a drag link.

mod common;

use common::orchard_hauler;
use leanwright_kinematics::{
    Axis, DesignFault, Drive, Failure, Handlebar, Lane, Layout, Linkage, Loop, Machine, Pose, Row,
    Side, Target, V3,
};
use proptest::prelude::*;

/// A handlebar behind and above the crank, turning about a tilted axis.
fn linked() -> Machine {
    let mut machine = orchard_hauler();
    machine.handlebar = Some(Handlebar {
        axis: Axis {
            point: V3::new(-420.0, 0.0, 240.0),
            direction: V3::new(-0.3, 0.0, 1.0),
        },
        arm_end: V3::new(-420.0, 70.0, 240.0),
        crank_end: V3::new(-120.0, 60.0, 225.0),
    });
    machine
}

fn steered(lean: f64, steer: f64) -> Target {
    Target {
        lean,
        steer,
        mean_travel: None,
    }
}

fn crank_angle(pose: &Pose<f64>) -> f64 {
    pose.steer[0].atan2(pose.steer[1])
}

proptest! {
    /// The pose is that of the crank's own angle on the machine without a handlebar.
    #[test]
    fn a_handlebar_only_turns_the_crank(lean in -0.2..0.2f64, steer in -0.5..0.5f64) {
        let (linked, plain) = (linked(), orchard_hauler());
        let linkage = Linkage::new(&linked).unwrap();
        let pose = linkage.pose(&steered(lean, steer)).unwrap();
        let crank = crank_angle(&pose);
        let other = Linkage::new(&plain).unwrap().pose(&steered(lean, crank)).unwrap();
        for side in [Side::Left, Side::Right] {
            let apart = pose.corner(side).centre - other.corner(side).centre;
            prop_assert!(apart.norm() < 1e-8, "{}", apart.norm());
        }
        let handlebar = linked.handlebar.unwrap();
        let [arm_end, crank_end] = linkage.handlebar_link(&pose).unwrap();
        let drawn = (handlebar.crank_end - handlebar.arm_end).norm();
        prop_assert!(((crank_end - arm_end).norm() - drawn).abs() < 1e-9);
    }

    /// Equal bits for one lane and eight.
    #[test]
    fn lanes_agree_to_the_last_bit(steer in -0.4..0.4f64) {
        let linkage = Linkage::new(&linked()).unwrap();
        let drives: Vec<Drive<f64>> = (0..8)
            .map(|k| Drive::new(&steered(0.01 * f64::from(k), steer)))
            .collect();
        let row: Pose<Row<8>> =
            linkage.solve(&Drive::gather(&drives), &linkage.design_in_lanes());
        for (k, drive) in drives.iter().enumerate() {
            let one = linkage.solve(drive, linkage.design_pose());
            let lane = row.lane(k);
            prop_assert_eq!(one.steer[0].to_bits(), lane.steer[0].to_bits());
            prop_assert_eq!(one.left.centre.x.to_bits(), lane.left.centre.x.to_bits());
            prop_assert_eq!(
                one.margins.handlebar.to_bits(),
                row.margins.handlebar.get(k).to_bits()
            );
        }
    }
}

#[test]
fn rates_are_those_of_the_handlebar() {
    let linkage = Linkage::new(&linked()).unwrap();
    let at = |steer: f64| linkage.pose(&steered(0.1, steer)).unwrap();
    let step = 1e-4;
    let (low, here, high) = (at(0.3 - step), at(0.3), at(0.3 + step));
    let difference = (crank_angle(&high) - crank_angle(&low)) / (2.0 * step);
    assert!((linkage.crank_per_handlebar(&here) - difference).abs() < 1e-6);
    let rates = linkage.steer_rates(&here, &Drive::new(&steered(0.1, 0.3)));
    for (rate, side) in rates.into_iter().zip([Side::Left, Side::Right]) {
        let turned = high.steer_angle(side) - low.steer_angle(side);
        assert!((turned / (2.0 * step) - rate).abs() < 1e-5 * rate.abs());
    }
}

/// Equal arms on parallel axes and a link parallel to the line between them: the crank turns as
/// the handlebar does.
#[test]
fn a_true_parallelogram_turns_the_crank_alike() {
    let mut machine = orchard_hauler();
    let crank = machine.crank.point;
    let arm = V3::new(0.0, 60.0, 0.0);
    let behind = V3::new(-300.0, 0.0, 0.0);
    machine.handlebar = Some(Handlebar {
        axis: Axis {
            point: crank + behind,
            direction: machine.crank.direction,
        },
        arm_end: crank + behind + arm,
        crank_end: crank + arm,
    });
    let linkage = Linkage::new(&machine).unwrap();
    for steer in [-0.6, 0.2, 0.6] {
        let pose = linkage.pose(&steered(0.0, steer)).unwrap();
        assert!((crank_angle(&pose) - steer).abs() < 1e-12);
    }
}

/// The link is longer than the crank's arm can follow: beyond its dead centre there is no pose,
/// and the last one before it stands.
#[test]
fn beyond_the_links_dead_centre_the_handlebar_is_named() {
    let mut machine = linked();
    // A long arm on the handlebar, a short one on the crank.
    let handlebar = machine.handlebar.as_mut().unwrap();
    handlebar.arm_end = V3::new(-420.0, 150.0, 240.0);
    handlebar.crank_end = V3::new(-120.0, 40.0, 225.0);
    let linkage = Linkage::new(&machine).unwrap();
    let why = linkage.pose(&steered(0.0, 1.2)).unwrap_err();
    let Failure::CannotAssemble { which, .. } = why else {
        panic!("{why}");
    };
    assert_eq!(which, Loop::Handlebar);
    assert!(why.to_string().contains("handlebar's drag link"), "{why}");
    // The way there ends where the margin does.
    let (mut low, mut high) = (0.0, 1.2);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        match linkage.pose(&steered(0.0, middle)) {
            Ok(_) => low = middle,
            Err(_) => high = middle,
        }
    }
    let last = linkage.pose(&steered(0.0, low)).unwrap();
    assert!(last.margins.handlebar < 1e-3, "{}", last.margins.handlebar);
}

#[test]
fn a_misdrawn_handlebar_is_named() {
    let with = |change: &dyn Fn(&mut Handlebar)| {
        let mut machine = linked();
        change(machine.handlebar.as_mut().unwrap());
        Linkage::new(&machine).unwrap_err()
    };
    let on_axis = with(&|h| h.arm_end = h.axis.point);
    assert_eq!(on_axis, DesignFault::HandlebarShape);
    let on_crank = with(&|h| h.crank_end = V3::new(-120.0, 0.0, 225.0));
    assert_eq!(on_crank, DesignFault::HandlebarShape);
    let no_axis = with(&|h| h.axis.direction = V3::new(0.0, 0.0, 0.0));
    assert_eq!(no_axis, DesignFault::ZeroAxis);
    // Link and crank arm in one line.
    let flat = with(&|h| {
        h.axis.point = V3::new(-420.0, -70.0, 225.0);
        h.arm_end = V3::new(-420.0, 0.0, 225.0);
        h.crank_end = V3::new(-60.0, 0.0, 225.0);
    });
    assert_eq!(flat, DesignFault::AtDeadCentre(Loop::Handlebar));
    let mut slides = linked();
    slides.layout = Layout::Slider;
    assert_eq!(
        Linkage::new(&slides).unwrap_err(),
        DesignFault::HandlebarShape
    );
}
