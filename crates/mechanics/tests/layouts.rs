//! The other steering layouts: link angles, rates and stops follow what moves each rod.

mod common;

use common::*;
use kinematics::{Drive, Layout, Linkage, Side, Target, V3};
use leanwright_mechanics::{Ask, Joint, Over, Point, Quantity, Stop, Survey};

/// Turn of each knuckle per unit of the drive, from the poses: the knuckle's own frame turns
/// about a kingpin that the wishbones hold almost still over a small step.
#[test]
fn one_braked_wheel_pulls_the_drive_as_virtual_work_says() {
    for machine in [hauler(), slider(), idler(), cross_rod(), linked()] {
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
    for machine in [slider(), idler(), cross_rod(), linked()] {
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

/// Handlebar degrees per degree of the wheels: the crank's ratio times d(handlebar)/d(crank).
#[test]
fn a_drag_link_multiplies_the_steering_ratio() {
    let (plain, machine) = (hauler(), linked());
    let linkage = Linkage::new(&machine).expect("assembles");
    let survey = Survey::new(&linkage, &settings()).expect("settings make sense");
    let point = survey.over_lean([8.0, 8.0], 1.0, 12.0)[0];
    let target = Target {
        lean: point.lean_deg.to_radians(),
        steer: point.crank_deg.to_radians(),
        mean_travel: None,
    };
    let pose = linkage.pose(&target).expect("reached");
    let crank = pose.steer[0].atan2(pose.steer[1]);
    let own = Linkage::new(&plain).expect("assembles");
    let there = Target {
        steer: crank,
        ..target
    };
    let rates = own.steer_rates(&own.pose(&there).expect("reached"), &Drive::new(&there));
    let per_crank = 1.0 / (0.5 * (rates[0] + rates[1])).abs();
    let expected = per_crank / linkage.crank_per_handlebar(&pose).abs();
    let off = point.steering_ratio / expected - 1.0;
    assert!(off.abs() < 1e-6, "{point:?} {expected}");
}

/// In one and the same pose every torque on the handlebar is the crank's times
/// d(crank)/d(handlebar): virtual work, with the rate from the kinematics.
#[test]
fn a_drag_link_passes_torques_on_as_virtual_work_says() {
    let (plain, machine) = (hauler(), linked());
    let [own, linkage] = [&plain, &machine].map(|m| Linkage::new(m).expect("assembles"));
    for (lean, bar) in [(0.0_f64, 0.0_f64), (8.0, 12.0), (-6.0, 10.0)] {
        let at = |linkage: &Linkage, steer: f64| {
            let survey = Survey::new(linkage, &settings()).expect("settings make sense");
            survey.over_lean([lean, lean], 1.0, steer)[0]
        };
        let target = Target {
            lean: lean.to_radians(),
            steer: bar.to_radians(),
            mean_travel: None,
        };
        let pose = linkage.pose(&target).expect("reached");
        let crank = pose.steer[0].atan2(pose.steer[1]);
        let rate = linkage.crank_per_handlebar(&pose).abs();
        let (by_bar, by_crank) = (at(&linkage, bar), at(&own, crank.to_degrees()));
        // All count as positive, or as magnitudes, what resists turning away from straight.
        let torques = |p: &Point| {
            [p.scrub_torque_nm, p.side_torque_nm, p.handlebar_torque_nm].map(|t| t.expect("masses"))
        };
        for (found, per_crank) in torques(&by_bar).into_iter().zip(torques(&by_crank)) {
            let off = (found - rate * per_crank).abs();
            assert!(
                off < 1e-4 * (1.0 + found.abs()),
                "{lean} {bar}: {found} {per_crank} {rate}"
            );
        }
        assert!(by_bar.scrub_torque_nm.expect("masses") > 0.5);
    }
}

/// Where the link stands askew to the crank's arm, it comes into line with it before the rods do.
#[test]
fn the_handlebars_dead_centre_stops_the_steering_by_name() {
    let mut machine = linked();
    let handlebar = machine.handlebar.as_mut().expect("linked");
    // The link at 45° to the crank's arm, which stands at 90° to the handlebar's long one.
    handlebar.axis.point = v(-420.0, -120.0, 222.0);
    handlebar.axis.direction = v(0.0, 0.0, 1.0);
    handlebar.arm_end = v(-420.0, 30.0, 222.0);
    handlebar.crank_end = v(-90.0, 30.0, 222.0);
    let linkage = Linkage::new(&machine).expect("assembles");
    let survey = Survey::new(&linkage, &settings()).expect("settings make sense");
    let ends = survey.steering_ends(0.0).expect("upright");
    assert!(
        ends.iter().any(|e| e.stop == Stop::HandlebarDeadCentre),
        "{ends:?}"
    );
    let least = ends.map(|e| e.at.handlebar_link_deg.expect("linked")[0]);
    // 15 degrees is the smallest transmission angle that counts as steering.
    assert!(
        least.into_iter().any(|deg| (deg - 15.0).abs() < 1e-6),
        "{least:?}"
    );
}

/// Rod ends of the drag links against a search over every spin of the link, poses from the
/// kinematics (the spin of a rod is free, so both ends share the best one).
#[test]
fn drag_links_tilt_their_rod_ends_and_limit_by_them() {
    let mut limited = settings();
    for (machine, joints) in [
        (
            linked(),
            [Joint::HandlebarLinkArm, Joint::HandlebarLinkCrank],
        ),
        (cross_rod(), [Joint::DragLinkInner, Joint::DragLinkOuter]),
    ] {
        let linkage = Linkage::new(&machine).expect("assembles");
        let place = Target {
            lean: 0.15,
            steer: 0.2,
            mean_travel: None,
        };
        let pose = linkage.pose(&place).expect("reached");
        let design = *linkage.design_pose();
        let of = |pose: &kinematics::Pose<f64>| -> [V3<f64>; 4] {
            let crank = machine.crank.direction.unit();
            match machine.handlebar {
                Some(bar) => {
                    let [a, b] = linkage.handlebar_link(pose).expect("linked");
                    [a, b, bar.axis.direction.unit(), crank]
                }
                None => {
                    let drag = pose.drag.expect("a drag link");
                    let corner = pose.corner(drag.driven);
                    [drag.inner, drag.outer, crank, corner.kingpin]
                }
            }
        };
        let found = brute(of(&design), of(&pose));
        let point = Survey::new(&linkage, &settings())
            .expect("settings make sense")
            .over_lean([place.lean.to_degrees(); 2], 1.0, place.steer.to_degrees())[0];
        let ends: Vec<(Joint, f64)> = point.link_rod_end_deg.into_iter().flatten().collect();
        let tilted: Vec<f64> = ends.iter().map(|(_, deg)| *deg).collect();
        assert_eq!([ends[0].0, ends[1].0], joints);
        let worst = tilted[0].max(tilted[1]);
        assert!((worst - found).abs() < 1e-3, "{tilted:?} {found}");
        // A limit just below it stops the lean there.
        limited.rod_end_limit_deg = Some(0.9 * worst);
        let stops = Survey::new(&linkage, &limited)
            .expect("settings make sense")
            .lean_ends(place.steer.to_degrees());
        let stops = stops.expect("upright");
        assert!(
            stops.iter().any(
                |s| matches!(s.stop, Stop::LinkJointLimit(j) if joints.contains(&j))
                    || matches!(s.stop, Stop::JointLimit(..))
            ),
            "{stops:?}"
        );
    }
}

/// Smallest over the link's spin of the larger misalignment, degrees, by trying spins. Each is
/// [inner end, outer end, inner bolt, outer bolt]; the eyes are set best in the design pose.
fn brute(design: [V3<f64>; 4], now: [V3<f64>; 4]) -> f64 {
    let eyes = |[a, b, inner, outer]: [V3<f64>; 4]| {
        let along = (b - a).unit();
        (
            along,
            inner.across(along).unit(),
            outer.across(along).unit(),
        )
    };
    let (along, inner, outer) = eyes(design);
    let clock = along.dot(inner.cross(outer)).atan2(inner.dot(outer));
    let (along, first, _) = eyes(now);
    let tilt = |eye: V3<f64>, bolt: V3<f64>| eye.dot(bolt).abs().min(1.0).acos().to_degrees();
    let spins = (0..200_000).map(|k| {
        let spin = f64::from(k) * core::f64::consts::TAU / 200_000.0;
        let one = first.rotated(along, spin.cos(), spin.sin());
        let two = one.rotated(along, clock.cos(), clock.sin());
        tilt(one, now[2]).max(tilt(two, now[3]))
    });
    spins.fold(f64::INFINITY, f64::min)
}
