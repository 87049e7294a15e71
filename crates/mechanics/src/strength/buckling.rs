//! Buckling of a rod with an eye at either end.

use super::Material;

/// A round rod or tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tube {
    /// Outer diameter, mm.
    pub outer: f64,
    /// Inner diameter, mm; 0 for a solid rod.
    pub inner: f64,
    /// Its material.
    pub material: Material,
}

impl Tube {
    /// Cross-section, mm².
    pub fn area(&self) -> f64 {
        let quarter = 0.25 * core::f64::consts::PI;
        quarter * (self.outer * self.outer - self.inner * self.inner)
    }

    /// Mass of a length (mm), kg.
    pub fn mass_kg(&self, length: f64) -> f64 {
        self.area() * length * 1e-9 * self.material.density_kg_m3
    }

    /// Second moment of area, mm⁴.
    pub fn second_moment(&self) -> f64 {
        let (a, b) = (self.outer * self.outer, self.inner * self.inner);
        core::f64::consts::PI / 64.0 * (a * a - b * b)
    }
}

/// Compression at which a pin-ended straight rod of a length (mm) buckles, N: Euler's
/// π²EI/l², and below the slenderness √(2π²E/S_y) Johnson's parabola, which meets it there
/// (Shigley, 9th ed., sections 4-12 and 4-13).
pub fn critical_load(tube: &Tube, length: f64) -> f64 {
    let pi2 = core::f64::consts::PI * core::f64::consts::PI;
    let (e, proof) = (tube.material.elastic_mpa, tube.material.yield_mpa);
    let slender2 = length * length * tube.area() / tube.second_moment();
    if slender2 >= 2.0 * pi2 * e / proof {
        return pi2 * e * tube.second_moment() / (length * length);
    }
    tube.area() * proof * (1.0 - proof * slender2 / (4.0 * pi2 * e))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::Notch;

    fn steel(elastic_mpa: f64, yield_mpa: f64) -> Material {
        Material {
            ultimate_mpa: 1.2 * yield_mpa,
            yield_mpa,
            elastic_mpa,
            density_kg_m3: 7850.0,
            fatigue_mpa: 0.5 * yield_mpa,
            fatigue_cycles: 1e6,
            endures: true,
            notch: Notch::NeuberSteel,
        }
    }

    #[test]
    fn round_columns_of_shigley_example_4_16() {
        // Shigley, 9th ed., example 4-16 (from memory): Euler gives d = (64 P l²/(π³ C E))^¼ for
        // P = n_d·F = 4·22 kN = 88 kN, pinned ends, E 207 GPa: l 1.5 m needs 37.48 mm. For l
        // 0.375 m Johnson gives d = 2 (P/(π S_y) + S_y l²/(π² C E))^½ with S_y 500 MPa: 19.02 mm,
        // the printed formula evaluated here.
        let of = |outer: f64| Tube {
            outer,
            inner: 0.0,
            material: steel(207_000.0, 500.0),
        };
        let long = critical_load(&of(37.48), 1500.0);
        assert!((long / 88_000.0 - 1.0).abs() < 2e-3, "{long}");
        let short = critical_load(&of(19.0197), 375.0);
        assert!((short / 88_000.0 - 1.0).abs() < 1e-4, "{short}");
    }

    #[test]
    fn both_forms_meet_with_one_slope() {
        let tube = Tube {
            outer: 16.0,
            inner: 13.0,
            material: steel(205_000.0, 448.0),
        };
        let slender = (2.0 * core::f64::consts::PI.powi(2) * 205_000.0_f64 / 448.0).sqrt();
        let length = slender * (tube.second_moment() / tube.area()).sqrt();
        let at = |x: f64| critical_load(&tube, x);
        assert!((at(length * 1.000_001) / at(length * 0.999_999) - 1.0).abs() < 1e-5);
        let slope = |x: f64| at(x + 1e-4) - at(x);
        assert!((slope(length) / slope(length - 2e-4) - 1.0).abs() < 1e-3);
    }
}
