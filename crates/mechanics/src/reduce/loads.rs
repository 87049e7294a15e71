//! Quantities over the load cases.

use super::Worst;
use crate::candidate::SIDES;
use crate::loads::{Book, CornerForces, Loaded};
use crate::plan::View;
use crate::strength::{StubAxle, critical_load};
use crate::{Answer, Joint, Quantity, Where};
use kinematics::{Pose, Side};

/// The answer of a quantity over the load cases; `None` for any other.
pub(super) fn answer(view: &View) -> Option<Answer> {
    use Quantity as Q;
    let axle = view.candidate.axle;
    let worst = match view.ask().quantity {
        Q::BallJointForce
        | Q::RodForce
        | Q::WishboneLegForce
        | Q::PivotForce
        | Q::CouplingMoment
        | Q::JointUse
        | Q::RodBuckling => members(view),
        Q::StubAxleSafety | Q::StubAxleYieldSafety => safety(view, axle?),
        Q::StubAxleDamage => damage(view, axle?),
        Q::StubAxleCamber | Q::StubAxleToe => tilt(view, axle?),
        Q::StubAxleMass => {
            return Some(Answer {
                value: axle?.mass_kg(),
                ..Answer::default()
            });
        }
        _ => return None,
    };
    let book = view.book();
    let mut answer = worst.answer(book.shortfall, |value| value);
    // A safety that nothing loads is no answer at all: it stays what was seen.
    answer.shortfall = answer.shortfall.min(1.0);
    Some(answer)
}

fn place(view: &View, loaded: &Loaded, side: Side) -> Where {
    Where {
        side: Some(side),
        case: Some(loaded.case),
        ..view.candidate.place(&loaded.sample)
    }
}

const PIVOTS: [[Joint; 2]; 2] = [
    [Joint::LowerFrontPivot, Joint::LowerRearPivot],
    [Joint::UpperFrontPivot, Joint::UpperRearPivot],
];
const BALLS: [Joint; 2] = [Joint::LowerBall, Joint::UpperBall];

fn members(view: &View) -> Worst {
    let mut worst = Worst::largest();
    for loaded in &view.book().entries {
        for side in SIDES {
            let forces = &loaded.members[side as usize];
            let mut see = |value: f64, joint: Option<Joint>| {
                worst.see(value, || Where {
                    joint,
                    ..place(view, loaded, side)
                });
            };
            one_corner(view, forces, &loaded.sample.pose, side, &mut see);
        }
    }
    worst
}

fn one_corner(
    view: &View,
    forces: &CornerForces,
    pose: &Pose<f64>,
    side: Side,
    see: &mut impl FnMut(f64, Option<Joint>),
) {
    let parts = &view.candidate.inner.parts;
    let ratings = &parts.ratings;
    let pivots = || (0..4).map(|i| (PIVOTS[i / 2][i % 2], forces.pivots[i / 2][i % 2].norm()));
    match view.ask().quantity {
        Quantity::BallJointForce => {
            for (joint, ball) in BALLS.into_iter().zip(forces.balls) {
                see(ball.norm(), Some(joint));
            }
        }
        Quantity::RodForce => see(forces.rod.abs(), Some(Joint::OuterRodEnd)),
        Quantity::WishboneLegForce => {
            for i in 0..4 {
                let leg = forces.legs[i / 2][i % 2].abs();
                see(leg, Some(PIVOTS[i / 2][i % 2]));
            }
        }
        Quantity::PivotForce => {
            for (joint, force) in pivots() {
                see(force, Some(joint));
            }
        }
        Quantity::CouplingMoment => see(1e-3 * forces.coupling_moment.abs(), None),
        Quantity::JointUse => {
            let rated = [ratings.lower_ball, ratings.upper_ball];
            for i in 0..2 {
                if let Some(rating) = rated[i] {
                    see(forces.balls[i].norm() / rating, Some(BALLS[i]));
                }
            }
            if let Some(rating) = ratings.rod_end {
                see(forces.rod.abs() / rating, Some(Joint::OuterRodEnd));
            }
            if let Some(rating) = ratings.pivot {
                for (joint, force) in pivots() {
                    see(force / rating, Some(joint));
                }
            }
        }
        _ => {
            if let Some(rod) = &parts.rod {
                let push = (-forces.rod).max(0.0);
                let length = rod_length(pose, side);
                see(push / critical_load(rod, length), Some(Joint::OuterRodEnd));
            }
        }
    }
}

