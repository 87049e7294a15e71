//! Gaps of whole machines against points all over their parts, in random poses.

mod points;

use super::*;
use crate::Joint;
use crate::spread::random_share;
use kinematics::{Axis, Coupling, Drive, Machine, Rocker, Target};
use points::points;

#[path = "../../tests/common/mod.rs"]
mod common;

/// A layout with a rocker.
fn machine(layout: Machine) -> Machine {
    let foot = V3::new(0.0, 160.0, 190.0);
    Machine {
        coupling: Coupling::Rocker(Rocker {
            axis: Axis {
                point: V3::new(0.0, 0.0, 400.0),
                direction: V3::new(1.0, 0.0, 0.0),
            },
            arm: 120.0,
            left_foot: foot,
            right_foot: foot.mirrored(),
        }),
        ..layout
    }
}

/// The hauler's body with two stands turned about the vertical and a board in front.
fn body() -> Body {
    let mut body = common::parts::body();
    for (held, sign) in body.boxes.iter_mut().zip([1.0, -1.0]) {
        held.block.centre = V3::new(-360.0, 230.0 * sign, 220.0);
        held.block.half = [30.0, 25.0, 120.0];
        let (c, s) = (libm::cos(0.4), libm::sin(0.4) * sign);
        let up = V3::new(0.0, 0.0, 1.0);
        held.block.axes = held.block.axes.map(|axis| axis.rotated(up, c, s));
    }
    let board = &mut body.boxes[2];
    board.block.centre = V3::new(330.0, 0.0, 420.0);
    board.block.half = [90.0, 330.0, 60.0];
    board.carries = Carries::default();
    body
}

/// A small box beside the handlebar's link.
fn beside_the_link() -> FrameBox {
    let mut held = common::parts::body().boxes[2];
    held.block.centre = V3::new(-270.0, 90.0, 231.0);
    held.block.half = [10.0; 3];
    held.carries = Carries::default();
    held
}

/// Whether two parts are measured against each other, said once more in other words.
fn measured(a: Part, b: Part) -> bool {
    use Part::{BrakeDisc, Caliper, CentreLink, CrossRod, DragLink};
    use Part::{HandlebarLink, Hub, Leg, Rim, RockerLink, Rod, Spokes, Tyre};
    let knuckle = |p: Part| match p {
        Tyre(s) | Spokes(s) | Rim(s) | Hub(s) | BrakeDisc(s) | Caliper(s) => Some(s),
        _ => None,
    };
    let arm = |p: Part| match p {
        Leg(s, Joint::LowerFrontPivot | Joint::LowerRearPivot) => Some((s, 0)),
        Leg(s, _) => Some((s, 1)),
        _ => None,
    };
    match (a, b) {
        (Part::RearTyre | Part::RearSpokes, other) => matches!(other, Part::Box(_)),
        (Part::Box(_), Part::Box(_)) => false,
        (Part::Box(_), _) => true,
        _ if knuckle(a).is_some() && knuckle(b).is_some() => false,
        // Across the machine only the rods may meet anything of the other side.
        (Rod(_) | CentreLink | HandlebarLink, CentreLink)
        | (CentreLink, Rod(_) | HandlebarLink) => false,
        (Rod(_) | CrossRod | DragLink | CentreLink | HandlebarLink, _) => true,
        (RockerLink(s), RockerLink(t)) => s == t && a != b,
        (RockerLink(s), _) => match (arm(b), knuckle(b)) {
            (Some((t, upper)), _) => s == t && upper == 1,
            (_, Some(t)) => s == t,
            _ => false,
        },
        _ => match (arm(a), arm(b), knuckle(a), knuckle(b)) {
            (Some((s, x)), Some((t, y)), _, _) => s == t && x != y,
            (Some((s, _)), _, _, Some(t)) | (_, Some((t, _)), Some(s), _) => s == t,
            _ => false,
        },
    }
}

