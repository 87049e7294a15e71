//! Means and spreads over reach.

use super::Worst;
use crate::Answer;
use crate::plan::View;
use crate::steering::FrontWheels;

/// Weighted root mean square of the steering error; worst where the error is largest.
pub(super) fn error_rms(view: &View) -> Answer {
    let (mut sum, mut weights) = (0.0, 0.0);
    let mut worst = Worst::largest();
    for (sample, weight) in view.weighted() {
        let e = FrontWheels::of(&sample.pose).error();
        sum += weight * e * e;
        weights += weight;
        worst.see(e.abs(), || view.candidate.place(sample));
    }
    let rms = (sum / f64::max(weights, f64::MIN_POSITIVE)).sqrt();
    worst.answer(view.shortfall(), |_| rms.to_degrees())
}

/// Largest over smallest steering ratio; worst where the ratio is largest.
pub(super) fn ratio_spread(view: &View) -> Answer {
    let (mut slow, mut quick) = (Worst::largest(), f64::INFINITY);
    for (sample, _) in view.weighted() {
        let ratio = view.candidate.steering_ratio(sample);
        slow.see(ratio, || view.candidate.place(sample));
        quick = quick.min(ratio);
    }
    slow.answer(view.shortfall(), |ratio| ratio / quick)
}
