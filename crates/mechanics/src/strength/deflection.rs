//! Deflection of a stub axle and how far it tilts the wheel (Euler and Bernoulli's beam; shear,
//! bearings and hub do not give).

use super::{StubAxle, WheelLoad};

/// Tilt of the wheel against its unloaded place, radians.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tilt {
    /// In the plane of axle and up: positive when the tip rises, so that the wheel's top moves
    /// inwards (camber falls).
    pub up: f64,
    /// In the plane of axle and forwards: positive when the tip moves forwards (toe-out).
    pub forward: f64,
}

impl StubAxle {
    /// Deflection and slope at a place, per plane: [[mm; 2], [radians; 2]]. The moment is linear
    /// between bearings and the diameter constant between shoulders, so that each piece is
    /// integrated exactly.
    pub fn deflection(&self, load: &WheelLoad, place: f64) -> [[f64; 2]; 2] {
        let (mut at, mut sunk, mut slope) = (0.0, [0.0; 2], [0.0; 2]);
        let mut end = 0.0;
        for section in &self.sections {
            end += section.length;
            let d2 = section.diameter * section.diameter;
            let stiffness = self.material.elastic_mpa * core::f64::consts::PI / 64.0 * d2 * d2;
            let [inner, outer] = self.bearings;
            for stop in [inner, outer, end] {
                let to = stop.min(end).min(place);
                if to <= at {
                    continue;
                }
                let run = to - at;
                let (m, n) = (self.moment(load, at), self.moment(load, to));
                for plane in 0..2 {
                    let (a, b) = (m[plane] / stiffness, n[plane] / stiffness);
                    sunk[plane] += run * slope[plane] + run * run * (a / 3.0 + b / 6.0);
                    slope[plane] += 0.5 * run * (a + b);
                }
                at = to;
            }
        }
        [sunk, slope]
    }

    /// Tilt of the wheel: the line through the middles of both bearings.
    pub fn tilt(&self, load: &WheelLoad) -> Tilt {
        let [inner, outer] = self.bearings.map(|place| self.deflection(load, place)[0]);
        let run = self.bearings[1] - self.bearings[0];
        Tilt {
            up: libm::atan((outer[0] - inner[0]) / run),
            forward: libm::atan((outer[1] - inner[1]) / run),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::strength::*;

    fn axle(sections: &[[f64; 2]], bearings: [f64; 2]) -> StubAxle {
        StubAxle {
            sections: sections
                .iter()
                .map(|&[length, diameter]| Section {
                    length,
                    diameter,
                    fillet: 1.0,
                })
                .collect(),
            boss: 40.0,
            bearings,
            wheel: bearings[1],
            material: Material {
                ultimate_mpa: 900.0,
                yield_mpa: 650.0,
                elastic_mpa: 205_000.0,
                density_kg_m3: 7850.0,
                fatigue_mpa: 450.0,
                fatigue_cycles: 1e6,
                endures: true,
                notch: Notch::NeuberSteel,
            },
            finish: Finish::Machined,
            reliability: Reliability::NinetyNine,
            criterion: Criterion::Goodman,
            torque_share: 0.0,
            seat: Seat::Loose,
        }
    }

    fn second_moment(d: f64) -> f64 {
        core::f64::consts::PI / 64.0 * d * d * d * d
    }

    #[test]
    fn end_load_on_a_plain_cantilever() {
        // Closed forms of any beam table: F l³/(3EI) and F l²/(2EI) at the end.
        let plain = axle(&[[100.0, 20.0]], [40.0, 100.0]);
        let load = WheelLoad {
            across: [500.0, -200.0],
            ..WheelLoad::default()
        };
        let [sunk, slope] = plain.deflection(&load, 100.0);
        let ei = 205_000.0 * second_moment(20.0);
        for (plane, force) in [(0, 500.0), (1, -200.0)] {
            assert!((sunk[plane] / (force * 1e6 / (3.0 * ei)) - 1.0).abs() < 1e-12);
            assert!((slope[plane] / (force * 1e4 / (2.0 * ei)) - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn couple_on_a_plain_cantilever() {
        // A couple M taken by both bearings bends like two opposite forces M/s at x1 and x2; at
        // the end of a long axle by superposition of F a²(3l − a)/(6EI).
        let plain = axle(&[[120.0, 17.0]], [30.0, 80.0]);
        let load = WheelLoad {
            couple: [10_000.0, 0.0],
            ..WheelLoad::default()
        };
        let ei = 205_000.0 * second_moment(17.0);
        let at = |a: f64| a * a * (3.0 * 120.0 - a) / (6.0 * ei);
        let wanted = 10_000.0 / 50.0 * (at(80.0) - at(30.0));
        assert!((plain.deflection(&load, 120.0)[0][0] / wanted - 1.0).abs() < 1e-12);
    }

    #[test]
    fn stepped_cantilever_by_unit_load() {
        // End deflection of a cantilever in two steps under an end force, by the unit-load
        // theorem: F/(3E)·[l2³/I2 + ((l1+l2)³ − l2³)/I1].
        let stepped = axle(&[[50.0, 25.0], [70.0, 17.0]], [60.0, 120.0]);
        let load = WheelLoad {
            across: [800.0, 0.0],
            ..WheelLoad::default()
        };
        let (i1, i2) = (second_moment(25.0), second_moment(17.0));
        let (outer, whole) = (70.0_f64.powi(3), 120.0_f64.powi(3));
        let wanted = 800.0 / (3.0 * 205_000.0) * (outer / i2 + (whole - outer) / i1);
        assert!((stepped.deflection(&load, 120.0)[0][0] / wanted - 1.0).abs() < 1e-12);
    }

    #[test]
    fn bearings_carry_the_whole_wrench() {
        let stepped = axle(&[[50.0, 25.0], [70.0, 17.0]], [45.0, 105.0]);
        let stepped = StubAxle {
            wheel: 70.0,
            ..stepped
        };
        let load = WheelLoad::of_force([300.0, 900.0, -250.0], [2.0, -250.0, 0.0], false);
        let [inner, outer] = stepped.bearing_forces(&load);
        assert!((inner[0] + outer[0] - 900.0).abs() < 1e-9);
        // At the root: the upward force on its arm, and the outward force below the axle, which
        // bends the tip up.
        let wanted = 900.0 * 72.0 + 300.0 * 250.0;
        assert!((stepped.moment(&load, 0.0)[0] - wanted).abs() < 1e-6);
        assert!((stepped.moment(&load, 0.0)[1] + 250.0 * 72.0).abs() < 1e-6);
    }
}
