//! Quantities that are one number per pose, side and joint, reduced to the worst.

use super::Worst;
use crate::candidate::{Candidate, SIDES, Sample, at_joint};
use crate::clearance::Gaps;
use crate::joints::degrees_of_cosine;
use crate::link_angles::degrees_of_sine;
use crate::plan::View;
use crate::set_up::outward;
use crate::steering::{FrontWheels, contact, turn_between};
use crate::{Answer, Joint, Quantity, Where, brake, effort};
use kinematics::{Pose, Side};

/// Reduces the samples of the ask.
pub(super) fn answer(view: &View) -> Answer {
    let quantity = view.ask().quantity;
    let smaller = matches!(
        quantity,
        Quantity::KnuckleAngle
            | Quantity::CrankAngleMargin
            | Quantity::TransmissionAngle
            | Quantity::BallJointAngle
            | Quantity::RodEndAngle
            | Quantity::SelfCentring
    ) || Gaps::of(quantity).is_some();
    // Angles of joints are compared by their cosines: the smallest cosine is the largest angle.
    let mut worst = match smaller {
        true => Worst::smallest(),
        false => Worst::largest(),
    };
    let mut sign = 1.0;
    view.each(|sample, straight| {
        see(
            view.candidate,
            quantity,
            sample,
            straight,
            &mut worst,
            &mut sign,
        );
    });
    worst.answer(view.shortfall(), |value| sign * in_unit(quantity, value))
}

/// From what is compared to the unit of the name.
fn in_unit(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::KnuckleAngle | Quantity::CrankAngleMargin | Quantity::TransmissionAngle => {
            degrees_of_sine(value)
        }
        Quantity::BallJointAngle | Quantity::RodEndAngle => degrees_of_cosine(value),
        Quantity::BumpSteer
        | Quantity::LeanSteer
        | Quantity::LeanSteerCommon
        | Quantity::LeanSteerDifference
        | Quantity::SteeringError
        | Quantity::SteeringSlip
        | Quantity::FramePitch => value.to_degrees(),
        _ => value,
    }
}

