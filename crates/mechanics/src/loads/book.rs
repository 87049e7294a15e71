//! All load cases of one machine, in every variant, solved once.

use super::contact::{front_wheel, riding, standing};
use super::{CaseLean, CornerForces, Cycle, LoadCase, corner_forces};
use crate::Masses;
use crate::candidate::{Candidate, SIDES, Sample};
use crate::stop::steering_stop;
use crate::strength::WheelLoad;
use crate::sweep::{Axis, follow};
use kinematics::Side;

/// One variant of a case.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Loaded {
    /// Index of the case.
    pub case: usize,
    /// Where the machine turns to.
    pub turn: Side,
    /// The wheel that is struck or brakes alone.
    pub wheel: Side,
    /// The pose.
    pub sample: Sample,
    /// Forces in the members, left and right.
    pub members: [CornerForces; 2],
    /// What the wheels do to their axles, left and right.
    pub axles: [WheelLoad; 2],
}

/// All of them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Book {
    pub entries: Vec<Loaded>,
    /// Both axles with the machine standing.
    pub standing: [WheelLoad; 2],
    /// Missing share of the poses and of the solutions.
    pub shortfall: f64,
}

/// Most variants of one case: two turns, two wheels.
const MOST_VARIANTS: usize = 4;
/// Largest lean step on the way to a pose of a case, radians (2°).
const LEAN_STEP: f64 = 0.034_906_585_039_886_59;

impl Book {
    /// Room for so many cases.
    pub fn with_room(cases: usize) -> Book {
        Book {
            entries: Vec::with_capacity(MOST_VARIANTS * cases),
            ..Book::default()
        }
    }

    /// Fills the book for a machine; nothing is allocated if there is room.
    pub fn fill(&mut self, candidate: &Candidate, cases: &[LoadCase], masses: &Masses) {
        self.entries.clear();
        self.shortfall = 0.0;
        self.standing = standing(&candidate.zero.pose, masses);
        let mut variants = 0;
        for (index, case) in cases.iter().enumerate() {
            for turn in turns(case, candidate.symmetric) {
                let (sample, missing) = pose_of(case, candidate, *turn);
                for wheel in wheels(case, candidate.symmetric) {
                    variants += 1;
                    self.shortfall += missing;
                    match load(candidate, masses, (index, case), *turn, *wheel, &sample) {
                        Some(loaded) => self.entries.push(loaded),
                        None => self.shortfall += 1.0 - missing,
                    }
                }
            }
        }
        self.shortfall /= f64::from(variants.max(1));
    }

    /// The other end of the load cycle of one wheel.
    pub fn other_end(&self, loaded: &Loaded, side: Side, cycle: Cycle) -> WheelLoad {
        match cycle {
            Cycle::Unloaded => WheelLoad::default(),
            Cycle::Standing => self.standing[side as usize],
            Cycle::Opposite => {
                let opposite = self.entries.iter().find(|e| {
                    e.case == loaded.case && e.turn != loaded.turn && e.wheel == loaded.wheel
                });
                match opposite {
                    Some(entry) => entry.axles[side as usize],
                    // On a symmetric machine the other wheel of the same turn tells it.
                    None => loaded.axles[1 - side as usize],
                }
            }
        }
    }
}

fn turns(case: &LoadCase, symmetric: bool) -> &'static [Side] {
    match case.turns() && !symmetric {
        true => &[Side::Right, Side::Left],
        false => &[Side::Right],
    }
}

fn wheels(case: &LoadCase, symmetric: bool) -> &'static [Side] {
    // Straight on, one side of a symmetric machine tells all.
    match case.one_sided() && (case.turns() || !symmetric) {
        true => &[Side::Left, Side::Right],
        false => &[Side::Left],
    }
}

/// The pose of a case and the missing share of the way to its lean.
fn pose_of(case: &LoadCase, candidate: &Candidate, turn: Side) -> (Sample, f64) {
    let lean = match case.lean {
        CaseLean::Upright => 0.0,
        CaseLean::Limit => candidate.inner.reach_lean,
        CaseLean::Degrees(deg) => deg.to_radians(),
    };
    // Lean is roll: positive into a right turn.
    let sense = if turn == Side::Right { 1.0 } else { -1.0 };
    let axis = Axis::Lean { crank: 0.0 };
    let mut near = (0.0, candidate.zero.pose);
    let steps = (lean / LEAN_STEP).ceil() as usize;
    let mut missing = 0.0;
    for step in 1..=steps {
        let at = sense * lean * (step as f64 / steps as f64);
        let path = follow(candidate, axis, near, at);
        near = path.last;
        if path.lost.is_some() {
            missing = ((lean - near.0.abs()) / lean).clamp(f64::EPSILON, 1.0);
            break;
        }
    }
    let straight = axis.sample(candidate, near.0, near.1);
    let sample = match case.lock {
        true => {
            steering_stop(candidate, &straight, turn, |_| ())
                .step
                .sample
        }
        false => straight,
    };
    (sample, missing)
}

fn load(
    candidate: &Candidate,
    masses: &Masses,
    (index, case): (usize, &LoadCase),
    turn: Side,
    wheel: Side,
    sample: &Sample,
) -> Option<Loaded> {
    let pose = &sample.pose;
    let riding = riding(case, pose, masses, turn, wheel);
    let brake = candidate.inner.fittings.brake;
    let fronts = SIDES.map(|side| front_wheel(case, pose, &riding, side, wheel, brake));
    let members = corner_forces(candidate.linkage, pose, &fronts.map(|f| f.force))?;
    let finite = members
        .iter()
        .all(|m| m.rod.is_finite() && m.balls[0].is_finite());
    finite.then_some(Loaded {
        case: index,
        turn,
        wheel,
        sample: *sample,
        members,
        axles: fronts.map(|f| f.axle),
    })
}
