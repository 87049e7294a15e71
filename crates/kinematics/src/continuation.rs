//! Following one assembly branch in small steps.

use crate::{Drive, Failure, Layout, Linkage, Pose, Side, Target};

/// Largest lean or steer, radians, and mean travel or slider travel, mm, of one continuation step.
const STEP_LEAN: f64 = 0.05;
const STEP_STEER: f64 = 0.10;
const STEP_TRAVEL: f64 = 15.0;
const STEP_SLIDE: f64 = 5.0;
/// How often a failing continuation step is halved before the failure is believed: a sweep that
/// ends at a dead centre is followed to within some 0.001° of crank.
const MOST_HALVINGS: u32 = 12;
/// The same for a single pose, which may be asked for as close to a dead centre as a solution can
/// be told from its twin.
const MOST_HALVINGS_OF_ONE: u32 = 22;
/// A joint that moves further in one step than this, in half tracks per radian of lean or crank
/// and mm per mm of travel or slider, and `LEAST_LEAP` (mm) on top, has leapt to another branch.
const FASTEST: f64 = 4.0;
const LEAST_LEAP: f64 = 1.0;
/// A step that leaves less than this of a margin, or the inverse, may have hopped over a
/// singularity or a gap: it stands only where no joint moves further than `LEAST_LEAP`.
const MARGIN_KEPT: f64 = 0.5;
/// Steps are shortened in proportion below this margin, but not below `LEAST_PART` of a step.
const ROOMY: f64 = 0.5;
const LEAST_PART: f64 = 1.0 / 64.0;

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
            None => self.follow(&first, [&start, target], MOST_HALVINGS_OF_ONE),
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
        self.follow(near, [from, to], MOST_HALVINGS)
    }

    fn follow(
        &self,
        near: &Pose<f64>,
        [from, to]: [&Target; 2],
        halvings: u32,
    ) -> Result<Pose<f64>, Failure> {
        let travel = |t: &Target| t.mean_travel.unwrap_or(0.0);
        let steer = match self.machine().layout {
            Layout::Slider => STEP_SLIDE,
            _ => STEP_STEER,
        };
        let span = ((to.lean - from.lean).abs() / STEP_LEAN)
            .max((to.steer - from.steer).abs() / steer)
            .max((travel(to) - travel(from)).abs() / STEP_TRAVEL);
        let whole = libm::ceil(span).clamp(1.0, 1e4);
        let largest = 1.0 / whole;
        let smallest = largest / f64::from(1u32 << halvings);
        let reach = self.reach_of(from, to);
        let (mut pose, mut done, mut step) = (*near, 0.0, largest);
        // The loop that would not close says more than where the steps became too small.
        let mut open = None;
        while done < 1.0 {
            step = step.min(part_of_step(&pose) / span).max(smallest);
            let next = if done + step > 1.0 - 1e-12 {
                1.0
            } else {
                done + step
            };
            let tried = self.solve(&Drive::new(&between(from, to, next)), &pose);
            let usual = match keeps_margins(&pose, &tried) {
                true => FASTEST * reach * (next - done),
                false => 0.0,
            };
            let most = usual + LEAST_LEAP;
            let leapt = || leaps(&pose, &tried, most).then_some(Failure::BranchChange);
            match tried.failure().or_else(leapt) {
                None => (pose, done, step) = (tried, next, largest.min(2.0 * step)),
                Some(why) => {
                    if matches!(why, Failure::CannotAssemble { .. }) {
                        open = Some(why);
                    }
                    if step <= smallest {
                        return Err(open.unwrap_or(why));
                    }
                    step *= 0.5;
                }
            }
        }
        Ok(pose)
    }

    /// How far the joints move between two places at their usual speed, mm.
    fn reach_of(&self, from: &Target, to: &Target) -> f64 {
        let machine = self.machine();
        let half_track = 0.5 * (machine.left.wheel.centre - machine.right.wheel.centre).norm();
        let arm = match machine.layout {
            // The drive of a slider is a travel, not an angle.
            Layout::Slider => 1.0,
            _ => half_track,
        };
        let travel = |t: &Target| t.mean_travel.unwrap_or(0.0);
        half_track * (to.lean - from.lean).abs()
            + arm * (to.steer - from.steer).abs()
            + (travel(to) - travel(from)).abs()
    }
}

fn margins(pose: &Pose<f64>) -> [f64; 8] {
    let m = &pose.margins;
    let ([a, b], [c, d]) = (m.upper, m.rod);
    [a, b, c, d, m.idler, m.handlebar, m.rocker, m.fold]
}

/// The part of a whole step that is safe from a pose.
fn part_of_step(pose: &Pose<f64>) -> f64 {
    let least = margins(pose).into_iter().fold(f64::INFINITY, f64::min);
    (least / ROOMY).clamp(LEAST_PART, 1.0)
}

/// No margin shrinks or grows much in one step.
fn keeps_margins(from: &Pose<f64>, to: &Pose<f64>) -> bool {
    margins(from).into_iter().zip(margins(to)).all(|(a, b)| {
        let (small, large) = if a < b { (a, b) } else { (b, a) };
        small >= MARGIN_KEPT * large
    })
}

/// A ball joint or an outer rod end has moved further than `most`, mm.
fn leaps(from: &Pose<f64>, to: &Pose<f64>, most: f64) -> bool {
    [Side::Left, Side::Right].into_iter().any(|side| {
        let (a, b) = (from.corner(side), to.corner(side));
        [
            b.lower - a.lower,
            b.upper - a.upper,
            b.rod_outer - a.rod_outer,
        ]
        .into_iter()
        .any(|moved| moved.norm2() > most * most)
    })
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
