//! A material, and how its endurance limit becomes that of a part.

/// Strengths of a material, MPa (N/mm²).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Ultimate tensile strength, MPa.
    pub ultimate_mpa: f64,
    /// Yield strength, MPa.
    pub yield_mpa: f64,
    /// Modulus of elasticity, MPa.
    pub elastic_mpa: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Fatigue strength of a polished specimen in fully reversed bending, MPa.
    pub fatigue_mpa: f64,
    /// Cycles at which that strength was taken.
    pub fatigue_cycles: f64,
    /// The strength is a limit: smaller stresses do no damage at all.
    pub endures: bool,
    /// How sensitive it is to notches.
    pub notch: Notch,
}

/// Notch sensitivity as a length of the material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Notch {
    /// Neuber's constant of steels as a fit over the ultimate strength (Shigley, 9th ed.,
    /// equations 6-35): q = 1/(1 + √a/√r).
    NeuberSteel,
    /// Peterson's form q = 1/(1 + a/r) with a length in mm.
    Peterson(f64),
}

/// MPa per kpsi.
const KPSI: f64 = 6.894_757_293_168_361;
/// Millimetres per inch.
const INCH: f64 = 25.4;

impl Notch {
    /// Notch sensitivity at a fillet radius in mm, 0 to 1; `torsion` for shear.
    pub fn sensitivity(self, ultimate_mpa: f64, radius: f64, torsion: bool) -> f64 {
        match self {
            Notch::Peterson(length) => 1.0 / (1.0 + length / radius),
            Notch::NeuberSteel => {
                // The fit holds from 50 to 250 kpsi (bending), to 220 kpsi (torsion).
                let highest = if torsion { 220.0 } else { 250.0 };
                let s = (ultimate_mpa / KPSI).clamp(50.0, highest);
                let [a, b, c] = match torsion {
                    false => [0.246, -3.08e-3, 1.51e-5],
                    true => [0.190, -2.51e-3, 1.35e-5],
                };
                let root = a + s * (b + s * (c - 2.67e-8 * s));
                1.0 / (1.0 + root / (radius / INCH).sqrt())
            }
        }
    }
}

/// Surface of a part (Shigley, 9th ed., table 6-2).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Finish {
    /// Ground.
    Ground,
    /// Machined or cold-drawn.
    #[default]
    Machined,
    /// Hot-rolled.
    HotRolled,
    /// As forged.
    Forged,
}

impl Finish {
    /// Surface factor k_a = a·S_ut^b, at most 1.
    pub fn factor(self, ultimate_mpa: f64) -> f64 {
        let (a, b) = match self {
            Finish::Ground => (1.58, -0.085),
            Finish::Machined => (4.51, -0.265),
            Finish::HotRolled => (57.7, -0.718),
            Finish::Forged => (272.0, -0.995),
        };
        (a * libm::pow(ultimate_mpa, b)).min(1.0)
    }
}

/// Share of parts that are at least as strong (Shigley, 9th ed., table 6-5).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Reliability {
    /// 50 %: mean values.
    Half,
    /// 90 %.
    Ninety,
    /// 95 %.
    NinetyFive,
    /// 99 %.
    #[default]
    NinetyNine,
    /// 99.9 %.
    ThreeNines,
    /// 99.99 %.
    FourNines,
}

impl Reliability {
    /// Reliability factor k_e.
    pub fn factor(self) -> f64 {
        match self {
            Reliability::Half => 1.0,
            Reliability::Ninety => 0.897,
            Reliability::NinetyFive => 0.868,
            Reliability::NinetyNine => 0.814,
            Reliability::ThreeNines => 0.753,
            Reliability::FourNines => 0.702,
        }
    }
}

/// Size factor k_b of an equivalent rotating diameter in mm (Shigley, 9th ed., equation 6-20);
/// 1 below its range.
pub(crate) fn size_factor(diameter: f64) -> f64 {
    match diameter {
        d if d <= 51.0 => (1.24 * libm::pow(d, -0.107)).min(1.0),
        d => 1.51 * libm::pow(d.min(254.0), -0.157),
    }
}

/// Equivalent diameter of a round bar that is bent but does not turn (Shigley, 9th ed.,
/// equation 6-24): 0.370 of its own.
pub(crate) const STANDING_BAR: f64 = 0.370;

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} against {wanted}");
    }

    #[test]
    fn factors_of_shigley_9th_example_7_1() {
        // Shigley, 9th ed., example 7-1, p. 370: S_ut 105 kpsi, machined, d 1.1 in, r 0.11 in:
        // k_a 0.787, k_b 0.870, q 0.85, q_s 0.88 (two and three digits as printed).
        let ultimate = 105.0 * KPSI;
        near(Finish::Machined.factor(ultimate), 0.787, 1e-3);
        // The book works in inches, 0.879 d^−0.107, which is 0.2 % above its form in mm.
        near(size_factor(1.1 * INCH), 0.870, 2e-3);
        let q = |torsion| Notch::NeuberSteel.sensitivity(ultimate, 0.11 * INCH, torsion);
        near(q(false), 0.85, 0.015);
        near(q(true), 0.88, 0.01);
    }

    #[test]
    fn sensitivity_of_shigley_10th_example_6_6() {
        // Shigley, 10th ed., example 6-6: S_ut 690 MPa, r 3 mm: q 0.8468, read with a rounded
        // √a of 0.0622 √in, hence the tolerance.
        near(
            Notch::NeuberSteel.sensitivity(690.0, 3.0, false),
            0.8468,
            1e-3,
        );
    }

    #[test]
    fn the_fit_joins_at_51_mm() {
        // Both branches of equation 6-20 are printed to three digits and meet to 1 %.
        near(size_factor(51.0), size_factor(51.000_001), 0.01);
    }
}
