//! Loads, stub axle and wheel loads of one vehicle on the wire, and how they are filled in.

use crate::assessed::{Curve, Figure, Line};
use crate::convert::side_name;
use crate::job::{Reach, SideName};
use crate::shipped;
use crate::states::AS_DRAWN;
use crate::vehicle::Vehicle;
use mechanics::{CaseLoads, CornerForces, Criterion, SpotSheet, Survey};
use serde::{Deserialize, Serialize};

/// Forces, strength and wheel loads of one vehicle: first figures, no proof.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct StrengthSheet {
    /// Where the figures of the load cases come from.
    pub load_case_source: String,
    /// Names of the load cases, in the order that `load_case` counts.
    pub load_cases: Vec<String>,
    /// Every load case in every turn, with each wheel struck.
    pub loads: Vec<LoadRow>,
    /// The stub axle, where the vehicle gives one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stub_axle: Option<AxleSheet>,
    /// Wheel loads of every state of loading, `masses` first.
    pub standing: Vec<StandingRow>,
}

/// One load case, solved.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LoadRow {
    /// Index of the load case, from 0.
    pub load_case: u32,
    /// Where the machine turns to; of no matter to a case that goes straight on.
    pub turn: SideName,
    /// The wheel that is struck or brakes alone; of no matter to a case that means both.
    pub wheel: SideName,
    /// Lean (ISO roll, positive leans right), degrees.
    pub lean_deg: f64,
    /// Crank angle, degrees.
    pub steer_deg: f64,
    /// Forces on the left side, N; tension positive in legs, rod and link.
    pub left: Vec<Figure>,
    /// The same on the right.
    pub right: Vec<Figure>,
}

/// The stub axle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct AxleSheet {
    /// Its material.
    pub material: String,
    /// Where the figures of the material come from.
    pub material_source: String,
    /// The places where it may break, from the root outwards; the last is under the inner
    /// bearing.
    pub spots: Vec<SpotRow>,
    /// Factor of safety that the smallest diameters keep.
    pub least_safety: f64,
    /// The smallest diameters from the bores of bearings that keep it, from the root outwards,
    /// mm; absent where even 60 mm does not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub smallest_diameters_mm: Option<Vec<f64>>,
}

/// One spot of the stub axle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct SpotRow {
    /// Place from the root, mm.
    pub place_mm: f64,
    /// Diameter there, mm.
    pub diameter_mm: f64,
    /// Stress concentration in bending (Roark, table 17.1).
    pub concentration: f64,
    /// Fatigue notch factor in bending.
    pub notch: f64,
    /// Endurance limit of the axle there, MPa (Shigley, 9th ed.).
    pub endurance_mpa: f64,
    /// Smallest factors of safety over the load cases.
    pub safety: Vec<SafetyRow>,
    /// Miner's sum over the cycles of all load cases; 1 is failure.
    pub damage: f64,
}

/// One factor of safety.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct SafetyRow {
    /// `goodman`, `gerber`, `asme_elliptic`, `soderberg` or `first_cycle_yield`.
    pub criterion: String,
    /// The factor.
    pub factor: f64,
    /// Index of the load case that has it.
    pub load_case: u32,
}

/// Wheel loads of one state of loading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct StandingRow {
    /// Its name.
    pub loading: String,
    /// Mass, kg.
    pub total_kg: f64,
    /// Mean travel of the wheels, positive when they rise, mm; absent where the machine cannot
    /// stand there.
    #[serde(default)]
    pub mean_travel_mm: Option<f64>,
    /// Left front, right front and rear wheel on the level, N.
    #[schema(value_type = Vec<f64>)]
    pub level_n: [f64; 3],
    /// Slope of the four below, degrees.
    pub slope_deg: f64,
    /// The same parked nose up, N; below 0 the wheel would have to be held down.
    #[schema(value_type = Vec<f64>)]
    pub nose_up_n: [f64; 3],
    /// Nose down.
    #[schema(value_type = Vec<f64>)]
    pub nose_down_n: [f64; 3],
    /// Left side up.
    #[schema(value_type = Vec<f64>)]
    pub left_up_n: [f64; 3],
    /// Right side up.
    #[schema(value_type = Vec<f64>)]
    pub right_up_n: [f64; 3],
}

/// The sheet of a vehicle; nothing without masses.
/// Load cases and stub axle are those of one state, wheel loads those of all.
pub(crate) fn sheet(vehicle: &Vehicle, survey: &Survey, all: &Survey) -> Option<StrengthSheet> {
    let masses = vehicle.masses.as_ref()?;
    let cases = shipped::load_cases(vehicle);
    let names = vehicle
        .loadings
        .iter()
        .map(|l| (l.name.as_str(), l.total_kg));
    let states = core::iter::once((AS_DRAWN, masses.total_kg)).chain(names);
    Some(StrengthSheet {
        load_case_source: shipped::load_case_source(vehicle).to_owned(),
        load_cases: cases.iter().map(|c| c.name.clone()).collect(),
        loads: survey.load_cases().iter().map(load_row).collect(),
        stub_axle: axle_sheet(vehicle, survey),
        standing: states
            .zip(all.standing_loads())
            .map(|((loading, total_kg), found)| {
                let [nose_up_n, nose_down_n, left_up_n, right_up_n] = found.parked_n;
                StandingRow {
                    loading: loading.to_owned(),
                    total_kg,
                    mean_travel_mm: found.mean_travel_mm,
                    level_n: found.level_n,
                    slope_deg: vehicle.parking_slope_deg,
                    nose_up_n,
                    nose_down_n,
                    left_up_n,
                    right_up_n,
                }
            })
            .collect(),
    })
}

