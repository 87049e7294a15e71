//! Solving the sweeps of a plan for one candidate.

use super::{Grid, Layout, Plan, Planned, Scratch};
use crate::candidate::{Candidate, Sample};
use crate::grid::Pick;
use crate::joints::Tilts;
use crate::loads::Book;
use crate::stop_rows::StopRow;
use crate::sweep::{Axis, Half};
use crate::{Answer, Over, Stop, Where, reduce};
use kinematics::{Drive, Linkage, Target};

impl Plan {
    /// Answers every ask for one machine, in the order in which the plan was asked. Allocates
    /// nothing. Every answer is finite; what cannot be reached shows as a shortfall.
    ///
    /// # Panics
    /// If there are not as many answers as asks.
    pub fn evaluate(&self, linkage: &Linkage, scratch: &mut Scratch, answers: &mut [Answer]) {
        self.evaluate_built(linkage, &Tilts::default(), scratch, answers);
    }

    /// The same for a machine as built, whose studs and bolts err.
    ///
    /// # Panics
    /// If there are not as many answers as asks.
    pub fn evaluate_built(
        &self,
        linkage: &Linkage,
        tilts: &Tilts,
        scratch: &mut Scratch,
        answers: &mut [Answer],
    ) {
        assert_eq!(answers.len(), self.asks.len(), "one answer per ask");
        let inner = scratch.inner.take();
        let own = inner.as_ref().unwrap_or(&self.inner);
        let mut candidate = Candidate::built(linkage, own, tilts);
        // Joints that err are no mirror images, whatever the hardpoints are.
        candidate.symmetric &= *tilts == Tilts::default();
        let bars = scratch.bars.take();
        candidate.bars = bars.as_ref().unwrap_or(candidate.bars);
        if candidate.lost {
            answers.fill(Answer::lost());
            scratch.poses = 0;
            (scratch.bars, scratch.inner) = (bars, inner);
            return;
        }
        self.sweep(&candidate, scratch);
        for (planned, answer) in self.asks.iter().zip(&mut *answers) {
            let view = View {
                plan: self,
                candidate: &candidate,
                scratch,
                planned,
            };
            *answer = reduce::answer(&view);
        }
        (scratch.bars, scratch.inner) = (bars, inner);
        self.over_states(linkage, tilts, scratch, answers);
    }

    fn layout_of(&self, candidate: &Candidate) -> &Layout {
        match candidate.symmetric {
            true => &self.mirrored,
            false => &self.any,
        }
    }

    fn sweep(&self, candidate: &Candidate, scratch: &mut Scratch) {
        let layout = self.layout_of(candidate);
        let zero = &candidate.zero;
        solve(
            candidate,
            Axis::Lean { crank: 0.0 },
            zero,
            &layout.lean,
            &mut scratch.lean,
        );
        if !self.travel.up.is_empty() || !self.travel.down.is_empty() {
            let free = travel_zero(candidate);
            solve(
                candidate,
                Axis::Travel,
                &free,
                &self.travel,
                &mut scratch.travel,
            );
        }
        scratch.map.clear();
        let walks = layout.reach.len() as f64 / self.rows.len().max(1) as f64;
        for &(index, pick, turn) in &layout.reach {
            let row = &self.rows[index];
            let (straight, missing) = place(candidate, &layout.lean, &scratch.lean, pick);
            let share = row.share / walks;
            match missing > 0.0 {
                true => scratch.map.miss(missing, share),
                false => scratch.map.walk(candidate, row, straight, turn, share),
            }
        }
        scratch.stops.clear();
        for &(pick, turn) in &layout.stops {
            let (straight, _) = place(candidate, &layout.lean, &scratch.lean, pick);
            scratch.stops.push(StopRow::sweep(
                candidate, straight, turn, self.gaps, self.parks,
            ));
        }
        if self.loaded
            && let Some(masses) = &self.inner.fittings.masses
        {
            scratch
                .book
                .fill(candidate, &self.inner.parts.cases, masses);
        }
        scratch.poses = scratch
            .lean
            .iter()
            .chain(&scratch.travel)
            .map(|h| h.samples.len())
            .sum();
        scratch.poses += scratch.map.corners.len() + scratch.stops.len();
    }
}

fn solve(candidate: &Candidate, axis: Axis, zero: &Sample, grid: &Grid, halves: &mut [Half; 2]) {
    let [up, down] = halves;
    up.solve(candidate, axis, zero, &grid.up);
    down.solve(candidate, axis, zero, &grid.down);
}

/// The upright pose with the mean travel held at 0: the design pose, unless a rocker is to be
/// disconnected first.
pub(crate) fn travel_zero(candidate: &Candidate) -> Sample {
    let target = Target {
        lean: 0.0,
        steer: 0.0,
        mean_travel: Some(candidate.travel.unwrap_or(0.0)),
    };
    let pose = candidate
        .linkage
        .solve(&Drive::new(&target), &candidate.zero.pose);
    match pose.solved {
        true => Sample {
            pose,
            ..candidate.zero
        },
        false => candidate.zero,
    }
}

/// The sample at a place of a sweep and 0, or the last pose before it and the missing share of
/// the way from zero.
fn place<'s>(
    candidate: &'s Candidate,
    grid: &Grid,
    halves: &'s [Half; 2],
    pick: Pick,
) -> (&'s Sample, f64) {
    let (half, nodes, index) = match pick {
        Pick::Zero => return (&candidate.zero, 0.0),
        Pick::Up(i) => (&halves[0], &grid.up, i),
        Pick::Down(i) => (&halves[1], &grid.down, i),
    };
    match (half.samples.get(index), &half.limit) {
        (Some(sample), _) => (sample, 0.0),
        (None, Some(limit)) => {
            let far = nodes[index].at.abs();
            // Out of reach, however little is missing.
            (&limit.last, (half.missing(far) / far).max(f64::EPSILON))
        }
        (None, None) => (&candidate.zero, 1.0),
    }
}

