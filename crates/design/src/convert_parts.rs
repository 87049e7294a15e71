//! Wire types of parts and load cases to those of mechanics.

use crate::load_cases::{CycleWord, LeanWord, LoadCaseInput, SteerWord, StepInput, WheelsWord};
use crate::parts::{CriterionWord, FinishWord, MaterialInput, RodsInput, SeatWord, StubAxleInput};
use crate::shipped;
use crate::vehicle::Vehicle;
use mechanics::{
    Bars, Braked, CaseLean, Criterion, Cycle, Finish, LoadCase, Loading, Masses, Material, Notch,
    Parts, Ratings, Reliability, Seat, Section, Springs, Step, Struck, StubAxle, Tube,
};

/// What carries load on a checked vehicle, and its load cases.
pub(crate) fn parts(vehicle: &Vehicle) -> Parts {
    let ratings = &vehicle.joint_ratings;
    Parts {
        cases: shipped::load_cases(vehicle).iter().map(load_case).collect(),
        ratings: Ratings {
            lower_ball: vehicle.joint_rating(&[0], ratings.lower_ball_joint_n),
            upper_ball: vehicle.joint_rating(&[1], ratings.upper_ball_joint_n),
            rod_end: vehicle.joint_rating(&[2, 3], ratings.rod_end_n),
            pivot: ratings.pivot_n,
        },
        bars: bars(vehicle),
        states: vehicle
            .loadings
            .iter()
            .map(|l| Loading {
                masses: Masses {
                    total_kg: l.total_kg,
                    centre_of_gravity: l.centre_of_gravity_mm.into(),
                },
                sag: crate::convert::sag(l.mean_travel_mm, vehicle),
                reach: l.reach.as_ref().map(crate::convert::reached),
            })
            .collect(),
        springs: vehicle.springs.as_ref().map(|s| Springs {
            rate: s.rate_n_per_mm,
            motion_ratio: s.motion_ratio,
            preload: s.preload_n,
            stops: s.stops_mm,
        }),
        cable: vehicle.steering.cable().map(crate::convert::cable),
        slope_deg: vehicle.parking_slope_deg,
        joint_limits_deg: vehicle.joint_limits(),
        joints_mass_kg: vehicle.joint_mass(),
        body: crate::convert::body(vehicle),
    }
}

/// The bars of a checked vehicle.
pub(crate) fn bars(vehicle: &Vehicle) -> Bars {
    let known = |name: &str| shipped::material(vehicle, name).map(material);
    let tube = |given: &RodsInput| {
        Some(Tube {
            outer: given.outer_diameter_mm,
            inner: given.inner_diameter_mm,
            material: known(&given.material)?,
        })
    };
    let axle = vehicle.stub_axle.as_ref();
    Bars {
        stub_axle: axle.and_then(|given| Some(stub_axle(given, known(&given.material)?))),
        rod: vehicle.rods.as_ref().and_then(tube),
        legs: vehicle.wishbone_legs.as_ref().and_then(tube),
    }
}

fn load_case(case: &LoadCaseInput) -> LoadCase {
    LoadCase {
        lean: match (case.lean_deg, case.lean) {
            (Some(deg), _) => CaseLean::Degrees(deg),
            (None, LeanWord::Upright) => CaseLean::Upright,
            (None, LeanWord::Limit) => CaseLean::Limit,
        },
        lock: case.steer == SteerWord::Lock,
        sideways_g: case.sideways_g,
        braking_g: case.braking_g,
        braked: match case.braked {
            WheelsWord::Both => Braked::Both,
            WheelsWord::One => Braked::One,
        },
        friction: case.friction,
        struck: match case.struck {
            WheelsWord::Both => Struck::Both,
            WheelsWord::One => Struck::One,
        },
        vertical_factor: case.vertical_factor,
        rearward_factor: case.rearward_factor,
        inward_factor: case.inward_factor,
        cycle: match case.cycle {
            CycleWord::Standing => Cycle::Standing,
            CycleWord::Unloaded => Cycle::Unloaded,
            CycleWord::Opposite => Cycle::Opposite,
        },
        spectrum: spectrum(case),
    }
}

/// Without steps, all cycles go to the whole load.
fn spectrum(case: &LoadCaseInput) -> Vec<Step> {
    if case.spectrum.is_empty() {
        let cycles = case.cycles;
        return vec![Step { share: 1.0, cycles }];
    }
    let step = |s: &StepInput| Step {
        share: s.share,
        cycles: s.cycles,
    };
    case.spectrum.iter().map(step).collect()
}

fn material(given: &MaterialInput) -> Material {
    Material {
        ultimate_mpa: given.ultimate_mpa,
        yield_mpa: given.yield_mpa,
        elastic_mpa: 1000.0 * given.elastic_gpa,
        density_kg_m3: given.density_kg_m3,
        fatigue_mpa: given.fatigue_mpa,
        fatigue_cycles: given.fatigue_cycles,
        endures: given.endures,
        notch: given
            .notch_length_mm
            .map_or(Notch::NeuberSteel, Notch::Peterson),
    }
}

/// Diameter of the boss against that of the first section, where none is given.
const BOSS: f64 = 1.5;

fn stub_axle(given: &StubAxleInput, material: Material) -> StubAxle {
    let section = |s: &crate::SectionInput| Section {
        length: s.length_mm,
        diameter: s.diameter_mm,
        fillet: s.fillet_mm,
    };
    let first = given.sections.first().map_or(0.0, |s| s.diameter_mm);
    StubAxle {
        sections: given.sections.iter().map(section).collect(),
        boss: given.boss_diameter_mm.unwrap_or(BOSS * first),
        bearings: given.bearings_mm,
        wheel: given.wheel_mm,
        material,
        finish: match given.finish {
            FinishWord::Ground => Finish::Ground,
            FinishWord::Machined => Finish::Machined,
            FinishWord::HotRolled => Finish::HotRolled,
            FinishWord::Forged => Finish::Forged,
        },
        reliability: reliability(given.reliability_percent),
        criterion: match given.criterion {
            CriterionWord::Goodman => Criterion::Goodman,
            CriterionWord::Gerber => Criterion::Gerber,
            CriterionWord::AsmeElliptic => Criterion::AsmeElliptic,
            CriterionWord::Soderberg => Criterion::Soderberg,
        },
        torque_share: given.brake_torque_share,
        seat: match given.bearing_seat {
            SeatWord::Pressed => Seat::Pressed,
            SeatWord::Loose => Seat::Loose,
        },
    }
}

/// Percents of reliability that have a published factor.
pub(crate) const RELIABILITIES: [f64; 6] = [50.0, 90.0, 95.0, 99.0, 99.9, 99.99];

fn reliability(percent: f64) -> Reliability {
    let known = [
        Reliability::Half,
        Reliability::Ninety,
        Reliability::NinetyFive,
        Reliability::NinetyNine,
        Reliability::ThreeNines,
        Reliability::FourNines,
    ];
    let at = RELIABILITIES.iter().position(|p| *p == percent);
    at.map_or(Reliability::default(), |i| known[i])
}