/// Shows the worst the values of one pose.
fn see(
    candidate: &Candidate,
    quantity: Quantity,
    sample: &Sample,
    straight: &Sample,
    worst: &mut Worst,
    sign: &mut f64,
) {
    let pose = &sample.pose;
    let zero = &candidate.zero.pose;
    let place = || candidate.place(sample);
    let on = |side: Side| Where {
        side: Some(side),
        ..candidate.place(sample)
    };
    let turned = |side: Side| turn_between(zero.corner(side).heading, pose.corner(side).heading);
    let sideways = |pose: &Pose<f64>, side| contact(pose, side)[1];
    let track = |pose: &Pose<f64>| sideways(pose, Side::Left) - sideways(pose, Side::Right);
    if let Some(gaps) = Gaps::of(quantity) {
        let gap = candidate.gap(pose, gaps, worst.known());
        if gap.pair.is_some() {
            worst.see(gap.mm, || Where {
                between: gap.pair,
                ..place()
            });
        }
        return;
    }
    match quantity {
        Quantity::JointAngleUse => return see_use(candidate, sample, worst),
        Quantity::TransmissionAngle => {
            for sine in candidate.handlebar_sines(pose).into_iter().flatten() {
                worst.see(sine, place);
            }
        }
        Quantity::RodEndAngle => {
            for (joint, cosine) in candidate.joints.link_cosines(pose) {
                worst.see(cosine, || at_link(place(), joint));
            }
        }
        _ => {}
    }
    let mut whole = |value: f64| worst.see(value, place);
    match quantity {
        Quantity::LeanSteerCommon => {
            whole((0.5 * (turned(Side::Left) + turned(Side::Right))).abs());
        }
        Quantity::LeanSteerDifference => whole((turned(Side::Right) - turned(Side::Left)).abs()),
        Quantity::SteeringError => whole(FrontWheels::of(pose).error().abs()),
        Quantity::SteeringRatio => whole(candidate.steering_ratio(sample)),
        Quantity::TrackChange => whole((track(pose) - track(zero)).abs()),
        Quantity::FrameHeightChange => whole((pose.height - zero.height).abs()),
        Quantity::FramePitch => {
            let angle = |p: &Pose<f64>| libm::atan2(p.pitch[0], p.pitch[1]);
            whole((angle(pose) - angle(zero)).abs());
        }
        Quantity::SteeringRise => whole(effort::rise(candidate, sample, straight).abs()),
        Quantity::HandlebarTorque => whole(effort::torque(candidate, sample).abs()),
        Quantity::HandlebarFlop => whole(effort::flop(candidate, sample).max(0.0)),
        Quantity::RidingTorque => whole(effort::riding(candidate, sample)),
        Quantity::SelfCentring => whole(effort::self_centring(candidate, sample)),
        Quantity::BrakeSteerBothWheels => {
            let torques = SIDES.map(|s| brake::handlebar_arm(candidate, sample, s));
            whole((torques[0] + torques[1]).abs());
        }
        _ => {
            for side in SIDES {
                let mut one = |value: f64| worst.see(value, || on(side));
                let joint = |j: Joint| move || at_joint(candidate.place(sample), side, j);
                match quantity {
                    Quantity::BumpSteer | Quantity::LeanSteer => one(turned(side).abs()),
                    Quantity::SteeringSlip => {
                        one(FrontWheels::of(pose).slips()[side as usize].abs())
                    }
                    Quantity::SidewaysScrub => {
                        one((sideways(pose, side) - sideways(zero, side)).abs());
                    }
                    Quantity::KnuckleAngle => one(candidate.angles.knuckle_sine(pose, side)),
                    Quantity::CrankAngleMargin => one(candidate.angles.crank_sine(pose, side)),
                    Quantity::TransmissionAngle => {
                        one(candidate.angles.knuckle_sine(pose, side));
                        one(candidate.angles.crank_sine(pose, side));
                    }
                    Quantity::BallJointAngle => {
                        let [lower, upper] = candidate.joints.ball_cosines(pose, side);
                        worst.see(lower, joint(Joint::LowerBall));
                        worst.see(upper, joint(Joint::UpperBall));
                    }
                    Quantity::RodEndAngle => {
                        let [inner, outer] = candidate.joints.rod_cosines(pose, side);
                        worst.see(inner, joint(Joint::InnerRodEnd));
                        worst.see(outer, joint(Joint::OuterRodEnd));
                    }
                    Quantity::BrakeSteerArm => {
                        let arm = outward(side) * brake::torque(candidate, sample, side);
                        worst.see(arm.abs(), || {
                            *sign = if arm < 0.0 { -1.0 } else { 1.0 };
                            on(side)
                        });
                    }
                    Quantity::BrakeSteerOneWheel => {
                        one(brake::handlebar_arm(candidate, sample, side).abs());
                    }
                    Quantity::BrakeYaw => one(brake::yaw_arm(candidate, sample, side).abs()),
                    other => unreachable!("{} is reduced elsewhere", other.name()),
                }
            }
        }
    }
}

/// Shows the worst which part of its limit every joint uses in one pose.
fn see_use(candidate: &Candidate, sample: &Sample, worst: &mut Worst) {
    let (pose, place) = (&sample.pose, || candidate.place(sample));
    let part = |cosine: f64, limit: f64| degrees_of_cosine(cosine).to_radians() / limit;
    for side in SIDES {
        for (joint, cosine, limit) in candidate.joints.limited(pose, side, candidate.inner) {
            worst.see(part(cosine, limit), || at_joint(place(), side, joint));
        }
    }
    if let Some(limit) = candidate.inner.link_limit {
        for (joint, cosine) in candidate.joints.link_cosines(pose) {
            worst.see(part(cosine, limit), || at_link(place(), joint));
        }
    }
}

/// A joint of a link that belongs to no side as the place of a worst value.
fn at_link(place: Where, joint: Joint) -> Where {
    Where {
        joint: Some(joint),
        ..place
    }
}
