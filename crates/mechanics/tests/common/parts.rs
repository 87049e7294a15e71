//! Invented load cases and parts for the hauler.

use kinematics::V3;
use leanwright_mechanics::{
    Bars, Block, Body, Braked, Carries, CaseLean, Criterion, Cycle, Drum, Finish, FrameBox,
    LoadCase, Loading, Masses, Material, Notch, Parts, Ratings, Reliability, Rim, Sag, Seat,
    Section, Step, Struck, StubAxle, Tube,
};

/// Standing still, upright and straight.
pub fn standing() -> LoadCase {
    LoadCase {
        lean: CaseLean::Upright,
        lock: false,
        sideways_g: 0.0,
        braking_g: 0.0,
        braked: Braked::Both,
        friction: 0.9,
        struck: Struck::One,
        vertical_factor: 1.0,
        rearward_factor: 0.0,
        inward_factor: 0.0,
        cycle: Cycle::Standing,
        spectrum: vec![Step {
            share: 1.0,
            cycles: 1e5,
        }],
    }
}

pub fn bump() -> LoadCase {
    LoadCase {
        vertical_factor: 3.0,
        rearward_factor: 0.5,
        ..standing()
    }
}

pub fn corner() -> LoadCase {
    LoadCase {
        lean: CaseLean::Limit,
        sideways_g: 0.6,
        cycle: Cycle::Opposite,
        ..standing()
    }
}

pub fn braking() -> LoadCase {
    LoadCase {
        braking_g: 0.6,
        braked: Braked::One,
        ..standing()
    }
}

pub fn pothole() -> LoadCase {
    LoadCase {
        lock: true,
        vertical_factor: 2.5,
        inward_factor: 0.4,
        cycle: Cycle::Unloaded,
        ..standing()
    }
}

pub fn aluminium() -> Material {
    Material {
        ultimate_mpa: 310.0,
        yield_mpa: 276.0,
        elastic_mpa: 68_900.0,
        density_kg_m3: 2700.0,
        fatigue_mpa: 96.5,
        fatigue_cycles: 5e8,
        endures: false,
        notch: Notch::Peterson(0.51),
    }
}

pub fn axle() -> StubAxle {
    let section = |length, diameter, fillet| Section {
        length,
        diameter,
        fillet,
    };
    StubAxle {
        sections: vec![section(35.0, 20.0, 1.5), section(30.0, 17.0, 0.8)],
        boss: 32.0,
        bearings: [14.0, 54.0],
        wheel: 40.0,
        material: aluminium(),
        finish: Finish::Machined,
        reliability: Reliability::NinetyNine,
        criterion: Criterion::Goodman,
        torque_share: 0.0,
        seat: Seat::Pressed,
    }
}

pub fn parts() -> Parts {
    Parts {
        cases: vec![standing(), bump(), corner(), braking(), pothole()],
        ratings: Ratings {
            lower_ball: Some(9000.0),
            upper_ball: Some(9000.0),
            rod_end: Some(12_000.0),
            pivot: Some(8000.0),
        },
        bars: Bars {
            rod: Some(Tube {
                outer: 14.0,
                inner: 10.0,
                material: aluminium(),
            }),
            legs: Some(Tube {
                outer: 16.0,
                inner: 13.0,
                material: aluminium(),
            }),
            stub_axle: Some(axle()),
        },
        states: vec![Loading {
            masses: Masses {
                total_kg: 40.0,
                centre_of_gravity: V3::new(-520.0, 0.0, 380.0),
            },
            sag: Sag::Given(0.0),
            reach: None,
        }],
        springs: None,
        cable: None,
        slope_deg: 10.0,
        joint_limits_deg: [None, None, Some(85.0), None],
        joints_mass_kg: Some(0.9),
        body: Some(thin_body()),
    }
}

/// Parts so thin that nothing meets, and boxes out of the way.
pub fn thin_body() -> Body {
    let mut thin = body();
    thin.boxes.truncate(2);
    for held in &mut thin.boxes {
        held.block.centre.z = 900.0;
    }
    Body {
        rod_radius: 0.5,
        leg_radius: 0.5,
        link_radius: 0.5,
        rim: None,
        hub: None,
        disc: None,
        caliper: None,
        ..thin
    }
}

/// Sizes of the hauler's parts, a box that carries the wishbones and two stands behind the front
/// wheels.
pub fn body() -> Body {
    let upright = |centre: [f64; 3], half: [f64; 3]| Block {
        centre: centre.into(),
        axes: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(V3::from),
        half,
    };
    let stand = |y: f64| FrameBox {
        block: upright([-420.0, y, 250.0], [25.0, 25.0, 150.0]),
        carries: Carries::default(),
    };
    Body {
        rod_radius: 7.0,
        leg_radius: 10.0,
        link_radius: 5.0,
        rim: Some(Rim {
            radius: 206.0,
            section_radius: 12.0,
        }),
        hub: Some(Drum {
            radius: 24.0,
            along: [-45.0, 30.0],
        }),
        disc: Some(Drum {
            radius: 70.0,
            along: [-34.0, -30.0],
        }),
        caliper: Some(upright([62.0, 362.0, 290.0], [20.0, 14.0, 24.0])),
        boxes: vec![
            stand(230.0),
            stand(-230.0),
            FrameBox {
                block: upright([0.0, 0.0, 250.0], [150.0, 55.0, 120.0]),
                carries: Carries {
                    lower: true,
                    upper: true,
                    steering: true,
                    ..Carries::default()
                },
            },
        ],
        least_gap: 0.0,
    }
}
