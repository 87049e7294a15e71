//! Both runs of one machine: how much longer they become, how taut they are, what they turn.

use super::runs::Bends;
use super::taut::angle;
use super::{Bend, CableDrive, Driven, side_of, taut};
use kinematics::{Linkage, Pose, V3};

/// One run as it lies in the design pose.
#[derive(Clone, Copy, Debug)]
struct Drawn {
    /// From the handlebar's sheave to the driven one, which is what stretches, mm.
    length: f64,
    /// Where the cable leaves the handlebar's sheave and meets the driven one: the first in frame
    /// axes, the second fixed to the crank (frame axes) or the knuckle (its coordinates).
    leaves: V3<f64>,
    meets: V3<f64>,
}

/// A cable drive on one machine.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CableState<'a> {
    cable: &'a CableDrive,
    drawn: [Drawn; 2],
}

/// Both runs in a pose.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cables {
    /// Change of each run's path since the design pose, the handlebar held, mm.
    pub longer: [f64; 2],
    /// Angles round guides and sheaves of each run, radians.
    pub wraps: [f64; 2],
}

impl<'a> CableState<'a> {
    /// `None` where a run has no path in the design pose.
    pub fn new(
        linkage: &Linkage,
        cable: &'a CableDrive,
        design: &Pose<f64>,
    ) -> Option<CableState<'a>> {
        let drawn = |run: usize| {
            let bends = Bends::of(linkage, cable, design, run);
            let path = taut(bends.list()).ok()?;
            let meets = match cable.driven {
                Driven::Crank(_) => path.meets,
                Driven::Knuckles(..) => {
                    let knuckle = design.corner(side_of(run));
                    let third = knuckle.kingpin.cross(knuckle.across);
                    let own = [knuckle.across, third, knuckle.kingpin];
                    own.map(|direction| direction.dot(path.meets)).into()
                }
            };
            Some(Drawn {
                length: path.length,
                leaves: path.leaves,
                meets,
            })
        };
        Some(CableState {
            cable,
            drawn: [drawn(0)?, drawn(1)?],
        })
    }

    /// Both runs in a pose; `None` where one has no path.
    pub fn in_pose(&self, linkage: &Linkage, pose: &Pose<f64>) -> Option<Cables> {
        let mut found = Cables {
            longer: [0.0; 2],
            wraps: [0.0; 2],
        };
        for run in 0..2 {
            let bends = Bends::of(linkage, self.cable, pose, run);
            let path = taut(bends.list()).ok()?;
            let (drawn, list) = (&self.drawn[run], bends.list());
            let (first, last) = (&list[0], &list[list.len() - 1]);
            let anchor = match self.cable.driven {
                Driven::Crank(_) => {
                    let [s, c] = pose.steer;
                    drawn.meets.rotated(last.axis.unit(), c, s)
                }
                Driven::Knuckles(..) => pose
                    .corner(side_of(run))
                    .knuckle_vector(drawn.meets.to_array()),
            };
            let wound = first.radius * signed(first, drawn.leaves, path.leaves)
                + last.radius * signed(last, path.meets, anchor);
            found.longer[run] = path.length - drawn.length + wound;
            found.wraps[run] = path.wraps.iter().sum();
        }
        Some(found)
    }

    /// Handlebar angle at which both runs are stretched alike, radians, right-handed about its axis.
    pub fn handlebar(&self, cables: &Cables) -> f64 {
        let [left, right] = cables.longer;
        // The left run, wound left-handed, loses r per radian of a right-handed turn's pull.
        (right - left) / (2.0 * self.cable.handlebar.radius)
    }

    /// Change of both runs' length at that angle, mm: positive stretches them.
    pub fn common(&self, cables: &Cables) -> f64 {
        0.5 * (cables.longer[0] + cables.longer[1])
    }

    /// Elongation of a run under the preload, mm.
    fn preloaded(&self, run: usize) -> f64 {
        self.cable.preload_n / self.rate(run)
    }

    /// Tension per mm of elongation of a run, N/mm.
    fn rate(&self, run: usize) -> f64 {
        self.cable.stiffness_n / self.drawn[run].length
    }

    /// How loose the looser run hangs, mm; negative while both are stretched.
    pub fn slack(&self, cables: &Cables) -> f64 {
        let stretched = self.preloaded(0).min(self.preloaded(1));
        -(self.common(cables) + stretched)
    }

    /// Turn of the handlebar under the hand force with the driven side held, radians: the larger of
    /// both senses. The slack of the pulling run is taken up first.
    pub fn stretch(&self, cables: &Cables) -> f64 {
        let radius = self.cable.handlebar.radius;
        let pull = self.cable.hand_force_n * self.cable.grip / radius;
        let one = |pulling: usize| {
            let other = 1 - pulling;
            let rates = [self.rate(pulling), self.rate(other)];
            let common = self.common(cables);
            let own = common + self.preloaded(pulling);
            let theirs = common + self.preloaded(other);
            // Both taut: pull = k₁(x₁ + y) − k₂(x₂ − y).
            let both = (pull - rates[0] * own + rates[1] * theirs) / (rates[0] + rates[1]);
            let alone = pull / rates[0] - own;
            match theirs - both >= 0.0 && own + both >= 0.0 {
                true => both / radius,
                false => alone / radius,
            }
        };
        one(0).max(one(1))
    }

    /// Torque on the handlebar that the cables' friction takes, N·m: each run's tension T passes on
    /// as T·e^(μβ) over the angle β of its bends.
    pub fn friction(&self, cables: &Cables) -> f64 {
        let lost = |run: usize| {
            let stretched = (self.common(cables) + self.preloaded(run)).max(0.0);
            let tension = self.rate(run) * stretched;
            tension * (libm::exp(self.cable.friction * cables.wraps[run]) - 1.0)
        };
        1e-3 * self.cable.handlebar.radius * (lost(0) + lost(1))
    }
}

/// Angle from one direction to another in the sense of a bend, from −180° to 180°.
fn signed(bend: &Bend, from: V3<f64>, to: V3<f64>) -> f64 {
    let around = angle(bend, from, to);
    match around > core::f64::consts::PI {
        true => around - core::f64::consts::TAU,
        false => around,
    }
}
