//! The assessment of one vehicle: every quantity, set-up, curves, stops.

use crate::answer::{Limit, QuantityValue, Role};
use crate::assessed::{Assessment, Curve, Figure, InLoading, SideSetUp, Stop};
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
    assessment_in(vehicle, reach, None)
}

/// The same with curves, stops and load cases of one state of loading, by its name: at its mean
/// travel, with its masses, over its reach where it has one. [`crate::AS_DRAWN`] is the state of
/// `masses`, as is `None`. Quantities are the worst over all states in any case.
///
/// # Errors
/// As [`assessment`], and at `/loading` a name that the vehicle has not, or a state in which the
/// machine cannot stand.
pub fn assessment_in(
    vehicle: &Vehicle,
    reach: &Reach,
    loading: Option<&str>,
) -> Result<Assessment, Vec<Fault>> {
    check_reach(reach)?;
    assembles(vehicle, "")?;
    let state = vehicle.state(loading)?;
    let machine = convert::machine(vehicle);
    let linkage = Linkage::new(&machine).map_err(|why| refused("", &why))?;
    let surveyed = Surveyed::new(vehicle, reach, &linkage)?;
    let survey = surveyed.state(state)?;
    if loading.is_some() && survey.mean_travel_mm().is_none() {
        return Err(not_standing(vehicle, state));
    }
    Ok(Assessment {
        name: vehicle.name.clone(),
        symmetric: machine.right == machine.left.mirrored(),
        reach: reach.clone(),
        loading: loading.map(String::from),
        quantities: quantities(vehicle, &linkage, &convert::settings(vehicle, reach))?,
        set_up: [Side::Left, Side::Right]
            .map(|side| set_up(&machine, side))
            .to_vec(),
        rod_lengths: rod_lengths(&machine),
        curves: surveyed.curves(&survey, state, loading.is_none()),
        strength: strength::sheet(vehicle, &survey, &surveyed.all),
        stops: surveyed.stops(&survey, state),
        notes: NOTES.map(String::from).to_vec(),
        cautions: CAUTIONS.map(String::from).to_vec(),
    })
}

/// Curves and stops of a vehicle in every state of loading, that of `masses` first.
///
/// # Errors
/// As [`assessment`].
pub fn in_each_loading(vehicle: &Vehicle, reach: &Reach) -> Result<Vec<InLoading>, Vec<Fault>> {
    check_reach(reach)?;
    assembles(vehicle, "")?;
    let machine = convert::machine(vehicle);
    let linkage = Linkage::new(&machine).map_err(|why| refused("", &why))?;
    let surveyed = Surveyed::new(vehicle, reach, &linkage)?;
    let one = |state: usize| {
        let survey = surveyed.state(state)?;
        let mean_travel_mm = survey.mean_travel_mm();
        let (curves, stops) = match mean_travel_mm {
            None => (Vec::new(), Vec::new()),
            Some(_) => (
                surveyed.curves(&survey, state, false),
                surveyed.stops(&survey, state),
            ),
        };
        Ok(InLoading {
            loading: vehicle.state_name(state).to_owned(),
            mean_travel_mm,
            curves,
            stops,
        })
    };
    (0..=vehicle.loadings.len()).map(one).collect()
}

/// A machine whose curves may be taken in any state of loading.
struct Surveyed<'a> {
    vehicle: &'a Vehicle,
    reach: &'a Reach,
    linkage: &'a Linkage,
    settings: Settings,
    /// The state of `masses`, with the others where the worst of all is meant.
    all: Survey<'a>,
}

impl<'a> Surveyed<'a> {
    fn new(
        vehicle: &'a Vehicle,
        reach: &'a Reach,
        linkage: &'a Linkage,
    ) -> Result<Surveyed<'a>, Vec<Fault>> {
        let mut settings = convert::settings(vehicle, reach);
        settings.steps.crank_deg = CURVE_CRANK_DEG;
        let all = Survey::new(linkage, &settings).map_err(|why| refused("", &why))?;
        Ok(Surveyed {
            vehicle,
            reach,
            linkage,
            settings,
            all,
        })
    }

    fn state(&self, state: usize) -> Result<Survey<'a>, Vec<Fault>> {
        let found = Survey::in_state(self.linkage, &self.settings, state);
        let found = found.map_err(|why| refused("", &why))?;
        found.ok_or_else(|| not_standing(self.vehicle, state))
    }

    /// Of one state; `worst`: speeds in turns are those of the worst state.
    fn curves(&self, survey: &Survey, state: usize, worst: bool) -> Vec<Curve> {
        let reach = self.vehicle.reach_in(state, self.reach);
        let lean = reach.lean_limit_deg;
        let speeds = if worst { &self.all } else { survey };
        curves::curves(survey, lean)
            .into_iter()
            .chain(curves::in_turns(survey, lean, 2.0 * reach.radius_m[0]))
            .chain(strength::envelope(speeds, reach))
            .collect()
    }

    fn stops(&self, survey: &Survey, state: usize) -> Vec<Stop> {
        let reach = self.vehicle.reach_in(state, self.reach);
        curves::stops(survey, reach.lean_limit_deg, self.vehicle)
    }
}

fn not_standing(vehicle: &Vehicle, state: usize) -> Vec<Fault> {
    vec![Fault {
        pointer: "/loading".into(),
        message: "the machine cannot stand at the mean travel of this state".into(),
        value: vehicle.state_name(state).to_owned(),
        allowed: "a state whose mean travel the wishbones reach".into(),
    }]
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
