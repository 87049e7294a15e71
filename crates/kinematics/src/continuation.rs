//! Following one assembly branch in small steps.

use crate::{Drive, Failure, Linkage, Pose, Target};

/// Largest lean or steer, radians, and mean travel, mm, of one continuation step.
const STEP_LEAN: f64 = 0.05;
const STEP_STEER: f64 = 0.10;
const STEP_TRAVEL: f64 = 15.0;
/// How often a failing continuation step is halved before the failure is believed: a path
/// that ends at a dead centre is followed to within some 0.001° of crank.
const MOST_HALVINGS: u32 = 12;

impl Linkage {
    /// Continuation from the design pose in small steps along a straight line of the drives.
    ///
    /// # Errors
    /// Names the loop that cannot close, a branch change or missing convergence.
    pub fn pose(&self, target: &Target) -> Result<Pose<f64>, Failure> {
        let start = Target {
            lean: 0.0,
            steer: 0.0,
            mean_travel: target.mean_travel.map(|_| 0.0),
        };
        let first = self.solve(&Drive::new(&start), &self.design);
        match first.failure() {
            Some(why) => Err(why),
            None => self.advance(&first, &start, target),
        }
    }

    /// Continuation from the solved pose `near` (at `from`) to `to`.
    ///
    /// # Errors
    /// As [`Linkage::pose`].
    pub fn advance(
        &self,
        near: &Pose<f64>,
        from: &Target,
        to: &Target,
    ) -> Result<Pose<f64>, Failure> {
        let travel = |t: &Target| t.mean_travel.unwrap_or(0.0);
        let span = ((to.lean - from.lean).abs() / STEP_LEAN)
            .max((to.steer - from.steer).abs() / STEP_STEER)
            .max((travel(to) - travel(from)).abs() / STEP_TRAVEL);
        let whole = libm::ceil(span).clamp(1.0, 1e4);
        let largest = 1.0 / whole;
        let smallest = largest / f64::from(1u32 << MOST_HALVINGS);
        let (mut pose, mut done, mut step) = (*near, 0.0, largest);
        while done < 1.0 {
            let next = if done + step > 1.0 - 1e-12 {
                1.0
            } else {
                done + step
            };
            let tried = self.solve(&Drive::new(&between(from, to, next)), &pose);
            match tried.failure() {
                None => (pose, done, step) = (tried, next, largest.min(2.0 * step)),
                Some(why) if step <= smallest => return Err(why),
                Some(_) => step *= 0.5,
            }
        }
        Ok(pose)
    }
}

fn between(from: &Target, to: &Target, part: f64) -> Target {
    let mix = |a: f64, b: f64| if part >= 1.0 { b } else { a + (b - a) * part };
    Target {
        lean: mix(from.lean, to.lean),
        steer: mix(from.steer, to.steer),
        mean_travel: to
            .mean_travel
            .map(|h| mix(from.mean_travel.unwrap_or(0.0), h)),
    }
}
