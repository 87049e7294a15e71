//! The orchard hauler and small changes of it.
#![allow(dead_code)]

pub mod parts;

use kinematics::{
    Axis, Corner, Coupling, Handlebar, Layout, Linkage, Machine, Side, V3, Wheel, Wishbone,
};
use leanwright_mechanics::{Answer, Ask, Fittings, Masses, Needs, Over, Plan, Quantity, Settings};

pub fn v(x: f64, y: f64, z: f64) -> V3<f64> {
    V3::new(x, y, z)
}

pub fn wishbone(front: [f64; 3], rear: [f64; 3], ball: [f64; 3]) -> Wishbone {
    Wishbone {
        front_pivot: front.into(),
        rear_pivot: rear.into(),
        ball_joint: ball.into(),
    }
}

/// A machine whose right side mirrors `left`.
pub fn mirrored(left: Corner, rear: Wheel, crank: V3<f64>) -> Machine {
    Machine {
        left,
        right: left.mirrored(),
        rear,
        crank: Axis {
            point: crank,
            direction: v(0.0, 0.0, 1.0),
        },
        layout: Layout::CentreCrank,
        handlebar: None,
        coupling: Coupling::MeanTravel,
    }
}

/// The orchard hauler's left corner.
pub fn corner() -> Corner {
    Corner {
        lower: wishbone(
            [60.0, 75.0, 175.0],
            [-60.0, 75.0, 175.0],
            [4.0, 345.0, 170.0],
        ),
        upper: wishbone(
            [50.0, 95.0, 330.0],
            [-50.0, 95.0, 330.0],
            [-8.0, 316.0, 330.0],
        ),
        rod_inner: v(-80.0, 30.0, 222.0),
        rod_outer: v(-80.0, 322.0, 222.0),
        wheel: wheel(v(0.0, 395.0, 250.0)),
    }
}

pub fn wheel(centre: V3<f64>) -> Wheel {
    Wheel {
        centre,
        axis: Wheel::front_axis(Side::Left, 0.0, 0.0),
        radius: 250.0,
        section_radius: 23.5,
    }
}

/// The orchard hauler, first frame.
pub fn hauler() -> Machine {
    mirrored(
        corner(),
        wheel(v(-1150.0, 0.0, 250.0)),
        v(-120.0, 0.0, 222.0),
    )
}

/// The hauler with a slider on a rail.
pub fn slider() -> Machine {
    let mut machine = hauler();
    machine.layout = Layout::Slider;
    machine.crank.direction = v(0.0, 1.0, 0.0);
    machine
}

/// The same with crank, idler and centre link.
pub fn idler() -> Machine {
    let mut machine = hauler();
    machine.crank.point = v(-180.0, 60.0, 222.0);
    machine.layout = Layout::IdlerParallelogram {
        idler: Axis {
            point: v(-180.0, -60.0, 222.0),
            direction: v(0.0, 0.0, 1.0),
        },
        crank_end: v(-90.0, 60.0, 222.0),
        idler_end: v(-90.0, -60.0, 222.0),
    };
    machine
}

/// The same with a cross rod and a drag link.
pub fn cross_rod() -> Machine {
    let mut machine = hauler();
    machine.crank.point = v(-160.0, 60.0, 222.0);
    machine.layout = Layout::CrossRod {
        driven: Side::Left,
        drag_inner: v(-90.0, 60.0, 222.0),
        drag_outer: v(-85.0, 320.0, 240.0),
    };
    machine
}

/// The same behind a handlebar with a drag link.
pub fn linked() -> Machine {
    let mut machine = hauler();
    machine.handlebar = Some(Handlebar {
        axis: Axis {
            point: v(-420.0, 0.0, 240.0),
            direction: v(-0.3, 0.0, 1.0),
        },
        arm_end: v(-420.0, 70.0, 240.0),
        crank_end: v(-120.0, 60.0, 222.0),
    });
    machine
}

pub fn masses() -> Masses {
    Masses {
        total_kg: 170.0,
        centre_of_gravity: v(-560.0, 0.0, 780.0),
    }
}

pub fn settings() -> Settings {
    Settings {
        fittings: Fittings {
            masses: Some(masses()),
            ..Fittings::default()
        },
        parts: parts::parts(),
        ..Settings::default()
    }
}

/// The same for machines of points alone, whose kingpins may stand in the plane of the spokes.
pub fn bare() -> Settings {
    let mut bare = settings();
    bare.parts.body = None;
    bare
}

/// One answer, by a plan of its own.
pub fn answer(machine: &Machine, settings: &Settings, quantity: Quantity, over: Over) -> Answer {
    answers(machine, settings, &[Ask { quantity, over }])[0]
}

pub fn answers(machine: &Machine, settings: &Settings, asks: &[Ask]) -> Vec<Answer> {
    let linkage = Linkage::new(machine).expect("the machine assembles");
    let plan = Plan::new(asks, settings).expect("the asks make sense");
    let mut out = vec![Answer::default(); asks.len()];
    plan.evaluate(&linkage, &mut plan.scratch(), &mut out);
    out
}

/// Every quantity over its default range, but those of cables, which a machine seldom has.
pub fn everything() -> Vec<Ask> {
    let all = Quantity::ALL.iter().copied();
    all.filter(|q| q.info().needs != Needs::Cable)
        .map(Ask::usual)
        .collect()
}
