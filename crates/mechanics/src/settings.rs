//! What a plan is told besides the hardpoints.

use crate::{Body, Parts};
use kinematics::V3;

/// Ranges, limits and grids of an evaluation.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// The steer × lean corners that a rider meets.
    pub reach: Reach,
    /// Smallest transmission angle, degrees, that still counts as steering; below it the
    /// steering is stopped. Usually 15.
    pub smallest_transmission_deg: f64,
    /// Stop angle of the crank, degrees either way; `None`: no stop is fitted.
    pub stop_angle_deg: Option<f64>,
    /// Half-cone limit of the ball joints, degrees; `None`: not limited.
    pub ball_joint_limit_deg: Option<f64>,
    /// Largest misalignment of a rod end, degrees; `None`: not limited.
    pub rod_end_limit_deg: Option<f64>,
    /// Where a lean sweep ends if nothing stops it, degrees. Usually 45.
    pub lean_sweep_deg: f64,
    /// What is bolted to the hardpoints.
    pub fittings: Fittings,
    /// What carries load, and the load cases.
    pub parts: Parts,
    /// Grid steps.
    pub steps: Steps,
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            reach: Reach::default(),
            smallest_transmission_deg: 15.0,
            stop_angle_deg: None,
            ball_joint_limit_deg: None,
            rod_end_limit_deg: None,
            lean_sweep_deg: 45.0,
            fittings: Fittings::default(),
            parts: Parts::default(),
            steps: Steps::default(),
        }
    }
}

/// Which steer × lean corners a rider meets: balanced turns with tan φ = v²/(g R), leaned into
/// the turn, for all speeds and radii of the ranges that need no more lean than the limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Speeds from–to, m/s; 0 ≤ from ≤ to.
    pub speed_mps: [f64; 2],
    /// Radii at the rear contact from–to, m; 0 < from ≤ to.
    pub radius_m: [f64; 2],
    /// Largest lean, degrees.
    pub lean_limit_deg: f64,
    /// Whether steering at a standstill, upright, up to the smallest radius counts.
    pub parking: bool,
}

impl Default for Reach {
    /// 0–8 m/s, 2.5–50 m, 12°, parking counts.
    fn default() -> Self {
        Reach {
            speed_mps: [0.0, 8.0],
            radius_m: [2.5, 50.0],
            lean_limit_deg: 12.0,
            parking: true,
        }
    }
}

/// Steps of the pose grids. Smaller is finer and slower.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// Largest step of a lean sweep, degrees. Usually 1.
    pub lean_deg: f64,
    /// Largest step of a travel sweep, mm. Usually 5.
    pub travel_mm: f64,
    /// Lean rows of the reach map, 1 to 60. Usually 4.
    pub reach_rows: usize,
    /// Curvatures per row of the reach map and turn direction, 1 to 60. Usually 5.
    pub reach_columns: usize,
    /// Largest step of the crank towards a steering stop, degrees. Usually 6.
    pub crank_deg: f64,
}

impl Default for Steps {
    fn default() -> Self {
        Steps {
            lean_deg: 1.0,
            travel_mm: 5.0,
            reach_rows: 4,
            reach_columns: 5,
            crank_deg: 6.0,
        }
    }
}