/// Length of the rod that turns a knuckle, mm.
pub(crate) fn rod_length(pose: &Pose<f64>, side: Side) -> f64 {
    let corner = pose.corner(side);
    match pose.drag.filter(|drag| drag.driven == side) {
        Some(drag) => (drag.inner - drag.outer).norm(),
        None => (corner.rod_inner - corner.rod_outer).norm(),
    }
}

/// Shows each load cycle of each wheel with its place.
fn cycles<'v>(
    view: &'v View<'_, '_>,
    axle: &StubAxle,
    spot: usize,
    mut show: impl FnMut(&'v Loaded, Side, crate::Stress),
) {
    let at = axle.spot(spot);
    let book: &Book = view.book();
    for loaded in &book.entries {
        let cycle = view.candidate.inner.parts.cases[loaded.case].cycle;
        for side in SIDES {
            let from = book.other_end(loaded, side, cycle);
            let to = loaded.axles[side as usize];
            show(loaded, side, axle.stress(&at, &from, &to).stress);
        }
    }
}

fn safety(view: &View, axle: &StubAxle) -> Worst {
    let fatigue = view.ask().quantity == Quantity::StubAxleSafety;
    let cases = &view.candidate.inner.parts.cases;
    let mut worst = Worst::smallest();
    for spot in 0..axle.spot_count() {
        let line = axle.woehler_line(&axle.spot(spot));
        cycles(view, axle, spot, |loaded, side, stress| {
            let value = match fatigue {
                true => {
                    let strength = line.strength(cases[loaded.case].cycles);
                    stress.safety(axle.criterion, strength, &axle.material)
                }
                false => stress.yield_safety(&axle.material),
            };
            worst.see(value, || Where {
                spot: Some(spot),
                ..place(view, loaded, side)
            });
        });
    }
    worst
}

/// Each case counts once per wheel, in its worst variant.
fn damage(view: &View, axle: &StubAxle) -> Worst {
    let mut worst = Worst::largest();
    let cases = &view.candidate.inner.parts.cases;
    for spot in 0..axle.spot_count() {
        let line = axle.woehler_line(&axle.spot(spot));
        // Of a symmetric machine one wheel stands for both.
        let wheels: &[Option<Side>] = match view.candidate.symmetric {
            true => &[None],
            false => &[Some(Side::Left), Some(Side::Right)],
        };
        for wheel in wheels {
            let (mut sum, mut case, mut most) = (0.0, None, 0.0_f64);
            let mut heaviest: Option<(f64, &Loaded, Side)> = None;
            cycles(view, axle, spot, |loaded, side, stress| {
                if wheel.is_some_and(|w| w != side) {
                    return;
                }
                if case != Some(loaded.case) {
                    sum += most;
                    (case, most) = (Some(loaded.case), 0.0);
                }
                let count = cases[loaded.case].cycles;
                let used = crate::miner(core::iter::once((stress, count)), &line, &axle.material);
                most = most.max(used);
                if heaviest.is_none_or(|(known, ..)| used > known) {
                    heaviest = Some((used, loaded, side));
                }
            });
            if let Some((_, loaded, side)) = heaviest {
                let sum = (sum + most).min(crate::strength::MOST_DAMAGE);
                worst.see(sum, || Where {
                    spot: Some(spot),
                    ..place(view, loaded, side)
                });
            }
        }
    }
    worst
}

fn tilt(view: &View, axle: &StubAxle) -> Worst {
    let camber = view.ask().quantity == Quantity::StubAxleCamber;
    let mut worst = Worst::largest();
    for loaded in &view.book().entries {
        for side in SIDES {
            let tilt = axle.tilt(&loaded.axles[side as usize]);
            let angle = if camber { tilt.up } else { tilt.forward };
            worst.see(angle.abs().to_degrees(), || place(view, loaded, side));
        }
    }
    worst
}
