//! Joint limits given by the sizes of a bearing instead of degrees.

use crate::vehicle::Limits;
use serde::{Deserialize, Serialize};

/// Sizes of a spherical bearing or of the eye of a rod end, as catalogues give them, mm. Its tilt
/// is asin(B/d) − asin(C/d), in degrees a little more than the catalogue's.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BearingInput {
    /// Diameter of the ball, d.
    pub ball_diameter_mm: f64,
    /// Width of the inner ring, B; at most the ball's diameter.
    pub inner_width_mm: f64,
    /// Width of the outer ring or eye, C; below B.
    pub outer_width_mm: f64,
}

impl BearingInput {
    /// Its tilt, degrees.
    pub(crate) fn tilt_deg(self) -> f64 {
        let bearing = mechanics::Bearing {
            ball_diameter_mm: self.ball_diameter_mm,
            inner_width_mm: self.inner_width_mm,
            outer_width_mm: self.outer_width_mm,
        };
        bearing.tilt_deg()
    }
}

impl Limits {
    /// Half-cone of the ball joints, degrees, given as such or by their bearing's sizes.
    pub fn ball_joint(&self) -> Option<f64> {
        let tilt = self.ball_joint_bearing.map(BearingInput::tilt_deg);
        self.ball_joint_deg.or(tilt)
    }

    /// Largest misalignment of a rod end, degrees, given as such or by its eye's sizes.
    pub fn rod_end(&self) -> Option<f64> {
        let tilt = self.rod_end_bearing.map(BearingInput::tilt_deg);
        self.rod_end_deg.or(tilt)
    }
}
