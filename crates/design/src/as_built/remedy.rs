//! The smallest change that brings the figures of the drawing back.

use super::file::vehicle;
use super::fit::Fit;
use super::model::{deviating, expected, predicted};
use super::wire::{AsBuilt, Change, Reading, Remedy};
use crate::fault::Fault;
use kinematics::Machine;

/// Leans (degrees) and travels (mm) at which a change is judged beside the poses read.
const LEANS: [f64; 5] = [-10.0, -5.0, 0.0, 5.0, 10.0];
const TRAVELS: [f64; 4] = [-30.0, -15.0, 15.0, 30.0];

/// Every figure in the usual poses of the curves that both machines reach.
fn curve_poses(machines: [&Machine; 2]) -> Vec<Reading> {
    let whole = Reading {
        toe_left_deg: Some(0.0),
        toe_right_deg: Some(0.0),
        camber_left_deg: Some(0.0),
        camber_right_deg: Some(0.0),
        height_mm: Some(0.0),
        ..Reading::default()
    };
    let leaned = LEANS.map(|lean_deg| Reading {
        lean_deg,
        ..whole.clone()
    });
    let risen = TRAVELS.map(|mm| Reading {
        mean_travel_mm: Some(mm),
        ..whole.clone()
    });
    let all = leaned.into_iter().chain(risen);
    let reached = |reading: &Reading| {
        let one = core::slice::from_ref(reading);
        machines
            .iter()
            .all(|machine| predicted(machine, one).is_some())
    };
    all.filter(reached).collect()
}

/// The change of a fitted machine that brings the drawing's own figures back, and the machine then;
/// nothing once halted.
pub(super) fn remedy(
    asked: &AsBuilt,
    drawn: &Machine,
    built: &Machine,
    halted: &dyn Fn() -> bool,
) -> Result<Option<(Remedy, Machine)>, Vec<Fault>> {
    let mut readings = asked.readings.clone();
    readings.extend(curve_poses([drawn, built]));
    let fit = Fit::new(asked, readings, halted);
    let target = predicted(drawn, &fit.readings).ok_or_else(|| fit.lost())?;
    let parts = expected(&asked.changes);
    let found = fit.solve(built, &parts, &target);
    if halted() {
        return Ok(None);
    }
    let found = found.ok_or_else(|| fit.lost())?;
    let mended = deviating(built, &parts, &found.at);
    let changes = parts.iter().zip(&found.at).map(|(expected, at)| Change {
        of: expected.part.of(),
        axis: expected.part.axis(),
        side: expected.part.side(),
        by_mm: at * expected.sigma,
    });
    let remedy = Remedy {
        changes: changes.collect(),
        misfit: fit.misfit(built, &mended, &target),
        vehicle: vehicle(&asked.vehicle, &mended)?,
    };
    Ok(Some((remedy, mended)))
}
