//! How far a spherical plain bearing or rod end can tilt by its sizes.

/// Sizes of a spherical plain bearing or of the eye of a rod end, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearing {
    /// Diameter of the ball, d_k.
    pub ball_diameter_mm: f64,
    /// Width of the inner ring across the bolt's shoulders, B.
    pub inner_width_mm: f64,
    /// Width of the outer ring or of the eye, C.
    pub outer_width_mm: f64,
}

impl Bearing {
    /// The tilt at which the rim of the outer ring stands level with the face of the inner one,
    /// asin(B/d_k) − asin(C/d_k), degrees. Catalogues of ISO 12240 bearings print its floor. A
    /// shoulder wider than the inner ring's face takes more of it away. Needs C ≤ B ≤ d_k.
    pub fn tilt_deg(&self) -> f64 {
        let half = |width: f64| libm::asin((width / self.ball_diameter_mm).clamp(0.0, 1.0));
        (half(self.inner_width_mm) - half(self.outer_width_mm)).to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 12240-1 series E, bore 4: B 5, C 3, d_k 8, catalogue 16°, 16.66° computed; bore 40
    /// sealed: B 64, C 44, d_k 80, catalogue 19° (seen). Rod end ISO 12240-4 series K, M10: d_k
    /// 19.05, C 10.5, B 14 (sizes from memory), catalogue 13° (seen).
    #[test]
    fn catalogues_print_the_floor_of_the_tilt() {
        for (b, c, d, printed) in [
            (5.0, 3.0, 8.0, 16.0),
            (64.0, 44.0, 80.0, 19.0),
            (14.0, 10.5, 19.05, 13.0),
        ] {
            let tilt = Bearing {
                ball_diameter_mm: d,
                inner_width_mm: b,
                outer_width_mm: c,
            }
            .tilt_deg();
            assert_eq!(tilt.floor(), printed, "{tilt}");
        }
        let small = Bearing {
            ball_diameter_mm: 8.0,
            inner_width_mm: 5.0,
            outer_width_mm: 3.0,
        };
        assert!((small.tilt_deg() - 16.66).abs() < 0.005);
    }
}
