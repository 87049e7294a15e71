//! The assessment of one vehicle: every quantity, set-up, curves, stops.

use crate::answer::{Limit, QuantityValue, Role};
use crate::assessed::{Assessment, Figure, SideSetUp};
use crate::check::Walk;
use crate::compiled::{reading, rod_lengths, unit};
use crate::convert;
use crate::curves;
use crate::fault::Fault;
use crate::job::Reach;
use crate::notes::{CAUTIONS, NOTES};
use crate::parse::assembles;
use crate::shape::{Kind, Shape};
use crate::strength;
use crate::tables::job::REACH;
use crate::tables::tolerance::TOLERANCE;
use crate::tolerance::Tolerance;
use crate::vehicle::Vehicle;
use kinematics::{Linkage, Machine, Side};
use mechanics::{Answer, Ask, Needs, Plan, Quantity, Settings, Survey, TABLE, static_setup};

/// Largest step of the crank in curves over steer, degrees.
const CURVE_CRANK_DEG: f64 = 1.5;

/// Computes everything of one vehicle that [`crate::parse_vehicle`] has let pass, by the same
/// path as the search. Some milliseconds.
///
/// # Errors
/// Faults of the reach, or the reason why the machine does not assemble.
pub fn assessment(vehicle: &Vehicle, reach: &Reach) -> Result<Assessment, Vec<Fault>> {
    check_reach(reach)?;
    assembles(vehicle, "")?;
    let machine = convert::machine(vehicle);
    let settings = convert::settings(vehicle, reach);
    let linkage = Linkage::new(&machine).map_err(|why| refused("", &why))?;
    let mut fine = settings.clone();
    fine.steps.crank_deg = CURVE_CRANK_DEG;
    let survey = Survey::new(&linkage, &fine).map_err(|why| refused("", &why))?;
    Ok(Assessment {
        name: vehicle.name.clone(),
        symmetric: machine.right == machine.left.mirrored(),
        reach: reach.clone(),
        quantities: quantities(vehicle, &linkage, &settings)?,
        set_up: [Side::Left, Side::Right]
            .map(|side| set_up(&machine, side))
            .to_vec(),
        rod_lengths: rod_lengths(&machine),
        curves: curves::curves(&survey, reach.lean_limit_deg)
            .into_iter()
            .chain(curves::in_turns(
                &survey,
                reach.lean_limit_deg,
                2.0 * reach.radius_m[0],
            ))
            .chain(strength::envelope(&survey, reach))
            .collect(),
        strength: strength::sheet(vehicle, &survey),
        stops: curves::stops(&survey, reach.lean_limit_deg, vehicle),
        notes: NOTES.map(String::from).to_vec(),
        cautions: CAUTIONS.map(String::from).to_vec(),
    })
}

fn check_reach(reach: &Reach) -> Result<(), Vec<Fault>> {
    checked(reach, "/reach", &REACH)
}

/// Checks a tolerance that comes without a job.
///
/// # Errors
/// Every fault, below `/tolerance`.
pub fn check_tolerance(tolerance: &Tolerance) -> Result<(), Vec<Fault>> {
    checked(tolerance, "/tolerance", &TOLERANCE)
}

fn checked(
    block: &impl serde::Serialize,
    pointer: &str,
    shape: &'static Shape,
) -> Result<(), Vec<Fault>> {
    let value = serde_json::to_value(block).map_err(|why| refused(pointer, &why))?;
    let mut faults = Vec::new();
    Walk::new(&mut faults, pointer).value(&value, &Kind::Object(shape));
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults)
    }
}

fn refused(pointer: &str, why: &dyn core::fmt::Display) -> Vec<Fault> {
    vec![Fault {
        pointer: pointer.to_owned(),
        message: why.to_string(),
        value: String::new(),
        allowed: String::new(),
    }]
}

fn quantities(
    vehicle: &Vehicle,
    linkage: &Linkage,
    settings: &Settings,
) -> Result<Vec<QuantityValue>, Vec<Fault>> {
    let weighed = settings.fittings.masses.is_some();
    let given = |needs: Needs| (weighed || !needs.masses()) && settings.parts.give(needs);
    let asks: Vec<Ask> = TABLE
        .iter()
        .filter(|info| given(info.needs))
        .map(|info| Ask::usual(info.quantity))
        .collect();
    let plan = Plan::new(&asks, settings).map_err(|why| refused("/reach", &why))?;
    let mut answers = vec![Answer::default(); asks.len()];
    plan.evaluate(linkage, &mut plan.scratch(), &mut answers);
    let one = |(ask, answer): (&Ask, &Answer)| {
        reading(
            ask,
            answer,
            Role::Report,
            Some(limit(ask.quantity, vehicle)),
            vehicle,
        )
    };
    Ok(asks.iter().zip(&answers).map(one).collect())
}

/// The vehicle's own limit where it gives one, and where the usual limit comes from.
fn limit(quantity: Quantity, vehicle: &Vehicle) -> Limit {
    let [lower, upper, inner, outer] = vehicle.joint_limits();
    let least = |a: Option<f64>, b: Option<f64>| a.into_iter().chain(b).reduce(f64::min);
    let own = match quantity {
        Quantity::BallJointAngle => least(lower, upper),
        Quantity::RodEndAngle => least(inner, outer),
        Quantity::JointAngleUse => Some(1.0),
        _ => None,
    };
    let origin = match own {
        Some(_) => "the vehicle's limits",
        None => quantity.info().limit_origin,
    };
    Limit {
        at_least: None,
        at_most: own,
        origin: origin.into(),
    }
}

fn set_up(machine: &Machine, side: Side) -> SideSetUp {
    let found = static_setup(machine, side);
    let figures = TABLE.iter().filter_map(|info| {
        let value = found.get(info.quantity)?;
        Some(Figure {
            name: info.name.into(),
            value: Some(value),
            unit: unit(info.quantity).into(),
        })
    });
    SideSetUp {
        side: convert::side_name(side),
        figures: figures.collect(),
    }
}
