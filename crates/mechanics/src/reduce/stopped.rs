//! Quantities at the steering stop and at the limit of lean.

use super::Worst;
use crate::clearance::Gaps;
use crate::lean_limit::lean_stop;
use crate::link_angles::degrees_of_sine;
use crate::plan::View;
use crate::stop_rows::{Smallest, StopRow};
use crate::turning::Turn;
use crate::{Answer, Quantity, Where};

/// The worst over the crank sweeps of the ask.
pub(super) fn at_stops(view: &View) -> Answer {
    let quantity = view.ask().quantity;
    let angle = matches!(
        quantity,
        Quantity::KnuckleAngle | Quantity::CrankAngleMargin | Quantity::TransmissionAngle
    );
    let gaps = Gaps::of(quantity);
    let least = matches!(quantity, Quantity::WheelLock | Quantity::CrankTravel);
    let smaller = angle || least || gaps.is_some();
    let mut worst = match smaller {
        true => Worst::smallest(),
        false => Worst::largest(),
    };
    for row in view.stops() {
        let mut angle_of = |least: &Smallest| {
            worst.see(least.sine, || Where {
                side: least.side,
                stop: Some(row.end.stop),
                ..view.candidate.place(&least.sample)
            });
        };
        if let Some(gaps) = gaps {
            let (gap, sample) = &row.gaps[gaps as usize];
            if gap.pair.is_some() {
                worst.see(gap.mm, || Where {
                    between: gap.pair,
                    ..view.candidate.place(sample)
                });
            }
            continue;
        }
        if quantity == Quantity::ParkingTorque {
            let (torque, sample) = &row.parking;
            worst.see(*torque, || view.candidate.place(sample));
            continue;
        }
        match quantity {
            Quantity::KnuckleAngle => angle_of(&row.knuckle),
            Quantity::CrankAngleMargin => angle_of(&row.crank),
            Quantity::TransmissionAngle => {
                angle_of(&row.knuckle);
                angle_of(&row.crank);
                if row.handlebar.sine.is_finite() {
                    angle_of(&row.handlebar);
                }
            }
            _ => worst.see(at_stop(view, quantity, row), || Where {
                stop: Some(row.end.stop),
                ..view.candidate.place(&row.end.step.sample)
            }),
        }
    }
    worst.answer(view.shortfall(), |value| match angle {
        true => degrees_of_sine(value),
        false => value,
    })
}

fn at_stop(view: &View, quantity: Quantity, row: &StopRow) -> f64 {
    let candidate = view.candidate;
    let step = &row.end.step;
    let turn = Turn::new(candidate, &step.sample.pose, row.end.turn);
    match quantity {
        Quantity::TurningRadiusRear => turn.rear_m(),
        Quantity::TurningRadiusKerb => turn.kerb_m(),
        Quantity::TurningRadiusWall => turn.wall_m(),
        Quantity::TurningRadiusInner => turn.inner_m(),
        Quantity::TurningCutIn => turn.cut_in_m(),
        Quantity::WheelLock => turn.inner_wheel_deg(),
        Quantity::CrankTravel => candidate.shown(step.u),
        other => unreachable!("{} is not taken at the stop", other.name()),
    }
}

/// The smaller of both directions of lean, over the crank angles of the ask.
pub(super) fn lean_range(view: &View) -> Answer {
    let candidate = view.candidate;
    let mut worst = Worst::smallest();
    let mut missing = 0.0_f64;
    for &shown in view.cranks() {
        let crank = candidate.drive(shown);
        let Some(upright) = candidate.upright(crank) else {
            missing += 1.0;
            continue;
        };
        // Straight, both directions of a symmetric machine are alike.
        let senses: &[f64] = match candidate.symmetric && crank == 0.0 {
            true => &[1.0],
            false => &[1.0, -1.0],
        };
        for &sense in senses {
            let end = lean_stop(candidate, &upright, sense);
            worst.see(end.sample.lean.abs(), || Where {
                stop: Some(end.stop),
                ..candidate.place(&end.sample)
            });
        }
    }
    worst.answer(missing / view.cranks().len() as f64, f64::to_degrees)
}
