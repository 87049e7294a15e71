//! Walking the crank to a curvature.

use super::{Step, Tried, Walk};

/// A curvature counts as met within this, 1/mm: at 1 m of wheelbase a steer of 5e-7 rad.
const CURVATURE_MET: f64 = 5e-10;
/// No slope is learnt from crank steps shorter than this.
const SHORTEST: f64 = 1e-9;
/// Slopes of curvature below this, 1/mm per radian, count as no steering at all.
const SMALLEST_SLOPE: f64 = 1e-9;
/// Longest secant step, in steps of the sweep to the stop.
const LONGEST: f64 = 4.0;
/// Steps of the search for a curvature's turning point: 6° shrink to 1e-7 of it.
const GOLDEN_STEPS: usize = 34;
/// Attempts at one curvature before it counts as out of reach.
const MOST_ATTEMPTS: usize = 24;

/// How a walk to a curvature ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Met {
    /// There.
    Yes,
    /// The steering stops before so much curvature.
    Short,
    /// The steering does not come back to so little: lean alone steers further.
    Past,
}

impl Walk<'_, '_> {
    /// Walks to the curvature `s` (1/mm, into the turn): a curved guess, then secant steps, halved
    /// where they leave the bracket of what was seen. Where the steering stops before it, `last`
    /// is the step at the stop.
    pub fn reach_curvature(&mut self, s: f64) -> Met {
        let from = (self.last.u, self.last.s);
        let earlier = self.earlier.replace(from);
        let mut first = true;
        // Crank angles on both sides of the curvature, and the one before the last.
        let (mut below, mut above, mut before) = (None, None, self.last.u);
        for _ in 0..MOST_ATTEMPTS {
            let miss = s - self.last.s;
            if miss.abs() <= CURVATURE_MET {
                return Met::Yes;
            }
            if self.stopped == Some(miss > 0.0) {
                break;
            }
            match miss > 0.0 {
                true => below = Some(self.last.u),
                false => above = Some(self.last.u),
            }
            let bend = if first { self.bend(earlier) } else { 0.0 };
            let straight = self.last.u + miss / self.slope.max(SMALLEST_SLOPE);
            let u = self.kept_within(straight + bend * miss * miss, below, above);
            if u == self.last.u {
                break;
            }
            let furthest = match self.attempt(u, &self.last) {
                // Further from the curvature than before: it has turned back in between.
                Tried::Within(step) if (s - step.s) * miss > miss * miss => {
                    self.furthest(before, step, miss.signum())
                }
                Tried::Within(step) => {
                    before = self.last.u;
                    let slope = first.then(|| self.slope_at(&step, earlier));
                    self.take(step, slope);
                    first = false;
                    continue;
                }
                beyond => self.refine(self.last, beyond),
            };
            let passed = (s - furthest.s > 0.0) != (miss > 0.0);
            self.take(furthest, None);
            if !passed {
                self.stopped = Some(miss > 0.0);
                break;
            }
        }
        match s > self.last.s {
            true => Met::Short,
            false => Met::Past,
        }
    }

    /// Takes a step and the slope there, by default that of the straight line to it.
    fn take(&mut self, step: Step, slope: Option<f64>) {
        let (du, ds) = (step.u - self.last.u, step.s - self.last.s);
        let slope = slope.unwrap_or(ds / du);
        if slope > 0.0 && du.abs() > SHORTEST {
            self.slope = slope;
        }
        (self.last, self.stopped) = (step, None);
    }

    /// Second-order part of u(s) from the last step: the parabola with the last slope through an
    /// earlier step; 0 without one, or where it bends too much to be believed.
    fn bend(&self, earlier: Option<(f64, f64)>) -> f64 {
        let Some((u, s)) = earlier else { return 0.0 };
        let (du, ds) = (u - self.last.u, s - self.last.s);
        let bend = (du - ds / self.slope) / (ds * ds);
        match (bend * ds * self.slope).abs() < 0.25 {
            true => bend,
            false => 0.0,
        }
    }

    /// Slope ds/du at a new step from the last slope, the step itself and (if there is one) an
    /// earlier step, by a parabola or a cubic u(s) through them.
    fn slope_at(&self, step: &Step, earlier: Option<(f64, f64)>) -> f64 {
        let per_s = 1.0 / self.slope;
        let off = |u: f64, s: f64| {
            let (du, ds) = (u - self.last.u, s - self.last.s);
            ((du - per_s * ds) / (ds * ds), ds)
        };
        let (here, a) = off(step.u, step.s);
        let cubic = earlier.map_or(0.0, |(u, s)| {
            let (there, b) = off(u, s);
            (here - there) / (a - b)
        });
        1.0 / (per_s + 2.0 * here * a + cubic * a * a)
    }

    /// The crank angle to try next, brought back into the bracket, the longest step and the end.
    fn kept_within(&self, u: f64, below: Option<f64>, above: Option<f64>) -> f64 {
        let end = self.candidate.drive_end;
        if let (Some(a), Some(b)) = (below, above) {
            let (low, high) = (a.min(b), a.max(b));
            if u <= low || u >= high {
                return 0.5 * (low + high);
            }
        }
        let most = LONGEST * self.candidate.drive_step;
        let step = (u - self.last.u).clamp(-most, most);
        (self.last.u + step).clamp(-end, end)
    }

    /// Where the curvature lies furthest in a direction (`toward` ±1) between `before` and the
    /// step beyond `last` that lies less far: a golden-section search.
    fn furthest(&self, before: f64, beyond: Step, toward: f64) -> Step {
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let (mut low, mut high) = (before, beyond.u);
        let mut best = self.last;
        let place = |a: f64, b: f64| b - GOLDEN * (b - a);
        let mut see = |u: f64| match self.attempt_once(u, &best) {
            Tried::Within(step) => {
                if toward * (step.s - best.s) > 0.0 {
                    best = step;
                }
                toward * step.s
            }
            _ => f64::NEG_INFINITY,
        };
        let (mut a, mut b) = (place(low, high), place(high, low));
        let (mut at_a, mut at_b) = (see(a), see(b));
        for _ in 0..GOLDEN_STEPS {
            if at_a >= at_b {
                (high, b, at_b) = (b, a, at_a);
                a = place(low, high);
                at_a = see(a);
            } else {
                (low, a, at_a) = (a, b, at_b);
                b = place(high, low);
                at_b = see(b);
            }
        }
        best
    }
}
