//! The published RSSR four-bar inside the whole machine.
//!
//! A machine is laid out so that its left steering loop is exactly the four-bar: the crank
//! turns about z in the origin, the kingpin lies along y through (1.5, 2, 0.5), and the wheel
//! spins about the kingpin, so that steering rolls it and moves nothing else.
//!
//! Source: A cos ψ + B sin ψ = C with two assemblies, none where A² + B² < C²: McCarthy & Soh,
//! *Geometric Design of Linkages*, 2nd edition, appendix A, p. 411. The two angles at 90° are
//! derived from that equation: 94.715328748° and −57.845431102°.

use kinematics::{
    Axis, Corner, Coupling, Failure, Layout, Linkage, Loop, Machine, Side, Target, V3, Wheel,
    Wishbone,
};

/// Lengths of the example are 1, 2 and 3; here in units of 100 mm.
const UNIT_MM: f64 = 100.0;

fn wishbone(pivot: [f64; 2], ball_joint: [f64; 3]) -> Wishbone {
    Wishbone {
        front_pivot: V3::new(210.0, pivot[0], pivot[1]),
        rear_pivot: V3::new(90.0, pivot[0], pivot[1]),
        ball_joint: V3::from(ball_joint),
    }
}

fn corner(rod_inner: [f64; 3], rod_outer: [f64; 3]) -> Corner {
    Corner {
        lower: wishbone([80.0, 45.0], [150.0, 150.0, 50.0]),
        upper: wishbone([90.0, 90.0], [150.0, 260.0, 50.0]),
        rod_inner: V3::from(rod_inner),
        rod_outer: V3::from(rod_outer),
        wheel: Wheel {
            centre: V3::new(150.0, 205.0, 50.0),
            axis: V3::new(0.0, 1.0, 0.0),
            radius: 50.0,
            section_radius: 0.0,
        },
    }
}

/// The machine with the left follower at `psi_deg` while the crank stands at 90°. The right
/// rod hangs on a short crank arm, so that it never stops the left one.
fn machine(psi_deg: f64) -> Machine {
    let (sin, cos) = psi_deg.to_radians().sin_cos();
    let outer = [150.0 + 200.0 * cos, 200.0, 50.0 + 200.0 * sin];
    Machine {
        left: corner([0.0, 100.0, 0.0], outer),
        right: corner([10.0, 0.0, 0.0], [150.0, 200.0, 250.0]).mirrored(),
        rear: Wheel {
            centre: V3::new(-900.0, 0.0, 50.0),
            axis: V3::new(0.0, 1.0, 0.0),
            radius: 50.0,
            section_radius: 0.0,
        },
        crank: Axis {
            point: V3::new(0.0, 0.0, 0.0),
            direction: V3::new(0.0, 0.0, 1.0),
        },
        layout: Layout::CentreCrank,
        handlebar: None,
        coupling: Coupling::MeanTravel,
    }
}

fn steered(theta_deg: f64) -> Target {
    Target {
        lean: 0.0,
        steer: (theta_deg - 90.0).to_radians(),
        mean_travel: None,
    }
}

/// Both follower angles of the published equation, degrees.
fn published(theta_deg: f64) -> [f64; 2] {
    let (sin, cos) = theta_deg.to_radians().sin_cos();
    let gap = [1.5 - cos, 2.0 - sin, 0.5];
    let (a, b) = (4.0 * gap[0], 4.0 * gap[2]);
    let c = 9.0 - 4.0 - gap.iter().map(|x| x * x).sum::<f64>();
    let (middle, spread) = (b.atan2(a), (c / a.hypot(b)).acos());
    [middle + spread, middle - spread].map(f64::to_degrees)
}

#[test]
fn the_printed_angles_follow_from_the_published_equation() {
    let found = published(90.0);
    assert!((found[0] - 94.715328748).abs() < 1e-9, "{found:?}");
    assert!((found[1] + 57.845431102).abs() < 1e-9, "{found:?}");
}

#[test]
fn a_steered_machine_follows_both_assemblies() {
    for (branch, start) in published(90.0).into_iter().enumerate() {
        let linkage = Linkage::new(&machine(start)).expect("the machine assembles");
        for theta in [-60.0, -30.0, 0.0, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0] {
            let pose = linkage.pose(&steered(theta)).expect("the pose is reached");
            let end = pose.left.rod_outer;
            let psi = (end.z / UNIT_MM - 0.5)
                .atan2(end.x / UNIT_MM - 1.5)
                .to_degrees();
            let gap = (psi - published(theta)[branch] + 540.0).rem_euclid(360.0) - 180.0;
            assert!(
                gap.abs() < 1e-8,
                "crank at {theta}°: ψ = {psi}°, off by {gap}°"
            );
        }
    }
}

#[test]
fn a_crank_at_270_degrees_cannot_assemble() {
    for start in published(90.0) {
        let linkage = Linkage::new(&machine(start)).expect("the machine assembles");
        let failure = linkage.pose(&steered(270.0)).expect_err("no such pose");
        assert!(
            matches!(
                failure,
                Failure::CannotAssemble {
                    which: Loop::TieRod(Side::Left),
                    ..
                }
            ),
            "{failure}"
        );
    }
}
