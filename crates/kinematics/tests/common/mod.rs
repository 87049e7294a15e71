//! A small leaning three-wheeler for the tests: the invented workshop's first frame.

use leanwright_kinematics::{
    Axis, Corner, Coupling, Layout, Machine, Rocker, Side, V3, Wheel, Wishbone,
};

pub fn wheel(x: f64, y: f64, side: Side) -> Wheel {
    Wheel {
        centre: V3::new(x, y, 250.0),
        axis: Wheel::front_axis(side, 0.0, 0.0),
        radius: 250.0,
        section_radius: 23.5,
    }
}

pub fn orchard_hauler() -> Machine {
    let left = Corner {
        lower: Wishbone {
            front_pivot: V3::new(60.0, 75.0, 175.0),
            rear_pivot: V3::new(-60.0, 75.0, 175.0),
            ball_joint: V3::new(4.0, 345.0, 170.0),
        },
        upper: Wishbone {
            front_pivot: V3::new(50.0, 95.0, 330.0),
            rear_pivot: V3::new(-50.0, 95.0, 330.0),
            ball_joint: V3::new(-8.0, 316.0, 330.0),
        },
        rod_inner: V3::new(-80.0, 30.0, 222.0),
        rod_outer: V3::new(-80.0, 322.0, 222.0),
        wheel: wheel(0.0, 395.0, Side::Left),
    };
    Machine {
        left,
        right: left.mirrored(),
        rear: wheel(-1150.0, 0.0, Side::Left),
        crank: Axis {
            point: V3::new(-120.0, 0.0, 222.0),
            direction: V3::new(0.0, 0.0, 1.0),
        },
        coupling: Coupling::MeanTravel,
        layout: Layout::CentreCrank,
        handlebar: None,
    }
}

#[allow(dead_code)]
pub fn with_rocker() -> Machine {
    let foot = V3::new(10.0, 190.0, 200.0);
    Machine {
        coupling: Coupling::Rocker(Rocker {
            axis: Axis {
                point: V3::new(0.0, 0.0, 420.0),
                direction: V3::new(1.0, 0.0, 0.0),
            },
            arm: 150.0,
            left_foot: foot,
            right_foot: foot.mirrored(),
        }),
        ..orchard_hauler()
    }
}

/// Shakes every hardpoint of the left corner by up to `size` mm per coordinate.
#[allow(dead_code)]
pub fn shaken(base: Machine, size: f64, shifts: &[f64]) -> Machine {
    let mut m = base;
    let mut next = shifts.iter().cycle();
    let mut shake = |p: &mut V3<f64>| {
        for c in [&mut p.x, &mut p.y, &mut p.z] {
            *c += size * next.next().copied().unwrap_or(0.0);
        }
    };
    for w in [&mut m.left.lower, &mut m.left.upper] {
        shake(&mut w.front_pivot);
        shake(&mut w.rear_pivot);
        shake(&mut w.ball_joint);
    }
    shake(&mut m.left.rod_inner);
    shake(&mut m.left.rod_outer);
    shake(&mut m.left.wheel.centre);
    shake(&mut m.crank.point);
    m
}
