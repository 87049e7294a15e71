//! Stress concentration of a shoulder fillet on a round bar.
//!
//! Roark's *Formulas for Stress and Strain*, table 17.1 (stepped round bar with fillet):
//! K_t = Σ C_i (2h/D)^(i−1), with h = (D − d)/2, nominal stress on the small diameter. Bending
//! is checked against the printed figures; the coefficients of torsion and tension are quoted
//! from memory and checked by their own limit: every set gives K_t = 1 at 2h/D = 1.

/// How the bar is loaded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// Bending.
    Bending,
    /// Torsion.
    Torsion,
    /// Tension.
    Tension,
}

/// A square shoulder is taken as a fillet of this part of the small diameter: the "sharp"
/// shoulder of Shigley's first estimates (9th ed., table 7-1: r/d = 0.02).
const SHARPEST: f64 = 0.02;
/// The fits begin at h/r = 0.25 (tension: 0.1); a flatter step fades to 1 with √(h/r).
const FLATTEST: f64 = 0.25;
/// The fits end at h/r = 20.
const STEEPEST: f64 = 20.0;

/// The radius that a fillet is taken with, mm.
pub(crate) fn radius(small: f64, fillet: f64) -> f64 {
    fillet.max(SHARPEST * small)
}

/// K_t of a shoulder between two diameters (mm) with a fillet radius (mm); 1 without a step.
/// Fillets sharper than 0.02 of the small diameter, 0 included, count as 0.02 of it. For torsion
/// the fit is published to h/r = 4 and carried on beyond.
pub fn shoulder_fillet(mode: Mode, large: f64, small: f64, fillet: f64) -> f64 {
    let height = 0.5 * (large - small);
    if height <= 0.0 {
        return 1.0;
    }
    let steep = (height / radius(small, fillet)).min(STEEPEST);
    let x = 2.0 * height / large;
    if steep < FLATTEST {
        let full = fit(mode, FLATTEST, x).max(1.0);
        return 1.0 + (full - 1.0) * (steep / FLATTEST).sqrt();
    }
    fit(mode, steep, x).max(1.0)
}

/// Per power of 2h/D: constant, √(h/r), h/r.
type Fit = [[f64; 3]; 4];

const BENDING_FLAT: Fit = [
    [0.927, 1.149, -0.086],
    [0.015, -3.281, 0.837],
    [0.847, 1.716, -0.506],
    [-0.790, 0.417, -0.246],
];
const BENDING_STEEP: Fit = [
    [1.225, 0.831, -0.010],
    [-3.790, 0.958, -0.257],
    [7.374, -4.834, 0.862],
    [-3.809, 3.046, -0.595],
];
const TORSION: Fit = [
    [0.953, 0.680, -0.053],
    [-0.493, -1.820, 0.517],
    [1.621, 0.908, -0.529],
    [-1.081, 0.232, 0.065],
];
const TENSION_FLAT: Fit = [
    [0.926, 1.157, -0.099],
    [0.012, -3.036, 0.961],
    [-0.302, 3.977, -1.744],
    [0.365, -2.098, 0.878],
];
const TENSION_STEEP: Fit = [
    [1.200, 0.860, -0.022],
    [-1.805, -0.346, -0.038],
    [2.198, -0.486, 0.165],
    [-0.593, -0.028, -0.106],
];

fn fit(mode: Mode, steep: f64, x: f64) -> f64 {
    let table = match (mode, steep > 2.0) {
        (Mode::Bending, false) => &BENDING_FLAT,
        (Mode::Bending, true) => &BENDING_STEEP,
        (Mode::Torsion, _) => &TORSION,
        (Mode::Tension, false) => &TENSION_FLAT,
        (Mode::Tension, true) => &TENSION_STEEP,
    };
    let c = table.map(|[a, b, c]| a + b * steep.sqrt() + c * steep);
    c[0] + x * (c[1] + x * (c[2] + x * c[3]))
}

/// How the inner ring of a bearing sits on the axle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Seat {
    /// Pressed on: the edge of the ring is a notch, and it frets.
    #[default]
    Pressed,
    /// Loose: no notch is counted.
    Loose,
}

/// Diameter at which the press fits of the standard were tested, mm.
const PRESSED_AT: f64 = 40.0;

