//! The machine with deviations, and what is read off it.

use super::wire::{Exactness, Measured, Reading, Unknown};
use crate::convert::side_name;
use crate::job::{Axis, SideName};
use crate::paths::{self, Path, Place};
use crate::vehicle::Vehicle;
use kinematics::{Linkage, Machine, Side, Target};
use mechanics::{rod_lengths, with_longer_rods};

/// The word for a rod's length.
pub(super) const ROD: &str = "rod_length";
/// Standard deviations to the bound where none is given.
const USUAL_BOUND: f64 = 10.0;

/// One number that may deviate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Part {
    /// A coordinate of a point: place, right side, axis.
    Coordinate(Place, bool, Axis),
    /// A rod's length.
    Rod(Side),
}

/// A part with what is expected of it, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Expected {
    pub part: Part,
    /// As measured, less drawn; 0 where nothing was measured.
    pub offset: f64,
    pub sigma: f64,
    pub most: f64,
}

impl Part {
    /// Path of the point, or the rod.
    pub(super) fn of(self) -> String {
        match self {
            Part::Coordinate(place, right, _) => Path { place, right }.text(),
            Part::Rod(side) => format!("{side} {ROD}"),
        }
    }

    pub(super) fn axis(self) -> Option<Axis> {
        match self {
            Part::Coordinate(_, _, axis) => Some(axis),
            Part::Rod(_) => None,
        }
    }

    pub(super) fn side(self) -> Option<SideName> {
        match self {
            Part::Coordinate(place, right, _) => place.sided().then_some(match right {
                true => SideName::Right,
                false => SideName::Left,
            }),
            Part::Rod(side) => Some(side_name(side)),
        }
    }

    /// Both in one text.
    pub(super) fn name(self) -> String {
        match self.axis() {
            Some(axis) => format!("{} {}", self.of(), axis.name()),
            None => self.of(),
        }
    }
}

/// Every unknown, each side by itself. Unknown names have been refused before.
pub(super) fn expected(unknowns: &[Unknown]) -> Vec<Expected> {
    let mut all = Vec::new();
    for unknown in unknowns {
        for right in sides(unknown) {
            let side = if right { Side::Right } else { Side::Left };
            let place = Path::parse(&unknown.of).map(|path| path.place);
            let part = match (place, unknown.axis) {
                (Some(place), Some(axis)) => Part::Coordinate(place, right, axis),
                _ => Part::Rod(side),
            };
            let most = unknown.most_mm.unwrap_or(USUAL_BOUND * unknown.sigma_mm);
            all.push(Expected {
                part,
                offset: 0.0,
                sigma: unknown.sigma_mm,
                most,
            });
        }
    }
    all
}

/// The coordinates of every measured point, around where they were measured.
pub(super) fn measured(drawn: &Vehicle, points: &[Measured]) -> Vec<Expected> {
    let mut machine = crate::convert::machine(drawn);
    let mut all = Vec::new();
    for given in points {
        let Some(path) = Path::parse(&given.point) else {
            continue;
        };
        for (axis, at) in [Axis::X, Axis::Y, Axis::Z].into_iter().zip(given.at_mm) {
            if let Some(point) = paths::in_machine(&mut machine, path.place, path.right) {
                all.push(Expected {
                    part: Part::Coordinate(path.place, path.right, axis),
                    offset: at - *axis.of(point),
                    sigma: given.sigma_mm,
                    most: USUAL_BOUND * given.sigma_mm,
                });
            }
        }
    }
    all
}

fn sides(unknown: &Unknown) -> Vec<bool> {
    let sided = Path::parse(&unknown.of).is_none_or(|path| path.place.sided());
    match unknown.side {
        _ if !sided => vec![false],
        Some(SideName::Left) => vec![false],
        Some(SideName::Right) => vec![true],
        None => vec![false, true],
    }
}

/// A machine whose parts deviate by so many of their standard deviations, measured ones from where
/// they were measured. Points move, and the
/// rods keep their length, unless it deviates itself: the knuckles turn.
pub(super) fn deviating(machine: &Machine, parts: &[Expected], by: &[f64]) -> Machine {
    let mut built = *machine;
    let mut wanted = rod_lengths(machine);
    for (expected, by) in parts.iter().zip(by) {
        let mm = expected.offset + expected.sigma * by;
        match expected.part {
            Part::Coordinate(place, right, axis) => {
                if let Some(point) = paths::in_machine(&mut built, place, right) {
                    *axis.of(point) += mm;
                }
            }
            Part::Rod(side) => wanted[side as usize] += mm,
        }
    }
    let now = rod_lengths(&built);
    with_longer_rods(&built, [wanted[0] - now[0], wanted[1] - now[1]])
}

/// Kinds of readings, in the order of [`figures`] with toe and camber once for both sides.
pub(super) const KINDS: [&str; 3] = ["toe_deg", "camber_deg", "height_mm"];

/// Fields of a reading, in the order of [`figures`].
pub(super) const FIELDS: [&str; 5] = [
    "toe_left_deg",
    "toe_right_deg",
    "camber_left_deg",
    "camber_right_deg",
    "height_mm",
];

/// What was read: kind and value, nothing where a figure is absent.
pub(super) fn figures(reading: &Reading) -> [(usize, Option<f64>); 5] {
    [
        (0, reading.toe_left_deg),
        (0, reading.toe_right_deg),
        (1, reading.camber_left_deg),
        (1, reading.camber_right_deg),
        (2, reading.height_mm),
    ]
}

/// Standard deviation of a kind.
pub(super) fn sigma(exactness: &Exactness, kind: usize) -> f64 {
    [exactness.toe_deg, exactness.camber_deg, exactness.height_mm][kind]
}

/// The same figures of a machine, those that were read, in order; nothing where a pose is not
/// reached.
pub(super) fn predicted(machine: &Machine, readings: &[Reading]) -> Option<Vec<f64>> {
    let linkage = Linkage::new(machine).ok()?;
    let mut all = Vec::new();
    for reading in readings {
        let target = Target {
            lean: reading.lean_deg.to_radians(),
            steer: reading.steer_deg.to_radians(),
            // As in a pose: a travel of 0 leaves a rocker connected.
            mean_travel: reading.mean_travel_mm.filter(|travel| *travel != 0.0),
        };
        let pose = linkage.pose(&target).ok()?;
        let toe = |side: Side, outward: f64| -outward * pose.steer_angle(side).to_degrees();
        let camber = |side: Side, outward: f64| {
            let sine = pose.corner(side).inclination_sin.clamp(-1.0, 1.0);
            -outward * libm::asin(sine).to_degrees()
        };
        let values = [
            toe(Side::Left, 1.0),
            toe(Side::Right, -1.0),
            camber(Side::Left, 1.0),
            camber(Side::Right, -1.0),
            pose.height,
        ];
        let read = figures(reading).into_iter().zip(values);
        all.extend(read.filter(|((_, read), _)| read.is_some()).map(|(_, v)| v));
    }
    Some(all)
}
