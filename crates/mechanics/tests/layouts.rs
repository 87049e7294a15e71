//! The other steering layouts: link angles, rates and stops follow what moves each rod.

mod common;

use common::*;
use kinematics::{Drive, Layout, Linkage, Side, Target};
use leanwright_mechanics::{Ask, Over, Quantity, Survey};

/// Turn of each knuckle per unit of the drive, from the poses: the knuckle's own frame turns
/// about a kingpin that the wishbones hold almost still over a small step.
#[test]
fn one_braked_wheel_pulls_the_drive_as_virtual_work_says() {
    for machine in [hauler(), slider(), idler(), cross_rod()] {
        let linkage = Linkage::new(&machine).expect("assembles");
        let at = |steer: f64| {
            let target = Target {
                lean: 0.0,
                steer,
                mean_travel: None,
            };
            linkage.solve(&Drive::new(&target), linkage.design_pose())
        };
        let step = 1e-3;
        let (a, b) = (at(-step), at(step));
        assert!(a.solved && b.solved);
        let ratios = [Side::Left, Side::Right].map(|s| {
            let (from, to) = (a.corner(s), b.corner(s));
            let sine = from.kingpin.dot(from.across.cross(to.across));
            (sine / (2.0 * step)).abs()
        });
        let arm = |s| answer(&machine, &settings(), s, Over::Design).value.abs();
        let per_unit = match machine.layout {
            // The handlebar turns 1° per mm of slider unless the file says otherwise.
            Layout::Slider => 1f64.to_degrees(),
            _ => 1.0,
        };
        let expected = per_unit * arm(Quantity::BrakeSteerArm) * ratios[0].max(ratios[1]);
        let found = arm(Quantity::BrakeSteerOneWheel);
        let off = (found / expected - 1.0).abs();
        assert!(off < 0.02, "{:?}: {found} {expected}", machine.layout);
    }
}

#[test]
fn every_layout_answers_everything() {
    for machine in [slider(), idler(), cross_rod()] {
        let asks: Vec<Ask> = everything();
        for (ask, a) in asks.iter().zip(answers(&machine, &settings(), &asks)) {
            let name = ask.quantity.name();
            assert!(
                a.value.is_finite() && (0.0..=1.0).contains(&a.shortfall),
                "{name}: {a:?}"
            );
        }
        let linkage = Linkage::new(&machine).expect("assembles");
        let survey = Survey::new(&linkage, &settings()).expect("settings make sense");
        let design = survey.design();
        let angles = design
            .knuckle_angle_deg
            .into_iter()
            .chain(design.crank_angle_margin_deg);
        assert!(angles.into_iter().all(|a| a > 15.0), "{:?}", machine.layout);
        let ends = survey.steering_ends(0.0).expect("upright");
        assert!(
            ends.iter().all(|e| e.at.steer_deg[0].abs() > 5.0),
            "{ends:?}"
        );
    }
}
