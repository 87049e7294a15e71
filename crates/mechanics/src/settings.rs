//! What a plan is told besides the hardpoints.

use crate::states::{Group, Sag};
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
    /// Largest misalignment of a rod end, degrees, and the only limit of the drag links' ends;
    /// `None`: not limited.
    pub rod_end_limit_deg: Option<f64>,
    /// Where a lean sweep ends if nothing stops it, degrees. Usually 45.
    pub lean_sweep_deg: f64,
    /// Mean travel with the masses of the fittings on board.
    pub sag: Sag,
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
            sag: Sag::Given(0.0),
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
    /// The rider also leans this far out of a turn, degrees, at any radius; 0: never.
    pub lean_out_deg: f64,
    /// Side slope of the ground, degrees: the lean against the ground is that of the turn, more
    /// or less so much.
    pub side_slope_deg: f64,
}

impl Default for Reach {
    /// 0–8 m/s, 2.5–50 m, 12°, parking counts.
    fn default() -> Self {
        Reach {
            speed_mps: [0.0, 8.0],
            radius_m: [2.5, 50.0],
            lean_limit_deg: 12.0,
            parking: true,
            lean_out_deg: 0.0,
            side_slope_deg: 0.0,
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
    /// Bolts of the drag link, in the crank and in the knuckle, as drawn; `None`: along the crank
    /// axis, along the kingpin.
    pub drag_link_bolts: [Option<V3<f64>>; 2],
    /// Bolts of the handlebar's drag link, in the handlebar's arm and in the crank, as drawn;
    /// `None`: along the axis about which each end turns.
    pub handlebar_bolts: [Option<V3<f64>>; 2],
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
    /// What the hands work against beside weight and side force.
    pub effort: Effort,
}

/// What the hands work against beside weight and side force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// Friction of a parked tyre on the ground.
    pub tyre_friction: f64,
    /// Diameter of the patch that it touches the ground with, mm.
    pub patch_mm: f64,
    /// Torque on the handlebar that bearings and housings take, N·m.
    pub friction_nm: f64,
}

impl Default for Effort {
    /// Dry ground and a patch of 60 mm, both invented; no friction.
    fn default() -> Self {
        Effort {
            tyre_friction: 0.8,
            patch_mm: 60.0,
            friction_nm: 0.0,
        }
    }
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
    /// Limits of lower and upper ball joint, inner and outer rod end, radians.
    pub joint_limits: [Option<f64>; 4],
    /// Limit of the drag links' rod ends, radians: the general one.
    pub link_limit: Option<f64>,
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
    /// States of loading that these settings speak of, and their mean travel.
    pub group: Group,
}

/// The crank sweep ends here, degrees, where nothing stops it.
const CRANK_SWEEP_DEG: f64 = 170.0;

impl Inner {
    /// The settings with the masses of the fittings on board.
    pub fn new(settings: &Settings) -> Inner {
        Inner::of(settings, Group::first(settings))
    }

    /// The settings for a group of states of loading.
    pub fn of(settings: &Settings, group: Group) -> Inner {
        let reach = group.reach.unwrap_or(settings.reach);
        let mut fittings = settings.fittings.clone();
        if let Some((_, masses)) = group.states.first() {
            fittings.masses = Some(*masses);
        }
        let end = settings.stop_angle_deg.unwrap_or(CRANK_SWEEP_DEG);
        Inner {
            smallest_transmission_sine: libm::sin(settings.smallest_transmission_deg.to_radians()),
            joint_limits: joint_limits(settings),
            link_limit: settings.rod_end_limit_deg.map(f64::to_radians),
            crank_end: end.min(CRANK_SWEEP_DEG).to_radians(),
            stop_fitted: settings
                .stop_angle_deg
                .is_some_and(|a| a <= CRANK_SWEEP_DEG),
            crank_step: settings.steps.crank_deg.to_radians(),
            lean_end: settings.lean_sweep_deg.to_radians(),
            reach_lean: reach.lean_limit_deg.to_radians(),
            tightest_m: reach.radius_m[0],
            fittings,
            parts: settings.parts.clone(),
            group,
        }
    }

    /// Every centre of gravity lies in the middle plane.
    pub fn weight_centred(&self) -> bool {
        let own = self.fittings.masses.iter();
        own.chain(self.parts.states.iter().map(|state| &state.masses))
            .all(|m| m.centre_of_gravity.y == 0.0)
    }

    /// What stands on the frame stands evenly on both sides.
    pub fn body_centred(&self) -> bool {
        self.parts.body.as_ref().is_none_or(Body::is_symmetric)
    }

    /// A joint limit may stop the steering or the lean.
    pub fn limits_joints(&self) -> bool {
        self.link_limit.is_some() || self.joint_limits.iter().any(Option::is_some)
    }
}

/// The limit of each joint, its own before the general one, radians.
fn joint_limits(settings: &Settings) -> [Option<f64>; 4] {
    let (ball, rod) = (settings.ball_joint_limit_deg, settings.rod_end_limit_deg);
    let own = settings.parts.joint_limits_deg;
    let general = [ball, ball, rod, rod];
    [0, 1, 2, 3].map(|i| own[i].or(general[i]).map(f64::to_radians))
}
