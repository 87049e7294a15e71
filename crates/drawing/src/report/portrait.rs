//! Everything that a report shows of one vehicle, computed once.

use super::gallery::Subject;
use crate::ink::Ink;
use design::{Assessment, Fault, Reach, Vehicle, assessment, in_each_loading};
use kinematics::{Drive, Layout, Linkage, Pose, Side, Target, V3};
use mechanics::{Settings, Survey};

/// The wheels are turned about this far for a view of the steering, degrees.
const STEERED_DEG: f64 = 25.0;
/// The crank is turned no further for a view, degrees.
const CRANK_DEG: f64 = 75.0;

/// A vehicle with its assessment and its linkage.
#[derive(Clone, Debug)]
pub(crate) struct Portrait {
    /// Name for keys and columns.
    pub label: String,
    /// Its colour in every picture.
    pub ink: Ink,
    /// Everything computed of it.
    pub assessment: Assessment,
    pub(crate) linkage: Linkage,
    pub(crate) settings: Settings,
    /// The reach of the state of loading that is shown.
    pub reach: Reach,
    /// Index of that state, and its mean travel where the coupling does not hold it.
    state: usize,
    travel_mm: Option<f64>,
}

/// A pose with a sentence about it.
#[derive(Clone, Debug)]
pub(crate) struct Shown {
    pub pose: Pose<f64>,
    pub text: String,
}

impl Portrait {
    /// Assesses a vehicle. Some milliseconds.
    ///
    /// # Errors
    /// One sentence on why there is nothing to show: it does not assemble, or the reach is faulty.
    pub fn new(
        label: &str,
        ink: Ink,
        vehicle: &Vehicle,
        reach: &Reach,
    ) -> Result<Portrait, String> {
        let found = assessment(vehicle, reach).map_err(said)?;
        let subject = Subject {
            label,
            vehicle,
            assessment: found,
        };
        Portrait::of(subject, ink)
    }

    /// A vehicle in every state of loading in which it can stand, each in a colour of its own.
    ///
    /// # Errors
    /// As [`Portrait::new`].
    pub fn in_each_loading(vehicle: &Vehicle, reach: &Reach) -> Result<Vec<Portrait>, String> {
        let found = assessment(vehicle, reach).map_err(said)?;
        let states = in_each_loading(vehicle, reach).map_err(said)?;
        let stands = states.into_iter().filter(|s| s.mean_travel_mm.is_some());
        let one = |(k, state): (usize, design::InLoading)| {
            let subject = Subject {
                label: &state.loading,
                vehicle,
                assessment: Assessment {
                    loading: Some(state.loading.clone()),
                    curves: state.curves,
                    stops: state.stops,
                    ..found.clone()
                },
            };
            Portrait::of(subject, Ink::subject(k))
        };
        stands.enumerate().map(one).collect()
    }

    /// A vehicle that was assessed already.
    ///
    /// # Errors
    /// As [`Portrait::new`].
    pub fn of(subject: Subject, ink: Ink) -> Result<Portrait, String> {
        let machine = design::machine(subject.vehicle);
        let linkage = Linkage::new(&machine).map_err(|why| why.to_string())?;
        let Subject {
            vehicle,
            assessment,
            ..
        } = subject;
        let settings = design::settings(vehicle, &assessment.reach);
        let state = vehicle.state(assessment.loading.as_deref());
        let state = state.map_err(said)?;
        let survey = Survey::in_state(&linkage, &settings, state).map_err(|why| why.to_string())?;
        let travel_mm = survey.and_then(|survey| survey.mean_travel_mm());
        Ok(Portrait {
            label: subject.label.to_owned(),
            ink,
            reach: vehicle.reach_in(state, &assessment.reach).clone(),
            state,
            travel_mm: travel_mm.filter(|mm| *mm != 0.0),
            settings,
            assessment,
            linkage,
        })
    }