#[test]
fn the_smallest_gap_is_that_of_points_all_over_the_parts() {
    let layouts = [
        common::hauler(),
        common::idler(),
        common::cross_rod(),
        common::slider(),
        common::linked(),
    ];
    let linkages = layouts.map(|layout| Linkage::new(&machine(layout)).expect("it assembles"));
    let mut kinds = Vec::new();
    for case in 0..24_u64 {
        let linkage = &linkages[(case % 6).saturating_sub(1) as usize];
        // A slider is driven in mm.
        let drive = if case % 6 == 4 { 40.0 } else { 0.55 };
        let mut body = body();
        if case % 2 == 1 {
            (body.disc, body.hub, body.caliper) = (None, None, None);
        }
        if case % 4 == 3 {
            body.boxes.clear();
        }
        if linkage.machine().handlebar.is_some() {
            body.boxes.push(beside_the_link());
        }
        let fitted = Fitted::new(&body, linkage);
        let share = |k: u64| 2.0 * random_share(5, case, k) - 1.0;
        let to = Target {
            lean: 0.3 * share(0),
            steer: drive * share(1),
            mean_travel: None,
        };
        let from = Target {
            lean: 0.0,
            steer: 0.0,
            mean_travel: None,
        };
        let pose = linkage.advance(linkage.design_pose(), &from, &to);
        let pose = pose.expect("within reach");
        assert!(linkage.solve(&Drive::new(&to), &pose).solved);
        let posed = fitted.posed(&pose);
        let mut all: Vec<(Part, Solid)> = Vec::new();
        for side in SIDES {
            all.extend(posed.legs[side as usize]);
            all.extend(posed.wheel(side));
        }
        all.extend(posed.rods());
        all.extend(posed.links());
        all.extend(posed.rear);
        all.extend(fitted.boxes().map(|(_, part)| part));
        let sampled: Vec<_> = all.iter().map(|(_, solid)| points(solid)).collect();
        let mut nearest = f64::INFINITY;
        for (i, (a, _)) in all.iter().enumerate() {
            for (k, (b, _)) in all.iter().enumerate().skip(i + 1) {
                if !(measured(*a, *b) || measured(*b, *a)) {
                    continue;
                }
                let ((p, r), (q, s)) = (&sampled[i], &sampled[k]);
                let core = |step: usize| {
                    let far = |x: &V3<f64>| {
                        let apart = q.iter().step_by(step).map(|y| (*x - *y).norm2());
                        apart.fold(f64::INFINITY, f64::min)
                    };
                    let all = p.iter().step_by(step).map(far);
                    all.fold(f64::INFINITY, f64::min).sqrt() - r - s
                };
                // A look at few points leaves out what is far away.
                if core(10) < nearest + 120.0 {
                    nearest = nearest.min(core(1));
                }
            }
        }
        let gap = fitted.smallest(&pose, Gaps::All, f64::INFINITY);
        let pair = gap.pair.expect("some pair is nearest");
        kinds.push(pair);
        assert!(
            gap.mm <= nearest + 1e-6 && (gap.mm > nearest - 2.0 || gap.mm < 0.0),
            "{case}: {pair:?} {} {nearest}",
            gap.mm
        );
        // The kinds cover the whole between them.
        let apart = [Gaps::Wheel, Gaps::Rod, Gaps::Box]
            .map(|gaps| fitted.smallest(&pose, gaps, f64::INFINITY).mm);
        assert!(apart.iter().all(|mm| *mm >= gap.mm));
    }
    kinds.sort_by_key(|pair| format!("{pair:?}"));
    kinds.dedup();
    assert!(kinds.len() >= 3, "{kinds:?}");
    let link = |pair: &Pair| pair.contains(&Part::HandlebarLink);
    assert!(kinds.iter().any(link), "{kinds:?}");
}

#[test]
fn ground_is_below_the_lowest_point() {
    let linkage = Linkage::new(&machine(common::hauler())).expect("it assembles");
    let mut body = body();
    let fitted = Fitted::new(&body, &linkage);
    let gap = fitted.smallest(linkage.design_pose(), Gaps::Ground, f64::INFINITY);
    // The boxes beside the rear end at 220 − 120 mm.
    assert!((gap.mm - 100.0).abs() < 1e-9, "{gap:?}");
    body.boxes.clear();
    let fitted = Fitted::new(&body, &linkage);
    let gap = fitted.smallest(linkage.design_pose(), Gaps::Ground, f64::INFINITY);
    // The lower ball joint stands at 170 mm, the leg's radius is 10.
    assert!((gap.mm - 160.0).abs() < 1e-9, "{gap:?}");
    assert!(matches!(gap.pair, Some([Part::Leg(..), Part::Ground])));
}
