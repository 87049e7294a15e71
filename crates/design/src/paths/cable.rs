//! Points of the cable drive, which stand in the file alone.

use crate::handlebar::{CableInput, DrivenInput};
use crate::vehicle::Point;

/// A point of a cable drive.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum CablePoint {
    /// Centre of the handlebar's sheave.
    Sheave,
    /// Centre of the left knuckle's sheave.
    Driven,
    /// A guide of the left run.
    Left(usize),
    /// A guide of the right run.
    Right(usize),
}

const NAMES: [(CablePoint, &str); 2 + 2 * mechanics::MOST_GUIDES] = [
    (CablePoint::Sheave, "steering.handlebar.sheave.centre_mm"),
    (CablePoint::Driven, "steering.handlebar.driven.centre_mm"),
    (
        CablePoint::Left(0),
        "steering.handlebar.left_run.0.centre_mm",
    ),
    (
        CablePoint::Left(1),
        "steering.handlebar.left_run.1.centre_mm",
    ),
    (
        CablePoint::Left(2),
        "steering.handlebar.left_run.2.centre_mm",
    ),
    (
        CablePoint::Left(3),
        "steering.handlebar.left_run.3.centre_mm",
    ),
    (
        CablePoint::Left(4),
        "steering.handlebar.left_run.4.centre_mm",
    ),
    (
        CablePoint::Left(5),
        "steering.handlebar.left_run.5.centre_mm",
    ),
    (
        CablePoint::Right(0),
        "steering.handlebar.right_run.0.centre_mm",
    ),
    (
        CablePoint::Right(1),
        "steering.handlebar.right_run.1.centre_mm",
    ),
    (
        CablePoint::Right(2),
        "steering.handlebar.right_run.2.centre_mm",
    ),
    (
        CablePoint::Right(3),
        "steering.handlebar.right_run.3.centre_mm",
    ),
    (
        CablePoint::Right(4),
        "steering.handlebar.right_run.4.centre_mm",
    ),
    (
        CablePoint::Right(5),
        "steering.handlebar.right_run.5.centre_mm",
    ),
];

impl CablePoint {
    pub(super) fn all() -> impl Iterator<Item = CablePoint> {
        NAMES.iter().map(|(point, _)| *point)
    }

    pub(super) fn parse(text: &str) -> Option<CablePoint> {
        let found = NAMES.iter().find(|(_, name)| *name == text)?;
        Some(found.0)
    }

    pub(super) fn name(self) -> &'static str {
        let found = NAMES.iter().find(|(point, _)| *point == self);
        found.map_or("", |(_, name)| name)
    }

    /// The point as the file gives it.
    pub(super) fn in_file(self, cable: &mut CableInput) -> Option<&mut Point> {
        let guide = match self {
            CablePoint::Sheave => return Some(&mut cable.sheave.centre_mm),
            CablePoint::Driven => {
                return match &mut cable.driven {
                    DrivenInput::Crank { .. } => None,
                    DrivenInput::Knuckles { centre_mm, .. } => Some(centre_mm),
                };
            }
            CablePoint::Left(k) => cable.left_run.get_mut(k),
            CablePoint::Right(k) => cable.right_run.as_mut()?.get_mut(k),
        };
        guide.map(|guide| &mut guide.centre_mm)
    }
}
