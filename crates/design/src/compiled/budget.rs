//! The budget in whole epochs, from a modelled cost of one evaluation.

use super::Compiled;
use crate::answer::Budget;
use crate::tolerance::Tolerance;

/// Modelled cost of an evaluation beside its poses, µs.
const COST_FIXED_US: f64 = 5.0;
/// Modelled cost of one reported pose with the solves on the way to it, µs (some 2.5 measured on
/// the demo jobs).
const COST_POSE_US: f64 = 2.5;
/// Modelled cost of a machine built of a drawing, µs (28 measured on buildable.json).
const COST_BUILT_US: f64 = 28.0;
/// An evaluation of this much may be worth a thread of its own, µs.
const COSTLY_US: f64 = 1e3;
/// An epoch of one island below this is not a slice of its own, µs: some ten times what a claim and
/// the end of a slice cost.
const SHORT_US: f64 = 5e4;
/// A slice of several epochs lasts at least this long, µs: two claims a second.
const SLICE_US: f64 = 5e5;
/// An epoch of one island aims at this much, µs.
const EPOCH_US: f64 = 1e6;
/// Studies of a job that speaks of tolerances without saying how many.
const STUDIED: u32 = 8;
/// Bounds of an epoch, evaluations.
const EPOCH: [f64; 2] = [500.0, 5000.0];

impl Compiled {
    /// Modelled cost of one evaluation, µs: its poses, and the machines built of a drawing where
    /// something is asked at a percentile.
    fn cost_us(&self) -> f64 {
        let built = self.robust.as_ref().map_or(0.0, |_| {
            COST_BUILT_US * f64::from(self.job.tolerance.samples)
        });
        COST_FIXED_US + COST_POSE_US * self.poses as f64 + built
    }

    /// Whether one evaluation is worth a thread of its own, by the modelled cost.
    pub fn is_costly(&self) -> bool {
        self.cost_us() >= COSTLY_US
    }

    /// Evaluations of one island in one epoch: about a second by the modelled cost, from 500 to
    /// 5,000, in whole batches of the search. A pure function of the job, never of a clock and
    /// never of the budget.
    ///
    /// With several layouts that of the dearest, so that all have as many.
    pub fn epoch_evaluations(&self) -> u32 {
        let others = self.others.iter().map(Compiled::epoch_evaluations);
        others.fold(self.own_epoch_evaluations(), u32::min)
    }

    fn own_epoch_evaluations(&self) -> u32 {
        let wanted = (EPOCH_US / self.cost_us()).clamp(EPOCH[0], EPOCH[1]);
        let border = search::BORDER as f64;
        (libm::floor(wanted / border).max(1.0) * border) as u32
    }

    /// Epochs of all islands in one slice. More than 1 only where an epoch of one island is so short
    /// that claiming it would cost as much: such a job is not worth more cores than one. A pure
    /// function of the job, as an epoch's evaluations are. A border that may end the search stands
    /// behind every epoch, so a job with an early stop keeps them apart.
    fn epochs_together(&self) -> u32 {
        let epoch = self.cost_us() * f64::from(self.epoch_evaluations());
        let all = epoch * f64::from(self.job.search.islands);
        let alone = self.others.is_empty() && self.job.search.early_stop.is_none();
        match epoch < SHORT_US && alone {
            true => libm::ceil(SLICE_US / all).max(1.0) as u32,
            false => 1,
        }
    }

    /// The budget as it will be spent: rounded up to whole slices of all islands.
    pub fn budget(&self) -> Budget {
        let asked = &self.job.search;
        let epoch_evaluations = self.epoch_evaluations();
        let islands = asked.islands * self.layouts() as u32;
        let together = self.epochs_together();
        let epoch = u64::from(islands) * u64::from(epoch_evaluations);
        let rounds = asked
            .evaluations
            .div_ceil(epoch * u64::from(together))
            .max(1);
        let epochs = rounds * u64::from(together);
        Budget {
            asked: asked.evaluations,
            evaluations: epochs * epoch,
            islands,
            epochs: u32::try_from(epochs).unwrap_or(u32::MAX),
            epoch_evaluations,
            epochs_together: together,
            polish_evaluations: u64::from(asked.polish_points)
                * u64::from(asked.polish_evaluations),
            studies: self.study_points(),
            study_machines: self.job.tolerance.samples,
        }
    }

    /// Candidates of the front that get a tolerance study: as the job says, else some where it
    /// speaks of its workshop's errors at all.
    pub fn study_points(&self) -> u32 {
        let search = &self.job.search;
        let speaks = self.robust.is_some() || self.job.tolerance != Tolerance::default();
        let usual = if speaks { STUDIED } else { 0 };
        search.study_points.unwrap_or(usual).min(search.front)
    }
}