fn load_row(found: &CaseLoads) -> LoadRow {
    let side = |i: usize| figures(&found.wheels[i], &found.members[i]);
    LoadRow {
        load_case: found.case as u32,
        turn: side_name(found.turn),
        wheel: side_name(found.wheel),
        lean_deg: found.lean_deg,
        steer_deg: found.crank_deg,
        left: side(0),
        right: side(1),
    }
}

fn figures(wheel: &[f64; 3], members: &CornerForces) -> Vec<Figure> {
    let [lower, upper] = members.legs;
    let [lower_pivots, upper_pivots] = members.pivots.map(|p| p.map(|v| v.norm()));
    let newtons = [
        ("wheel_outward_n", wheel[0]),
        ("wheel_up_n", wheel[1]),
        ("wheel_forward_n", wheel[2]),
        ("lower_ball_joint_n", members.balls[0].norm()),
        ("upper_ball_joint_n", members.balls[1].norm()),
        ("lower_front_leg_n", lower[0]),
        ("lower_rear_leg_n", lower[1]),
        ("upper_front_leg_n", upper[0]),
        ("upper_rear_leg_n", upper[1]),
        ("lower_front_pivot_n", lower_pivots[0]),
        ("lower_rear_pivot_n", lower_pivots[1]),
        ("upper_front_pivot_n", upper_pivots[0]),
        ("upper_rear_pivot_n", upper_pivots[1]),
        ("rod_n", members.rod),
        ("rocker_link_n", members.link),
    ];
    let figure = |name: &str, value: f64, unit: &str| Figure {
        name: name.into(),
        value: Some(value),
        unit: unit.into(),
    };
    let mut all: Vec<Figure> = newtons
        .iter()
        .map(|(name, value)| figure(name, *value, "N"))
        .collect();
    let moment = 1e-3 * members.coupling_moment;
    all.push(figure("coupling_moment_nm", moment, "N·m"));
    all
}

fn axle_sheet(vehicle: &Vehicle, survey: &Survey) -> Option<AxleSheet> {
    let axle = vehicle.stub_axle.as_ref()?;
    let material = shipped::material(vehicle, &axle.material)?;
    let smallest = survey.smallest_axle(axle.least_safety);
    Some(AxleSheet {
        material: material.name.clone(),
        material_source: material.source.clone(),
        spots: survey.axle_spots().iter().map(spot_row).collect(),
        least_safety: axle.least_safety,
        smallest_diameters_mm: smallest
            .map(|found| found.sections.iter().map(|s| s.diameter).collect()),
    })
}

fn spot_row(sheet: &SpotSheet) -> SpotRow {
    let row = |criterion: &str, (factor, case): (f64, usize)| SafetyRow {
        criterion: criterion.into(),
        factor,
        load_case: case as u32,
    };
    let name = |criterion: Criterion| match criterion {
        Criterion::Goodman => "goodman",
        Criterion::Gerber => "gerber",
        Criterion::AsmeElliptic => "asme_elliptic",
        Criterion::Soderberg => "soderberg",
    };
    let found = Criterion::ALL.into_iter().zip(sheet.fatigue);
    let mut safety: Vec<SafetyRow> = found.map(|(c, found)| row(name(c), found)).collect();
    safety.push(row("first_cycle_yield", sheet.first_cycle));
    SpotRow {
        place_mm: sheet.spot.place,
        diameter_mm: sheet.spot.diameter,
        concentration: sheet.spot.concentration[0],
        notch: sheet.spot.notch[0],
        endurance_mpa: sheet.spot.endurance,
        safety,
        damage: sheet.damage,
    }
}

/// Radii of the curve over the turn, of reach.
const RADII: usize = 24;

/// Speeds at which the lean ends and a wheel lifts, over the radius of the turn; nothing without
/// masses.
pub(crate) fn envelope(survey: &Survey, reach: &Reach) -> Option<Curve> {
    let [tight, wide] = reach.radius_m;
    let step = (wide / tight - 1.0).max(0.0) / RADII as f64;
    let radii: Vec<f64> = (0..=RADII)
        .map(|i| tight * (1.0 + step * i as f64))
        .collect();
    let found = survey.turn_speeds(&radii);
    let line = |name: &str, unit: &str, of: &dyn Fn(&mechanics::TurnSpeeds) -> f64| Line {
        name: name.into(),
        unit: unit.into(),
        values: found.iter().map(|at| Some(of(at))).collect(),
    };
    (!found.is_empty() && wide > tight).then(|| Curve {
        name: "speeds_over_radius".into(),
        title: "Speeds at which the lean ends and a wheel lifts; between them the machine is stiff"
            .into(),
        x: line("radius_m", "m", &|at| at.radius_m),
        lines: vec![
            line("lean_stop_speed_mps", "m/s", &|at| at.lean_stop_mps),
            line("lift_speed_mps", "m/s", &|at| at.lift_mps),
        ],
    })
}
