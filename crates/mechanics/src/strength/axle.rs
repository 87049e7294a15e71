//! A stub axle: a stepped round cantilever that does not turn, with the hub on two bearings.

use super::{Criterion, Finish, Material, Reliability, Seat};

/// A length of one diameter, from the knuckle outwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Length, mm.
    pub length: f64,
    /// Diameter, mm.
    pub diameter: f64,
    /// Fillet radius at the inner end, mm; 0 is a square shoulder.
    pub fillet: f64,
}

/// A stub axle. Places are measured along it from its root at the knuckle outwards, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct StubAxle {
    /// The sections from the root outwards; at least one.
    pub sections: Vec<Section>,
    /// Diameter of the boss at the root, mm: the root is a shoulder against it.
    pub boss: f64,
    /// Middle of the inner and the outer bearing, mm from the root, inner first.
    pub bearings: [f64; 2],
    /// The wheel's middle plane, mm from the root.
    pub wheel: f64,
    /// The material.
    pub material: Material,
    /// Its surface.
    pub finish: Finish,
    /// Share of parts that are at least as strong.
    pub reliability: Reliability,
    /// The criterion of the stub axle's safety.
    pub criterion: Criterion,
    /// Share of the brake's torque that the axle carries in torsion, 0 to 1.
    pub torque_share: f64,
    /// How the inner ring of the inner bearing sits.
    pub seat: Seat,
}

/// What a wheel does to its axle, in directions fixed in the knuckle: outwards along the axle,
/// up (across the axle in the plane of the kingpin), forwards.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WheelLoad {
    /// Along the axle, outwards, N.
    pub axial: f64,
    /// Up and forwards, N, as if they acted in the wheel's middle plane.
    pub across: [f64; 2],
    /// Couples on top, N·mm, in the plane of axle and up and of axle and forwards; positive bends
    /// the tip up (forwards).
    pub couple: [f64; 2],
    /// Torque of the brake about the axle, N·mm.
    pub torque: f64,
}

impl WheelLoad {
    /// A force at a point beside the wheel centre, both in (outwards, up, forwards); the torque
    /// about the axle goes to the brake.
    pub fn of_force(force: [f64; 3], at: [f64; 3], braked: bool) -> WheelLoad {
        let torque = at[1] * force[2] - at[2] * force[1];
        WheelLoad {
            axial: force[0],
            across: [force[1], force[2]],
            couple: [1, 2].map(|i| at[0] * force[i] - at[i] * force[0]),
            torque: if braked { torque } else { 0.0 },
        }
    }

    /// The load a share of the way from this one to another.
    pub fn toward(&self, other: &WheelLoad, share: f64) -> WheelLoad {
        let part = |a: f64, b: f64| match share {
            1.0 => b,
            _ => a + share * (b - a),
        };
        let parts = |a: [f64; 2], b: [f64; 2]| [part(a[0], b[0]), part(a[1], b[1])];
        WheelLoad {
            axial: part(self.axial, other.axial),
            across: parts(self.across, other.across),
            couple: parts(self.couple, other.couple),
            torque: part(self.torque, other.torque),
        }
    }

    /// Both loads together.
    pub fn plus(&self, other: &WheelLoad) -> WheelLoad {
        let sum = |a: [f64; 2], b: [f64; 2]| [a[0] + b[0], a[1] + b[1]];
        WheelLoad {
            axial: self.axial + other.axial,
            across: sum(self.across, other.across),
            couple: sum(self.couple, other.couple),
            torque: self.torque + other.torque,
        }
    }
}

impl StubAxle {
    /// Length of the axle, mm.
    pub fn length(&self) -> f64 {
        self.sections.iter().map(|s| s.length).sum()
    }

    /// Mass, kg.
    pub fn mass_kg(&self) -> f64 {
        let volume =
            |s: &Section| 0.25 * core::f64::consts::PI * s.diameter * s.diameter * s.length;
        let all: f64 = self.sections.iter().map(volume).sum();
        all * 1e-9 * self.material.density_kg_m3
    }

    /// Diameter at a place; of the inner section where two meet.
    pub fn diameter_at(&self, place: f64) -> f64 {
        let mut end = 0.0;
        for section in &self.sections {
            end += section.length;
            if place <= end {
                return section.diameter;
            }
        }
        self.sections.last().map_or(self.boss, |s| s.diameter)
    }

    /// Radial forces of the hub on the inner and the outer bearing, per plane, N.
    pub fn bearing_forces(&self, load: &WheelLoad) -> [[f64; 2]; 2] {
        let [inner, outer] = self.bearings;
        let mut forces = [[0.0; 2]; 2];
        let [near, far] = &mut forces;
        for (plane, &force) in load.across.iter().enumerate() {
            far[plane] = (force * (self.wheel - inner) + load.couple[plane]) / (outer - inner);
            near[plane] = force - far[plane];
        }
        forces
    }

    /// Bending moment at a place in both planes, N·mm.
    pub fn moment(&self, load: &WheelLoad, place: f64) -> [f64; 2] {
        let forces = self.bearing_forces(load);
        let mut moment = [0.0; 2];
        for (bearing, force) in self.bearings.into_iter().zip(forces) {
            let arm = (bearing - place).max(0.0);
            moment[0] += arm * force[0];
            moment[1] += arm * force[1];
        }
        moment
    }

    /// Axial force at a place, N: the inner bearing locates the hub.
    pub fn axial(&self, load: &WheelLoad, place: f64) -> f64 {
        match place <= self.bearings[0] {
            true => load.axial,
            false => 0.0,
        }
    }
}