/// Fatigue notch factors (bending, torsion) of a shaft at the edge of a pressed-on hub: DIN 743-2
/// (2012), table 1, 2.7·(σ_B/1000 MPa)^0.43 and 0.65 times that, for 40 mm, carried over to the
/// diameter by its K3 = 1 − 0.2·lg β·lg(d/7.5 mm)/lg 20. From memory. The standard is about
/// steels; other metals are taken by their ultimate strength. At least 1.
pub fn press_fit(ultimate_mpa: f64, diameter: f64) -> [f64; 2] {
    let tested = 2.7 * libm::pow(ultimate_mpa * 1e-3, 0.43);
    [tested, 0.65 * tested].map(|beta| {
        let beta = beta.max(1.0);
        let size = |d: f64| {
            let lg = libm::log10(d.clamp(7.5, 150.0) / 7.5);
            1.0 - 0.2 * libm::log10(beta) * lg / libm::log10(20.0)
        };
        (beta * size(PRESSED_AT) / size(diameter)).max(1.0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} against {wanted}");
    }

    #[test]
    fn roark_table_17_1_bending() {
        // Roark, table 17.1, bending: D 24, d 20, r 1 mm gives 1.9477.
        near(
            shoulder_fillet(Mode::Bending, 24.0, 20.0, 1.0),
            1.9477,
            5e-5,
        );
    }

    #[test]
    fn charts_read_by_textbooks() {
        // Shigley, 9th ed., example 7-1: D/d 1.5, r/d 0.1: K_t 1.68 (bending), K_ts 1.42
        // (torsion), and 10th ed., example 6-6: D 38, d 32, r 3: 1.65. Chart readings and
        // published fits differ by 3 to 5 %.
        near(
            shoulder_fillet(Mode::Bending, 1.65, 1.1, 0.11),
            1.68,
            0.05 * 1.68,
        );
        near(
            shoulder_fillet(Mode::Torsion, 1.65, 1.1, 0.11),
            1.42,
            0.05 * 1.42,
        );
        near(
            shoulder_fillet(Mode::Bending, 38.0, 32.0, 3.0),
            1.65,
            0.05 * 1.65,
        );
    }

    #[test]
    fn sharp_shoulders_of_first_estimates() {
        // Shigley, 9th ed., table 7-1, sharp shoulder r/d = 0.02: bending 2.7, torsion 2.2,
        // tension 3.0, for steps of an unnamed size: 10 % says the order is right.
        let sharp = |mode| shoulder_fillet(mode, 30.0, 20.0, 0.0);
        near(sharp(Mode::Bending), 2.7, 0.27);
        near(sharp(Mode::Torsion), 2.2, 0.22);
        near(sharp(Mode::Tension), 3.0, 0.30);
    }

    #[test]
    fn pressed_on_hubs_of_the_standard() {
        // DIN 743-2, table 1, interference fit, d 40 mm (from memory): rows of the ultimate
        // strength with their factors in bending and torsion, printed to one decimal.
        let rows = [
            (400.0, 1.8, 1.2),
            (500.0, 2.0, 1.3),
            (600.0, 2.2, 1.4),
            (700.0, 2.3, 1.5),
            (800.0, 2.5, 1.6),
            (900.0, 2.6, 1.7),
            (1000.0, 2.7, 1.8),
            (1100.0, 2.8, 1.8),
            (1200.0, 2.9, 1.9),
        ];
        for (ultimate, bending, torsion) in rows {
            let [found, twisted] = press_fit(ultimate, 40.0);
            near(found, bending, 0.06);
            near(twisted, torsion, 0.06);
        }
        // Thinner is less notched, and a metal without strength is not notched at all.
        assert!(press_fit(1000.0, 20.0)[0] < press_fit(1000.0, 40.0)[0]);
        assert_eq!(press_fit(10.0, 20.0), [1.0, 1.0]);
    }

    #[test]
    fn each_fit_ends_at_one() {
        // A bar that vanishes (2h/D = 1) concentrates nothing: derived from the form of the fit.
        for mode in [Mode::Bending, Mode::Torsion, Mode::Tension] {
            for steep in [0.25, 1.0, 2.0, 3.9] {
                near(fit(mode, steep, 1.0), 1.0, 0.025);
            }
        }
    }

    #[test]
    fn continuous_where_the_fits_meet() {
        for mode in [Mode::Bending, Mode::Torsion, Mode::Tension] {
            for fillet in [4.0, 0.5] {
                // h = 1 mm: h/r is 0.25 and 2.
                let large = 22.0;
                let below = shoulder_fillet(mode, large - 1e-9, 20.0, fillet);
                let above = shoulder_fillet(mode, large + 1e-9, 20.0, fillet);
                near(below, above, 0.02 * above);
            }
        }
        assert_eq!(shoulder_fillet(Mode::Bending, 20.0, 20.0, 1.0), 1.0);
    }
}
