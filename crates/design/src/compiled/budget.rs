//! The budget in whole epochs, from a modelled cost of one evaluation.

use super::Compiled;
use crate::answer::Budget;
use crate::tolerance::Tolerance;

/// Modelled cost of an evaluation beside its poses, µs.
const COST_FIXED_US: f64 = 5.0;
/// Modelled cost of one reported pose with the solves on the way to it, µs (some 2.5 measured on
/// the demo jobs).
const COST_POSE_US: f64 = 2.5;
/// An epoch of one island aims at this much, µs.
const EPOCH_US: f64 = 1e6;
/// Studies of a job that speaks of tolerances without saying how many.
const STUDIED: u32 = 8;
/// Bounds of an epoch, evaluations.
const EPOCH: [f64; 2] = [500.0, 5000.0];

impl Compiled {
    /// Evaluations of one island in one epoch: about a second by the modelled cost, from 500 to
    /// 5,000, in whole batches of the search. A pure function of the job, never of a clock and
    /// never of the budget.
    pub fn epoch_evaluations(&self) -> u32 {
        let cost = COST_FIXED_US + COST_POSE_US * self.poses as f64;
        let wanted = (EPOCH_US / cost).clamp(EPOCH[0], EPOCH[1]);
        let border = search::BORDER as f64;
        (libm::floor(wanted / border).max(1.0) * border) as u32
    }

    /// The budget as it will be spent: rounded up to whole epochs of all islands.
    pub fn budget(&self) -> Budget {
        let asked = &self.job.search;
        let epoch_evaluations = self.epoch_evaluations();
        let round = u64::from(asked.islands) * u64::from(epoch_evaluations);
        let epochs = asked.evaluations.div_ceil(round).max(1);
        Budget {
            asked: asked.evaluations,
            evaluations: epochs * round,
            islands: asked.islands,
            epochs: u32::try_from(epochs).unwrap_or(u32::MAX),
            epoch_evaluations,
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
