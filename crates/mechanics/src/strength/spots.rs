//! Stress at the places of a stub axle where it may break: its root, every shoulder, and under
//! the inner bearing.

use super::material::{STANDING_BAR, size_factor};
use super::notch::radius;
use super::{Mode, Seat, Stress, StubAxle, WheelLoad, WoehlerLine, press_fit, shoulder_fillet};

/// A place of a stub axle, mm from the root, with its notch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Place, mm from the root.
    pub place: f64,
    /// Index of the section whose inner end it is; `None` under the inner bearing.
    pub section: Option<usize>,
    /// Smaller diameter of the shoulder, mm.
    pub diameter: f64,
    /// Concentration factors of the shoulder: bending, torsion, tension; 1 under the bearing.
    pub concentration: [f64; 3],
    /// Fatigue notch factors, the same; under the bearing those of its seat.
    pub notch: [f64; 3],
    /// Endurance limit of the part there, MPa.
    pub endurance: f64,
}

/// Stress at a spot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpotStress {
    /// Nominal normal stress amplitude and mean, MPa, without notch factor.
    pub nominal: [f64; 2],
    /// Von Mises stress with notch factors.
    pub stress: Stress,
}

impl StubAxle {
    /// How many spots there are.
    pub fn spot_count(&self) -> usize {
        self.sections.len() + 1
    }

    /// One spot, in order from the root; the last is under the inner bearing.
    ///
    /// # Panics
    /// If there is no such spot.
    pub fn spot(&self, index: usize) -> Spot {
        let place = match index < self.sections.len() {
            true => self.sections[..index].iter().map(|s| s.length).sum(),
            false => self.bearings[0],
        };
        let (large, small, fillet, section) = match self.sections.get(index) {
            Some(own) => {
                let inside = match index {
                    0 => self.boss,
                    _ => self.sections[index - 1].diameter,
                };
                let (large, small) = (inside.max(own.diameter), inside.min(own.diameter));
                (large, small, own.fillet, Some(index))
            }
            None => {
                assert_eq!(index, self.sections.len(), "no such spot");
                let d = self.diameter_at(place);
                (d, d, 0.0, None)
            }
        };
        let modes = [Mode::Bending, Mode::Torsion, Mode::Tension];
        let concentration = modes.map(|mode| shoulder_fillet(mode, large, small, fillet));
        let notch = |i: usize| {
            let r = radius(small, fillet);
            let torsion = modes[i] == Mode::Torsion;
            let q = self
                .material
                .notch
                .sensitivity(self.material.ultimate_mpa, r, torsion);
            1.0 + q * (concentration[i] - 1.0)
        };
        let notch = match (section, self.seat) {
            (None, Seat::Pressed) => {
                let [bending, torsion] = press_fit(self.material.ultimate_mpa, small);
                [bending, torsion, bending]
            }
            _ => [notch(0), notch(1), notch(2)],
        };
        Spot {
            place,
            section,
            diameter: small,
            concentration,
            notch,
            endurance: self.endurance(small),
        }
    }

    /// Endurance limit of the axle at a diameter, MPa: specimen × surface × size × reliability
    /// (Shigley, 9th ed., section 6-9).
    fn endurance(&self, diameter: f64) -> f64 {
        self.material.fatigue_mpa
            * self.finish.factor(self.material.ultimate_mpa)
            * size_factor(STANDING_BAR * diameter)
            * self.reliability.factor()
    }

    /// Stress at a spot while the load swings between two states. Bending is followed in both
    /// planes to the fibre whose swing is widest.
    pub fn stress(&self, spot: &Spot, from: &WheelLoad, to: &WheelLoad) -> SpotStress {
        let d = spot.diameter;
        let area = 0.25 * core::f64::consts::PI * d * d;
        let modulus = 0.125 * area * d;
        let (a, b) = (self.moment(from, spot.place), self.moment(to, spot.place));
        let swing = [0.5 * (b[0] - a[0]), 0.5 * (b[1] - a[1])];
        let middle = [0.5 * (b[0] + a[0]), 0.5 * (b[1] + a[1])];
        let amplitude = libm::hypot(swing[0], swing[1]);
        let mean = match amplitude > 1e-12 {
            true => (middle[0] * swing[0] + middle[1] * swing[1]).abs() / amplitude,
            false => libm::hypot(middle[0], middle[1]),
        };
        let pull = [self.axial(from, spot.place), self.axial(to, spot.place)];
        let half = |x: [f64; 2]| [0.5 * (x[1] - x[0]).abs(), 0.5 * (x[1] + x[0]).abs()];
        let (pull, twist) = (half(pull), half([from.torque, to.torque]));
        let bending = [amplitude / modulus, mean / modulus];
        let tension = pull.map(|p| p / area);
        let shear = twist.map(|t| self.torque_share * 0.5 * t / modulus);
        let [kf, kfs, kfa] = spot.notch;
        let normal = |i: usize| kf * bending[i] + kfa * tension[i];
        SpotStress {
            nominal: [0, 1].map(|i: usize| bending[i] + tension[i]),
            stress: Stress::combined([normal(0), normal(1)], shear.map(|t| kfs * t)),
        }
    }

    /// The Wöhler line at a spot.
    pub fn woehler_line(&self, spot: &Spot) -> WoehlerLine {
        WoehlerLine::new(&self.material, spot.endurance)
    }
}
