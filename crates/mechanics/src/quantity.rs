//! The closed list of quantities.

use crate::table::{QuantityInfo, TABLE};

macro_rules! quantities {
    ($($variant:ident $name:literal),+ $(,)?) => {
        /// A quantity of a machine. Closed: a plan must know every one, see [`TABLE`].
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Quantity {
            $(#[doc = concat!("`", $name, "`")] $variant),+
        }

        impl Quantity {
            /// All quantities, in the order of [`TABLE`].
            pub const ALL: &'static [Quantity] = &[$(Quantity::$variant),+];

            /// The name, unit included, as it stands in files.
            pub const fn name(self) -> &'static str {
                match self {
                    $(Quantity::$variant => $name),+
                }
            }
        }
    };
}

quantities! {
    Track "track_mm",
    Wheelbase "wheelbase_mm",
    KingpinInclination "kingpin_inclination_deg",
    Caster "caster_deg",
    Trail "trail_mm",
    ScrubRadius "scrub_radius_mm",
    KingpinOffset "kingpin_offset_mm",
    ToeIn "toe_in_deg",
    Camber "camber_deg",
    BumpSteer "bump_steer_deg",
    BumpSteerSlope "bump_steer_slope_deg_per_mm",
    BumpSteerEven "bump_steer_even_deg",
    BumpSteerOdd "bump_steer_odd_deg",
    LeanSteer "lean_steer_deg",
    LeanSteerCommon "lean_steer_common_deg",
    LeanSteerDifference "lean_steer_difference_deg",
    SteeringError "steering_error_deg",
    SteeringErrorRms "steering_error_rms_deg",
    SteeringSlip "steering_slip_deg",
    SteeringRatio "steering_ratio",
    SteeringRatioSpread "steering_ratio_spread",
    KnuckleAngle "knuckle_angle_deg",
    CrankAngleMargin "crank_angle_margin_deg",
    TransmissionAngle "transmission_angle_deg",
    TurningRadiusRear "turning_radius_rear_m",
    TurningRadiusKerb "turning_radius_kerb_m",
    TurningRadiusWall "turning_radius_wall_m",
    TurningRadiusInner "turning_radius_inner_m",
    TurningCutIn "turning_cut_in_m",
    WheelLock "wheel_lock_deg",
    CrankTravel "crank_travel_deg",
    BallJointAngle "ball_joint_angle_deg",
    RodEndAngle "rod_end_angle_deg",
    JointAngleUse "joint_angle_use",
    JointMass "joint_mass_kg",
    LeanRange "lean_range_deg",
    TrackChange "track_change_mm",
    SidewaysScrub "sideways_scrub_mm",
    FrameHeightChange "frame_height_change_mm",
    FramePitch "frame_pitch_deg",
    SteeringRise "steering_rise_mm",
    HandlebarTorque "handlebar_torque_nm",
    HandlebarFlop "handlebar_flop_nm",
    RidingTorque "riding_torque_nm",
    ParkingTorque "parking_torque_nm",
    SelfCentring "self_centring_nm_per_deg",
    BrakeSteerArm "brake_steer_arm_mm",
    BrakeSteerOneWheel "brake_steer_one_wheel_nm_per_kn",
    BrakeSteerBothWheels "brake_steer_both_wheels_nm_per_kn",
    BrakeYaw "brake_yaw_nm_per_kn",
    BallJointForce "ball_joint_force_n",
    RodForce "rod_force_n",
    WishboneLegForce "wishbone_leg_force_n",
    PivotForce "pivot_force_n",
    CouplingMoment "coupling_moment_nm",
    JointUse "joint_use",
    RodBuckling "rod_buckling_use",
    LegBuckling "leg_buckling_use",
    StubAxleSafety "stub_axle_safety",
    StubAxleYieldSafety "stub_axle_yield_safety",
    StubAxleDamage "stub_axle_damage",
    StubAxleCamber "stub_axle_camber_deg",
    StubAxleToe "stub_axle_toe_deg",
    StubAxleMass "stub_axle_mass_kg",
    LinkageMass "linkage_mass_kg",
    LiftAcceleration "lift_acceleration_g",
    LeanStopSpeed "lean_stop_speed_mps",
    LiftSpeed "lift_speed_mps",
    StandingShare "standing_wheel_share",
    ParkedShare "parked_wheel_share",
    BrakingLimit "braking_limit_g",
    PitchOver "pitch_over_g",
    RightingFree "righting_free_nm",
    RightingLocked "righting_locked_nm",
    LeanLockMoment "lean_lock_moment_nm",
    Clearance "clearance_mm",
    WheelClearance "wheel_clearance_mm",
    RodClearance "rod_clearance_mm",
    BoxClearance "box_clearance_mm",
    GroundClearance "ground_clearance_mm",
    CablePathChange "cable_path_change_mm",
    CableSlack "cable_slack_mm",
    CableSteer "cable_steer_deg",
    CableStretch "cable_stretch_deg",
    CableFriction "cable_friction_nm",
}

impl Quantity {
    /// The table row of this quantity.
    pub fn info(self) -> &'static QuantityInfo {
        &TABLE[self as usize]
    }

    /// The quantity of that exact name.
    pub fn from_name(name: &str) -> Option<Quantity> {
        Quantity::ALL.iter().copied().find(|q| q.name() == name)
    }
}