    /// Curves and maps in the state of loading that is shown.
    pub(crate) fn survey(&self) -> Option<Survey<'_>> {
        let found = Survey::in_state(&self.linkage, &self.settings, self.state);
        found.ok().flatten()
    }

    /// In frame axes, mm; none without masses.
    pub(crate) fn centre_of_gravity(&self) -> Option<V3<f64>> {
        let masses = match self.state.checked_sub(1) {
            None => self.settings.fittings.masses.as_ref()?,
            Some(i) => &self.settings.parts.states.get(i)?.masses,
        };
        Some(masses.centre_of_gravity)
    }

    pub(crate) fn upright(&self) -> Shown {
        let settled = self
            .travel_mm
            .and_then(|_| self.linkage.pose(&self.target(0.0, 0.0)).ok());
        Shown {
            pose: settled.unwrap_or(*self.linkage.design_pose()),
            text: "upright, steering straight".to_owned(),
        }
    }

    /// Leaned to the right by the reach's limit, or as far as poses exist.
    pub(crate) fn leaned(&self, limit_deg: f64) -> Option<Shown> {
        let lean = |deg: f64| self.target(deg, 0.0);
        let (deg, pose) = self.furthest(limit_deg, lean)?;
        Some(Shown {
            pose,
            text: format!("leaned {deg:.0}° to the right, steering straight"),
        })
    }

    /// Wheels turned to the left by about [`STEERED_DEG`], upright or leaned into the turn.
    pub(crate) fn steered(&self, lean_deg: f64) -> Option<Shown> {
        let sense = self.left_sense();
        let lean = -lean_deg;
        let mut near = self.linkage.pose(&self.target(lean, 0.0)).ok()?;
        let mut crank = 0.0;
        while mean_steer(&near).to_degrees() < STEERED_DEG && crank < CRANK_DEG {
            let (from, to) = (
                self.target(lean, sense * crank),
                self.target(lean, sense * (crank + 1.0)),
            );
            match self.linkage.advance(&near, &from, &to) {
                Ok(pose) if mean_steer(&pose) > mean_steer(&near) => near = pose,
                _ => break,
            }
            crank += 1.0;
        }
        let [left, right] = [Side::Left, Side::Right].map(|s| near.steer_angle(s).to_degrees());
        let leaned = match lean_deg {
            0.0 => "upright".to_owned(),
            deg => format!("leaned {deg:.0}° into it"),
        };
        Some(Shown {
            pose: near,
            text: format!("left turn, {leaned}: wheels at {left:.1}° and {right:.1}°"),
        })
    }

    /// Lean and crank angle, of a slider the handlebar's, degrees, at the mean travel of the state
    /// that is shown.
    fn target(&self, lean_deg: f64, crank_deg: f64) -> Target {
        let slides = matches!(self.linkage.machine().layout, Layout::Slider);
        let rate = self.settings.fittings.slider_per_handlebar.unwrap_or(1.0);
        Target {
            lean: lean_deg.to_radians(),
            steer: match slides {
                true => rate * crank_deg,
                false => crank_deg.to_radians(),
            },
            mean_travel: self.travel_mm,
        }
    }

    /// Sign of the crank angle that turns the wheels to the left.
    fn left_sense(&self) -> f64 {
        let drive = Drive::new(&self.target(0.0, 0.0));
        let [left, right] = self.linkage.steer_rates(self.linkage.design_pose(), &drive);
        if left + right < 0.0 { -1.0 } else { 1.0 }
    }

    fn furthest(&self, limit: f64, at: impl Fn(f64) -> Target) -> Option<(f64, Pose<f64>)> {
        [1.0, 0.75, 0.5, 0.25]
            .into_iter()
            .map(|share| share * limit)
            .find_map(|x| Some((x, self.linkage.pose(&at(x)).ok()?)))
    }
}

fn said(faults: Vec<Fault>) -> String {
    let texts: Vec<String> = faults.into_iter().map(|f| f.message).collect();
    texts.join("; ")
}

fn mean_steer(pose: &Pose<f64>) -> f64 {
    0.5 * (pose.steer_angle(Side::Left) + pose.steer_angle(Side::Right))
}