/// Everything that an answer is made of.
pub(crate) struct View<'v, 'a> {
    plan: &'v Plan,
    pub candidate: &'v Candidate<'a>,
    scratch: &'v Scratch,
    planned: &'v Planned,
}

impl<'v> View<'v, '_> {
    pub fn ask(&self) -> &crate::Ask {
        &self.planned.ask
    }

    fn grid(&self) -> (&'v Grid, &'v [Half; 2], &'v [Pick]) {
        let layout = self.plan.layout_of(self.candidate);
        match self.planned.ask.over {
            Over::Travel(_) => (&self.plan.travel, &self.scratch.travel, &self.planned.picks),
            _ if self.candidate.symmetric => {
                (&layout.lean, &self.scratch.lean, &self.planned.mirrored)
            }
            _ => (&layout.lean, &self.scratch.lean, &self.planned.picks),
        }
    }

    /// Shows every sample of the ask with the straight one of the same lean. Places out of reach
    /// show the last pose before them.
    pub fn each(&self, mut show: impl FnMut(&Sample, &Sample)) {
        let zero = &self.candidate.zero;
        match self.planned.ask.over {
            Over::Design | Over::Steer(_) | Over::Cases => show(zero, zero),
            Over::Reach => {
                let map = &self.scratch.map;
                for corner in &map.corners {
                    show(&corner.sample, &map.straights[corner.straight]);
                }
            }
            Over::Lean(_) | Over::Travel(_) => {
                let (grid, halves, picks) = self.grid();
                for &pick in picks {
                    let (sample, _) = place(self.candidate, grid, halves, pick);
                    show(sample, zero);
                }
            }
        }
    }

    /// The load cases, solved.
    pub fn book(&self) -> &'v Book {
        &self.scratch.book
    }

    /// Samples over reach with their weights.
    pub fn weighted(&self) -> impl Iterator<Item = (&'v Sample, f64)> {
        self.scratch
            .map
            .corners
            .iter()
            .map(|c| (&c.sample, c.weight))
    }

    /// Pairs of samples at equal travel up and down that were both reached.
    pub fn travel_pairs(&self) -> impl Iterator<Item = (&'v Sample, &'v Sample)> {
        let [up, down] = &self.scratch.travel;
        let (grid, picks) = (&self.plan.travel, &self.planned.picks);
        picks.iter().filter_map(move |pick| {
            let Pick::Up(i) = *pick else { return None };
            let j = grid.down.iter().position(|n| n.at == -grid.up[i].at)?;
            Some((up.samples.get(i)?, down.samples.get(j)?))
        })
    }

    /// Crank sweeps to the stop at the leans of the ask.
    pub fn stops(&self) -> impl Iterator<Item = &'v StopRow> {
        let rows = &self.planned.stops[usize::from(self.candidate.symmetric)];
        rows.iter().map(|&i| &self.scratch.stops[i])
    }

    /// Crank angles of the ask, degrees.
    pub fn cranks(&self) -> &'v [f64] {
        &self.planned.cranks[usize::from(self.candidate.symmetric)]
    }

    /// The missing share of what the ask runs over, from the sweeps.
    pub fn shortfall(&self) -> f64 {
        let share = match self.planned.ask.over {
            Over::Design | Over::Steer(_) | Over::Cases => 0.0,
            Over::Reach => self.scratch.map.shortfall,
            Over::Lean(_) | Over::Travel(_) => {
                let (grid, halves, picks) = self.grid();
                let (mut far, mut cut) = ([0.0_f64; 2], false);
                for pick in picks {
                    let (half, nodes, index) = match *pick {
                        Pick::Zero => continue,
                        Pick::Up(i) => (0, &grid.up, i),
                        Pick::Down(i) => (1, &grid.down, i),
                    };
                    far[half] = far[half].max(nodes[index].at.abs());
                    cut |= index >= halves[half].samples.len();
                }
                let missing = halves[0].missing(far[0]) + halves[1].missing(far[1]);
                match cut {
                    // Out of reach, however little is missing.
                    true => (missing / (far[0] + far[1])).max(f64::EPSILON),
                    false => 0.0,
                }
            }
        };
        share.min(1.0)
    }

    /// A symmetric machine is solved on one half only: brings a place back into the range that
    /// was asked for.
    pub fn brought_back(&self, place: Where) -> Where {
        let outside = |[low, high]: [f64; 2], at: f64| at < low - 1e-9 || at > high + 1e-9;
        let other = match self.planned.ask.over {
            Over::Lean(range) => outside(range, place.lean_deg),
            Over::Steer(range) => outside(range, place.steer_deg),
            _ => false,
        };
        if self.candidate.symmetric && other {
            let twin = |part| {
                self.candidate
                    .fitted
                    .as_ref()
                    .map_or(part, |f| f.twin(part))
            };
            let mirrored = place.mirrored();
            Where {
                between: mirrored.between.map(|pair| pair.map(twin)),
                stop: mirrored.stop.map(|stop| match stop {
                    Stop::Contact(pair) => Stop::Contact(pair.map(twin)),
                    other => other,
                }),
                ..mirrored
            }
        } else {
            place
        }
    }
}
