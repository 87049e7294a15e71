//! Early stop: whether the islands still gain.

use crate::progress::Progress;

/// Whether the islands gained less than `gain` between two epoch borders, from each island's
/// [`Progress::figure`] at the earlier and at the later one, in the same order. The gain is the mean
/// over the islands of each one's own relative gain, so that islands with different scales count
/// alike. False while an island has no figure yet, when the two lists differ in length, and without
/// islands; then the search goes on. A pure function: every worker decides alike.
///
/// ```
/// use leanwright_search::has_settled;
///
/// let (before, now) = ([Some(0.50), Some(0.80)], [Some(0.51), Some(0.80)]);
/// assert!(has_settled(&before, &now, 0.011));
/// assert!(!has_settled(&before, &now, 0.009));
/// assert!(!has_settled(&[None, Some(0.80)], &now, 0.011));
/// ```
pub fn has_settled(before: &[Option<f64>], now: &[Option<f64>], gain: f64) -> bool {
    if before.is_empty() || before.len() != now.len() {
        return false;
    }
    let mut sum = 0.0;
    for pair in before.iter().zip(now) {
        let (Some(before), Some(now)) = pair else {
            return false;
        };
        sum += relative(*before, *now);
    }
    sum / (before.len() as f64) < gain
}

/// Infinite when something was gained on nothing.
fn relative(before: f64, now: f64) -> f64 {
    if now > before {
        (now - before) / before.abs()
    } else {
        0.0
    }
}

impl Progress {
    /// The one figure that [`has_settled`] compares; more is better. The hypervolume on the frozen
    /// scales, or with one goal the best value with its sign turned. `None` while there is none.
    pub fn figure(&self) -> Option<f64> {
        match self.best.as_deref() {
            Some([best]) => Some(-best),
            _ => self.hypervolume,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(before: &[Option<f64>], now: &[Option<f64>], gain: f64, expected: bool) {
        assert_eq!(
            has_settled(before, now, gain),
            expected,
            "{before:?} {now:?}"
        );
    }

    #[test]
    fn islands_count_alike_whatever_their_scales() {
        // Gains of 10 % and 0 %: 5 % on the mean, not 0.1 %.
        let (before, now) = ([Some(0.01), Some(1.0)], [Some(0.011), Some(1.0)]);
        check(&before, &now, 0.051, true);
        check(&before, &now, 0.049, false);
    }

    #[test]
    fn a_loss_is_no_gain_and_does_not_hide_one() {
        // Thinning an archive can cost a trace of hypervolume.
        let (before, now) = ([Some(1.0), Some(1.0)], [Some(0.9), Some(1.1)]);
        check(&before, &now, 0.06, true);
        check(&before, &now, 0.04, false);
    }

    #[test]
    fn one_goal_counts_downwards_on_either_side_of_zero() {
        check(&[Some(-2.0)], &[Some(-1.9)], 0.04, false);
        check(&[Some(-2.0)], &[Some(-1.9)], 0.06, true);
        check(&[Some(2.0)], &[Some(2.1)], 0.04, false);
        check(&[Some(0.0)], &[Some(1e-9)], 0.9, false);
    }

    #[test]
    fn what_is_not_known_does_not_stop() {
        check(&[], &[], 1.0, false);
        check(&[None], &[Some(1.0)], 1.0, false);
        check(&[Some(1.0)], &[None], 1.0, false);
        check(&[Some(1.0)], &[Some(1.0), Some(1.0)], 1.0, false);
        check(&[Some(1.0)], &[Some(1.0)], 0.0, false);
    }
}
