//! The bends of both runs of a cable drive in a pose.

use super::taut::{MOST_BENDS, line};
use super::{Bend, CableDrive, Carrier, Driven, side_of, taut};
use kinematics::{Linkage, Pose, Side, V3};

/// Why a cable has no path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CableFault {
    /// The run: 0 left, 1 right.
    pub run: usize,
    /// What it runs through or does not touch.
    pub bend: CableBend,
    /// The cable does not touch this sheave in the design pose; else it runs through it.
    pub untouched: bool,
}

/// A bend of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CableBend {
    /// The sheave on the handlebar.
    Handlebar,
    /// A guide, counted from the handlebar.
    Guide(usize),
    /// The sheave on crank or knuckle.
    Driven,
}

/// The first fault of a cable drive in a pose of a machine; `design` asks in the design pose, where
/// every sheave must be touched too.
pub fn check_cable(
    linkage: &Linkage,
    cable: &CableDrive,
    pose: &Pose<f64>,
    design: bool,
) -> Option<CableFault> {
    (0..2).find_map(|run| {
        let bends = Bends::of(linkage, cable, pose, run);
        let named = |index: usize, untouched| CableFault {
            run,
            bend: bends.name(index),
            untouched,
        };
        match taut(bends.list()) {
            Err(index) => Some(named(index, false)),
            Ok(path) if design => (1..bends.count - 1)
                .find(|&i| bends.all[i].radius > 0.0 && path.wraps[i] <= 0.0)
                .map(|i| named(i, true)),
            Ok(_) => None,
        }
    })
}

/// Both runs in a pose as lines, frame axes, mm: straight parts and arcs, from where they leave the
/// handlebar's sheave to where they meet the driven one; a run without a path is empty.
pub fn cable_lines(linkage: &Linkage, cable: &CableDrive, pose: &Pose<f64>) -> [Vec<V3<f64>>; 2] {
    [0, 1].map(|run| line(Bends::of(linkage, cable, pose, run).list()))
}

/// The bends of one run in a pose.
pub(super) struct Bends {
    all: [Bend; MOST_BENDS],
    count: usize,
}

impl Bends {
    pub fn of(linkage: &Linkage, cable: &CableDrive, pose: &Pose<f64>, run: usize) -> Bends {
        // Wound left-handed on the left, right-handed on the right.
        let sense = if run == 0 { -1.0 } else { 1.0 };
        let mut bends = Bends {
            all: [cable.handlebar; MOST_BENDS],
            count: 1,
        };
        bends.all[0].turn = sense;
        for guide in cable.runs[run].iter().take(MOST_BENDS - 2) {
            bends.all[bends.count] = carried(linkage, pose, side_of(run), guide.on, guide.bend);
            bends.count += 1;
        }
        bends.all[bends.count] = Bend {
            turn: if cable.crossed { -sense } else { sense },
            ..driven(linkage, cable, pose, side_of(run))
        };
        bends.count += 1;
        bends
    }

    pub fn list(&self) -> &[Bend] {
        &self.all[..self.count]
    }

    fn name(&self, index: usize) -> CableBend {
        match index {
            0 => CableBend::Handlebar,
            i if i + 1 == self.count => CableBend::Driven,
            i => CableBend::Guide(i - 1),
        }
    }
}

/// A guide as its wishbone carries it.
fn carried(linkage: &Linkage, pose: &Pose<f64>, side: Side, on: Carrier, drawn: Bend) -> Bend {
    let upper = match on {
        Carrier::Frame => return drawn,
        Carrier::LowerWishbone => false,
        Carrier::UpperWishbone => true,
    };
    let (corner, now) = (linkage.machine().corner(side), pose.corner(side));
    let (pivot, [c, s]) = match upper {
        true => (corner.upper.rear_pivot, now.upper_turn),
        false => (corner.lower.rear_pivot, now.lower_turn),
    };
    let hinge = linkage.hinge(side, upper);
    Bend {
        centre: pivot + (drawn.centre - pivot).rotated(hinge, c, s),
        axis: drawn.axis.rotated(hinge, c, s),
        ..drawn
    }
}

fn driven(linkage: &Linkage, cable: &CableDrive, pose: &Pose<f64>, side: Side) -> Bend {
    match cable.driven {
        Driven::Crank(radius) => {
            let crank = linkage.machine().crank;
            Bend {
                centre: crank.point,
                axis: crank.direction,
                radius,
                turn: 1.0,
            }
        }
        Driven::Knuckles(left, radius) => {
            let drawn = match side {
                Side::Left => left,
                Side::Right => left.mirrored(),
            };
            let from = drawn - linkage.machine().corner(side).lower.ball_joint;
            let now = pose.corner(side);
            let own = linkage.knuckle_coordinates(side, from);
            Bend {
                centre: now.lower + now.knuckle_vector(own),
                axis: now.kingpin,
                radius,
                turn: 1.0,
            }
        }
    }
}