/// Masses, joints and other parts that a quantity may need. Directions are in frame axes in the
/// design pose, for the left side; the right side is mirrored.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Fittings {
    /// Mass and centre of gravity; needed by rise, effort and yaw moment.
    pub masses: Option<Masses>,
    /// Stud of the lower ball joint, fixed in the knuckle; `None`: along the kingpin.
    pub lower_stud: Option<V3<f64>>,
    /// Stud of the upper ball joint, fixed in the knuckle; `None`: along the kingpin.
    pub upper_stud: Option<V3<f64>>,
    /// Socket axis of the lower ball joint, fixed in the wishbone; `None`: along the stud.
    pub lower_socket: Option<V3<f64>>,
    /// Socket axis of the upper ball joint, fixed in the wishbone; `None`: along the stud.
    pub upper_socket: Option<V3<f64>>,
    /// Bolt of the inner rod end, fixed in the crank; `None`: along the crank axis.
    pub inner_bolt: Option<V3<f64>>,
    /// Bolt of the outer rod end, fixed in the knuckle; `None`: along the kingpin.
    pub outer_bolt: Option<V3<f64>>,
    /// Angle between the two eyes of a rod about the rod, degrees; `None`: set best in the
    /// design pose.
    pub rod_clock_deg: Option<f64>,
    /// Points of the body that count for wall-to-wall turning, mm, in frame axes.
    pub overhangs: Vec<V3<f64>>,
    /// Handlebar degrees per crank degree; `None`: 1.
    pub handlebar_per_crank: Option<f64>,
    /// Travel of a slider per handlebar degree, mm; `None`: 1.
    pub slider_per_handlebar: Option<f64>,
    /// Where the front brakes take their torque.
    pub brake: Brake,
}

/// Mass and centre of gravity of machine, rider and load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Masses {
    /// Total mass, kg.
    pub total_kg: f64,
    /// Centre of gravity, mm, in frame axes; taken as fixed in the frame.
    pub centre_of_gravity: V3<f64>,
}

/// Where a front brake takes its torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Brake {
    /// On the knuckle: the brake force acts at the contact.
    #[default]
    Knuckle,
    /// On the frame, over a shaft: the brake force acts at the wheel centre.
    Frame,
}

/// The settings as the evaluation needs them: radians, sines and cosines.
#[derive(Clone, Debug)]
pub(crate) struct Inner {
    pub smallest_transmission_sine: f64,
    pub ball_joint_limit_cosine: Option<f64>,
    pub rod_end_limit_cosine: Option<f64>,
    /// The crank is swept no further than this, radians; the flag says that a stop is fitted.
    pub crank_end: f64,
    pub stop_fitted: bool,
    pub crank_step: f64,
    pub lean_end: f64,
    /// Lean limit of reach, radians.
    pub reach_lean: f64,
    /// Tightest turn of reach, m.
    pub tightest_m: f64,
    pub fittings: Fittings,
    pub parts: Parts,
}

/// The crank sweep ends here, degrees, where nothing stops it.
const CRANK_SWEEP_DEG: f64 = 170.0;

impl Inner {
    pub fn new(settings: &Settings) -> Inner {
        let cosine = |deg: Option<f64>| deg.map(|d| libm::cos(d.to_radians()));
        let end = settings.stop_angle_deg.unwrap_or(CRANK_SWEEP_DEG);
        Inner {
            smallest_transmission_sine: libm::sin(settings.smallest_transmission_deg.to_radians()),
            ball_joint_limit_cosine: cosine(settings.ball_joint_limit_deg),
            rod_end_limit_cosine: cosine(settings.rod_end_limit_deg),
            crank_end: end.min(CRANK_SWEEP_DEG).to_radians(),
            stop_fitted: settings
                .stop_angle_deg
                .is_some_and(|a| a <= CRANK_SWEEP_DEG),
            crank_step: settings.steps.crank_deg.to_radians(),
            lean_end: settings.lean_sweep_deg.to_radians(),
            reach_lean: settings.reach.lean_limit_deg.to_radians(),
            tightest_m: settings.reach.radius_m[0],
            fittings: settings.fittings.clone(),
            parts: settings.parts.clone(),
        }
    }

    /// Every centre of gravity lies in the middle plane.
    pub fn weight_centred(&self) -> bool {
        let own = self.fittings.masses.iter();
        own.chain(&self.parts.states)
            .all(|m| m.centre_of_gravity.y == 0.0)
    }

    /// What stands on the frame stands evenly on both sides.
    pub fn body_centred(&self) -> bool {
        self.parts.body.as_ref().is_none_or(Body::is_symmetric)
    }

    /// A joint limit may stop the steering or the lean.
    pub fn limits_joints(&self) -> bool {
        self.ball_joint_limit_cosine.is_some() || self.rod_end_limit_cosine.is_some()
    }
}
