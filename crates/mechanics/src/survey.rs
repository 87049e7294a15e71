//! Curves, maps and limits of one machine, for pictures and the assessment: the samplers of
//! [`crate::Plan`], without its grouping.

mod joints;
mod point;
mod strength;

use crate::candidate::{Candidate, Sample};
use crate::clearance::Gaps;
use crate::grid::places;
use crate::lean_limit::lean_stop;
use crate::set_up::outward;
use crate::settings::Inner;
use crate::states::Group;
use crate::stop::steering_stop;
use crate::sweep::{Axis, Half, Node, follow};
use crate::turning::Turn;
use crate::walk::{Met, Walk};
use crate::{Pair, PlanFault, Settings, Stop, plan};
use kinematics::{Linkage, Side};

pub use joints::JointAngles;
pub use point::{CablePoint, Point};
pub use strength::{CaseLoads, SpotSheet, StandingLoads, TurnSpeeds};

/// Largest lean step on the way to a straight pose, degrees.
const STRAIGHT_STEP_DEG: f64 = 2.0;

/// Curves, maps and limits of one machine.
pub struct Survey<'a> {
    linkage: &'a Linkage,
    inner: Inner,
    /// Groups of states of loading with poses of their own.
    others: Vec<Inner>,
}

/// Where a crank sweep ends, and the turn that the machine then makes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteeringEnd {
    /// Direction of the turn.
    pub turn: Side,
    /// What stops the steering.
    pub stop: Stop,
    /// The pose at the stop.
    pub at: Point,
    /// Radius of the rear contact's path, m.
    pub radius_rear_m: f64,
    /// Distance from the turn centre to the outer front contact plus section radius, m.
    pub radius_kerb_m: f64,
    /// Outermost tyre or overhang point, m.
    pub radius_wall_m: f64,
    /// Innermost tyre or overhang point, m.
    pub radius_inner_m: f64,
    /// How far rear tyre or overhangs run inside the inner front tyre, m; negative outside it.
    pub cut_in_m: f64,
}

/// Where a lean sweep ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeanEnd {
    /// The side to which the machine leans.
    pub to: Side,
    /// What stops the lean.
    pub stop: Stop,
    /// The pose there.
    pub at: Point,
}

impl<'a> Survey<'a> {
    /// Prepares a machine.
    ///
    /// # Errors
    /// Names the setting that is out of its range.
    pub fn new(linkage: &'a Linkage, settings: &Settings) -> Result<Survey<'a>, PlanFault> {
        plan::check_settings(settings)?;
        Ok(Survey {
            linkage,
            inner: Inner::new(settings),
            others: Group::all(settings)
                .into_iter()
                .skip(1)
                .map(|group| Inner::of(settings, group))
                .collect(),
        })
    }

    /// The machine in one state of loading, with its masses, mean travel and reach: 0 is that of
    /// the fittings, i + 1 that of `Parts::states[i]`. `None` where there is no such state.
    ///
    /// # Errors
    /// As [`Survey::new`].
    pub fn in_state(
        linkage: &'a Linkage,
        settings: &Settings,
        state: usize,
    ) -> Result<Option<Survey<'a>>, PlanFault> {
        plan::check_settings(settings)?;
        let one = |group| Survey {
            linkage,
            inner: Inner::of(settings, group),
            others: Vec::new(),
        };
        Ok(Group::alone(settings, state).map(one))
    }

    /// Mean travel at which the machine stands, mm; `None` where it cannot stand there.
    pub fn mean_travel_mm(&self) -> Option<f64> {
        let candidate = self.candidate();
        (!candidate.lost).then_some(candidate.zero.travel)
    }

