//! The colour scale of maps: bands between fixed levels, so that one colour means the same
//! error in every map of every report.
//!
//! Blue-green for negative and ochre for positive values stay apart for all common kinds of
//! colour blindness; both darken outwards, and the levels are written on the lines.

/// Levels on either side of zero, in degrees.
pub(crate) const LEVELS: [f64; 6] = [0.25, 0.5, 1.0, 2.0, 4.0, 8.0];

/// Colour of lines and numbers on the bands.
pub(crate) const LINE: &str = "#39434a";

const MIDDLE: &str = "#f6f4ec";
const ABOVE: [&str; 6] = [
    "#f3e4c8", "#ecc997", "#dfa563", "#c97c38", "#a4561f", "#6f3612",
];
const BELOW: [&str; 6] = [
    "#dae9eb", "#b5d4da", "#84b6c4", "#5293a8", "#286e88", "#0f4862",
];

/// Bands from the lowest: lower level (none for the lowest band) and colour.
pub(crate) fn bands(signed: bool) -> Vec<(Option<f64>, &'static str)> {
    let mut out = Vec::new();
    if signed {
        out.push((None, BELOW[5]));
        for k in (1..6).rev() {
            out.push((Some(-LEVELS[k]), BELOW[k - 1]));
        }
        out.push((Some(-LEVELS[0]), MIDDLE));
    } else {
        out.push((None, MIDDLE));
    }
    out.extend(LEVELS.iter().zip(ABOVE).map(|(l, c)| (Some(*l), c)));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn luminance(colour: &str) -> f64 {
        let part = |k: usize| {
            let byte = u8::from_str_radix(&colour[k..k + 2], 16).unwrap();
            let v = f64::from(byte) / 255.0;
            if v <= 0.04045 {
                v / 12.92
            } else {
                libm::pow((v + 0.055) / 1.055, 2.4)
            }
        };
        // Relative luminance as in WCAG 2.1, from IEC 61966-2-1 (sRGB).
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    }

    #[test]
    fn levels_rise_and_colours_darken_outwards() {
        let bands = bands(true);
        assert_eq!(bands.len(), 13);
        let levels: Vec<f64> = bands.iter().filter_map(|b| b.0).collect();
        assert!(levels.is_sorted());
        let light: Vec<f64> = bands.iter().map(|b| luminance(b.1)).collect();
        assert!(light[..=6].is_sorted() && light[6..].iter().rev().is_sorted());
        for pair in light.windows(2) {
            let (a, b) = (pair[0].max(pair[1]) + 0.05, pair[0].min(pair[1]) + 0.05);
            assert!(a / b > 1.07, "neighbours differ in lightness: {light:?}");
        }
    }
}
