//! Quantities over the load cases.

use super::Worst;
use crate::candidate::SIDES;
use crate::loads::{Book, CornerForces, Loaded};
use crate::plan::View;
use crate::strength::{MOST_DAMAGE, StubAxle, Tube, critical_load, miner};
use crate::{Answer, Joint, Quantity, Where};
use kinematics::{Pose, Side, Wishbone};

/// The answer of a quantity over the load cases; `None` for any other.
pub(super) fn answer(view: &View) -> Option<Answer> {
    use Quantity as Q;
    let axle = view.candidate.bars.stub_axle.as_ref();
    let worst = match view.ask().quantity {
        Q::BallJointForce
        | Q::RodForce
        | Q::WishboneLegForce
        | Q::PivotForce
        | Q::CouplingMoment
        | Q::JointUse
        | Q::RodBuckling
        | Q::LegBuckling => members(view),
        Q::StubAxleSafety | Q::StubAxleYieldSafety => safety(view, axle?),
        Q::StubAxleDamage => damage(view, axle?),
        Q::StubAxleCamber | Q::StubAxleToe => tilt(view, axle?),
        Q::StubAxleMass => return Some(plain(axle?.mass_kg())),
        Q::LinkageMass => return Some(plain(linkage_mass(view))),
        _ => return None,
    };
    let book = view.book();
    let mut answer = worst.answer(book.shortfall, |value| value);
    // A safety that nothing loads is no answer at all: it stays what was seen.
    answer.shortfall = answer.shortfall.min(1.0);
    Some(answer)
}

fn plain(value: f64) -> Answer {
    Answer {
        value,
        ..Answer::default()
    }
}

/// Mass of the rods and legs that are given, both sides, kg.
fn linkage_mass(view: &View) -> f64 {
    let bars = view.candidate.bars;
    let pose = &view.candidate.zero.pose;
    let of = |tube: &Option<Tube>, lengths: f64| tube.map_or(0.0, |t| t.mass_kg(lengths));
    let one = |side: Side| {
        let legs: f64 = leg_lengths(view, side).into_iter().sum();
        of(&bars.rod, rod_length(pose, side)) + of(&bars.legs, legs)
    };
    SIDES.into_iter().map(one).sum()
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
    let ratings = &view.candidate.inner.parts.ratings;
    let bars = view.candidate.bars;
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
        Quantity::LegBuckling => {
            let lengths = leg_lengths(view, side);
            for i in 0..4 {
                let push = (-forces.legs[i / 2][i % 2]).max(0.0);
                if let Some(tube) = &bars.legs {
                    let most = critical_load(tube, lengths[i]);
                    see(push / most, Some(PIVOTS[i / 2][i % 2]));
                }
            }
        }
        _ => {
            if let Some(rod) = &bars.rod {
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

/// Lengths of the legs from pivot to ball joint, mm: lower front and rear, upper front and rear.
fn leg_lengths(view: &View, side: Side) -> [f64; 4] {
    let corner = view.candidate.linkage.machine().corner(side);
    let of =
        |arm: &Wishbone| [arm.front_pivot, arm.rear_pivot].map(|p| (p - arm.ball_joint).norm());
    let ([a, b], [c, d]) = (of(&corner.lower), of(&corner.upper));
    [a, b, c, d]
}

/// Shows each step of the load spectrum of each wheel with its place: stress and cycles.
fn cycles<'v>(
    view: &'v View<'_, '_>,
    axle: &StubAxle,
    spot: usize,
    mut show: impl FnMut(&'v Loaded, Side, crate::Stress, f64),
) {
    let at = axle.spot(spot);
    let book: &Book = view.book();
    for loaded in &book.entries {
        let case = &view.candidate.inner.parts.cases[loaded.case];
        for side in SIDES {
            let from = book.other_end(loaded, side, case.cycle);
            for step in &case.spectrum {
                let to = from.toward(&loaded.axles[side as usize], step.share);
                let stress = axle.stress(&at, &from, &to).stress;
                show(loaded, side, stress, step.cycles);
            }
        }
    }
}

fn safety(view: &View, axle: &StubAxle) -> Worst {
    let fatigue = view.ask().quantity == Quantity::StubAxleSafety;
    let mut worst = Worst::smallest();
    for spot in 0..axle.spot_count() {
        let line = axle.woehler_line(&axle.spot(spot));
        cycles(view, axle, spot, |loaded, side, stress, count| {
            let value = match fatigue {
                true => {
                    let strength = line.strength(count);
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
    for spot in 0..axle.spot_count() {
        // Of a symmetric machine one wheel stands for both.
        let wheels: &[Option<Side>] = match view.candidate.symmetric {
            true => &[None],
            false => &[Some(Side::Left), Some(Side::Right)],
        };
        for wheel in wheels {
            let (sum, heaviest) = damage_of(view, axle, spot, *wheel);
            if let Some((_, loaded, side)) = heaviest {
                worst.see(sum, || Where {
                    spot: Some(spot),
                    ..place(view, loaded, side)
                });
            }
        }
    }
    worst
}

/// Miner's sum of one wheel (of either where none is named) at a spot, and the variant that uses
/// most of its life.
fn damage_of<'v>(
    view: &'v View<'_, '_>,
    axle: &StubAxle,
    spot: usize,
    wheel: Option<Side>,
) -> (f64, Option<(f64, &'v Loaded, Side)>) {
    let line = axle.woehler_line(&axle.spot(spot));
    let mut heaviest: Option<(f64, &Loaded, Side)> = None;
    let mut sum = Sum::default();
    cycles(view, axle, spot, |loaded, side, stress, count| {
        if wheel.is_some_and(|w| w != side) {
            return;
        }
        let part = miner(core::iter::once((stress, count)), &line, &axle.material);
        let used = sum.add((loaded.case, loaded.turn, loaded.wheel, side), part);
        if heaviest.is_none_or(|(known, ..)| used > known) {
            heaviest = Some((used, loaded, side));
        }
    });
    (sum.finish(), heaviest)
}

/// Miner's sum over cases: the parts of one variant's spectrum add up, and of the variants of a
/// case the one that uses most counts.
#[derive(Default)]
struct Sum {
    variant: Option<Variant>,
    /// Of the variant, of the worst one of its case, and of all cases before.
    parts: [f64; 3],
}

/// Case, turn, wheel and side.
type Variant = (usize, Side, Side, Side);

impl Sum {
    /// Adds a part and gives the sum of its variant so far.
    fn add(&mut self, variant: Variant, part: f64) -> f64 {
        if self.variant != Some(variant) {
            self.close(self.variant.is_some_and(|old| old.0 != variant.0));
            self.variant = Some(variant);
        }
        self.parts[0] += part;
        self.parts[0]
    }

    fn close(&mut self, case: bool) {
        let [own, worst, before] = self.parts;
        let worst = worst.max(own);
        self.parts = match case {
            true => [0.0, 0.0, before + worst],
            false => [0.0, worst, before],
        };
    }

    fn finish(mut self) -> f64 {
        self.close(true);
        self.parts[2].min(MOST_DAMAGE)
    }
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