    fn candidate(&self) -> Candidate<'_> {
        Candidate::new(self.linkage, &self.inner)
    }

    /// The machine in every group of states of loading.
    fn loaded(&self) -> impl Iterator<Item = Candidate<'_>> {
        let all = core::iter::once(&self.inner).chain(&self.others);
        all.map(|inner| Candidate::new(self.linkage, inner))
    }

    /// The design pose.
    pub fn design(&self) -> Point {
        let candidate = self.candidate();
        Point::of(&candidate, &candidate.zero, &candidate.zero)
    }

    /// Upright and straight over mean travel, mm, in steps of at most `step`, in rising order.
    /// What cannot be reached is left out.
    pub fn over_travel(&self, range: [f64; 2], step: f64) -> Vec<Point> {
        let candidate = self.candidate();
        let zero = plan::travel_zero(&candidate);
        let points = places(range, step);
        sweep(&candidate, Axis::Travel, &zero, &points)
    }

    /// Over lean, degrees, with the crank held at `crank_deg`, in steps of at most `step`, in
    /// rising order. What cannot be reached is left out.
    pub fn over_lean(&self, range: [f64; 2], step: f64, crank_deg: f64) -> Vec<Point> {
        let candidate = self.candidate();
        let crank = candidate.drive(crank_deg);
        let Some(upright) = candidate.upright(crank) else {
            return Vec::new();
        };
        let leans: Vec<f64> = places(range, step)
            .into_iter()
            .map(f64::to_radians)
            .collect();
        sweep(&candidate, Axis::Lean { crank }, &upright, &leans)
    }

    /// Over steer at one lean, from the stop to the right to the stop to the left; empty where
    /// the lean cannot be reached.
    pub fn over_steer(&self, lean_deg: f64) -> Vec<Point> {
        let candidate = self.candidate();
        let Some(straight) = straight(&candidate, lean_deg) else {
            return Vec::new();
        };
        let half = |turn: Side| {
            let mut seen = Vec::new();
            steering_stop(&candidate, &straight, turn, |sample| {
                seen.push(Point::of(&candidate, sample, &straight));
            });
            seen
        };
        let mut points = half(Side::Right);
        points.reverse();
        points.extend(half(Side::Left).into_iter().skip(1));
        points
    }

    /// Both ends of the steering at one lean: right, left; `None` where the lean cannot be
    /// reached.
    pub fn steering_ends(&self, lean_deg: f64) -> Option<[SteeringEnd; 2]> {
        let candidate = self.candidate();
        let straight = straight(&candidate, lean_deg)?;
        Some([Side::Right, Side::Left].map(|turn| {
            let end = steering_stop(&candidate, &straight, turn, |_| ());
            let sample = &end.step.sample;
            let made = Turn::new(&candidate, &sample.pose, turn);
            SteeringEnd {
                turn,
                stop: end.stop,
                at: Point::of(&candidate, sample, &straight),
                radius_rear_m: made.rear_m(),
                radius_kerb_m: made.kerb_m(),
                radius_wall_m: made.wall_m(),
                radius_inner_m: made.inner_m(),
                cut_in_m: made.cut_in_m(),
            }
        }))
    }

    /// The smallest gap between two parts at a lean and crank angle, degrees, mm, and its pair;
    /// `None` where sizes are not given or the pose is not reached.
    pub fn gap_at(&self, lean_deg: f64, crank_deg: f64) -> Option<(f64, Pair)> {
        let candidate = self.candidate();
        let straight = straight(&candidate, lean_deg)?;
        let [from, to] =
            [0.0, candidate.drive(crank_deg)].map(|steer| candidate.target(straight.lean, steer));
        let pose = self.linkage.advance(&straight.pose, &from, &to).ok()?;
        let gap = candidate.gap(&pose, Gaps::All, f64::INFINITY);
        Some((gap.mm, gap.pair?))
    }

    /// Both ends of the lean with the crank held: right, left; `None` where the crank angle
    /// cannot be reached upright.
    pub fn lean_ends(&self, crank_deg: f64) -> Option<[LeanEnd; 2]> {
        let candidate = self.candidate();
        let upright = candidate.upright(candidate.drive(crank_deg))?;
        Some([Side::Right, Side::Left].map(|to| {
            // Roll is positive to the right.
            let end = lean_stop(&candidate, &upright, -outward(to));
            LeanEnd {
                to,
                stop: end.stop,
                at: Point::of(&candidate, &end.sample, &candidate.zero),
            }
        }))
    }

    /// The poses of one lean at curvatures K of the rear contact's path, 1/m, positive to the
    /// left; `None` where the steering does not reach it. One row of a map over steer × lean.
    pub fn over_curvature(&self, lean_deg: f64, curvatures_per_m: &[f64]) -> Vec<Option<Point>> {
        let candidate = self.candidate();
        let mut points = vec![None; curvatures_per_m.len()];
        let Some(straight) = straight(&candidate, lean_deg) else {
            return points;
        };
        let mut order: Vec<usize> = (0..points.len()).collect();
        order.sort_by(|&a, &b| {
            curvatures_per_m[a]
                .abs()
                .total_cmp(&curvatures_per_m[b].abs())
        });
        for turn in [Side::Right, Side::Left] {
            let mut walk = Walk::new(&candidate, &straight, turn);
            for &i in &order {
                let s = 1e-3 * curvatures_per_m[i] * outward(turn);
                let mine = s > 0.0 || (s == 0.0 && turn == Side::Right);
                if !mine {
                    continue;
                }
                match walk.reach_curvature(s) {
                    Met::Short => break,
                    Met::Past => continue,
                    Met::Yes => {}
                }
                points[i] = Some(Point::of(&candidate, &walk.last.sample, &straight));
            }
        }
        points
    }
}

/// Samples of a sweep in rising order of their places.
fn sweep(candidate: &Candidate, axis: Axis, zero: &Sample, places: &[f64]) -> Vec<Point> {
    let half = |sense: f64| {
        let mut nodes: Vec<Node> = places
            .iter()
            .filter(|at| **at * sense > 0.0)
            .map(|at| Node::new(axis, *at))
            .collect();
        nodes.sort_by(|a, b| a.at.abs().total_cmp(&b.at.abs()));
        let mut half = Half::default();
        half.solve(candidate, axis, zero, &nodes);
        half.samples
    };
    let mut samples = half(-1.0);
    samples.reverse();
    if places.contains(&0.0) {
        samples.push(*zero);
    }
    samples.extend(half(1.0));
    samples
        .iter()
        .map(|s| Point::of(candidate, s, zero))
        .collect()
}

/// The straight pose at a lean, degrees.
fn straight(candidate: &Candidate, lean_deg: f64) -> Option<Sample> {
    let axis = Axis::Lean { crank: 0.0 };
    let lean = lean_deg.to_radians();
    let steps = (lean_deg.abs() / STRAIGHT_STEP_DEG).ceil() as usize;
    let mut near = (0.0, candidate.zero.pose);
    for step in 1..=steps {
        let at = match step == steps {
            true => lean,
            false => lean * (step as f64 / steps as f64),
        };
        let path = follow(candidate, axis, near, at);
        if path.lost.is_some() {
            return None;
        }
        near = path.last;
    }
    Some(axis.sample(candidate, lean, near.1))
}
