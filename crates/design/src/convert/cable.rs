//! The cable drive of a vehicle file as mechanics takes it.

use crate::handlebar::{CableInput, CarrierInput, DrivenInput, GuideInput, TurnInput};
use kinematics::V3;
use mechanics::{Bend, CableDrive, Carrier, Driven, Guide};

/// The cable drive.
pub(crate) fn cable(given: &CableInput) -> CableDrive {
    let left: Vec<Guide> = given.left_run.iter().map(guide).collect();
    let right = match &given.right_run {
        Some(run) => run.iter().map(guide).collect(),
        None => left.iter().map(mirrored).collect(),
    };
    CableDrive {
        handlebar: Bend {
            centre: given.sheave.centre_mm.into(),
            axis: given.sheave.axis.into(),
            radius: given.sheave.radius_mm,
            turn: 1.0,
        },
        driven: match &given.driven {
            DrivenInput::Crank { radius_mm } => Driven::Crank(*radius_mm),
            DrivenInput::Knuckles {
                centre_mm,
                radius_mm,
            } => Driven::Knuckles((*centre_mm).into(), *radius_mm),
        },
        runs: [left, right],
        crossed: given.crossed,
        stiffness_n: given.stiffness_n,
        preload_n: given.preload_n,
        hand_force_n: given.hand_force_n,
        grip: given.grip_mm,
        friction: given.friction,
    }
}

fn guide(given: &GuideInput) -> Guide {
    Guide {
        on: match given.on {
            CarrierInput::Frame => Carrier::Frame,
            CarrierInput::LowerWishbone => Carrier::LowerWishbone,
            CarrierInput::UpperWishbone => Carrier::UpperWishbone,
        },
        bend: Bend {
            centre: given.centre_mm.into(),
            axis: given.axis.map_or(V3::new(0.0, 0.0, 1.0), V3::from),
            radius: given.radius_mm,
            turn: match given.turn {
                Some(TurnInput::Clockwise) => -1.0,
                _ => 1.0,
            },
        },
    }
}

/// The mirror image, whose sense turns round where its axis points the mirrored way.
fn mirrored(guide: &Guide) -> Guide {
    Guide {
        bend: Bend {
            centre: guide.bend.centre.mirrored(),
            axis: guide.bend.axis.mirrored(),
            turn: -guide.bend.turn,
            ..guide.bend
        },
        ..*guide
    }
}
