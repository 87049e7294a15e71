//! From samples to answers.

mod bump;
mod cables;
mod loads;
mod metric;
mod over_reach;
mod ride;
mod stopped;

use crate::plan::View;
use crate::{Answer, Quantity, Where, set_up};

/// The answer to the ask of a view.
pub(crate) fn answer(view: &View) -> Answer {
    let quantity = view.ask().quantity;
    let weighed = || loads::answer(view).or_else(|| ride::answer(view));
    let other = || weighed().or_else(|| cables::answer(view));
    let mut answer = match quantity {
        _ if quantity.info().holdable => set_up::answer(view.candidate.linkage.machine(), quantity),
        Quantity::BumpSteerSlope => bump::slope(view),
        Quantity::BumpSteerEven => bump::part(view, 1.0),
        Quantity::BumpSteerOdd => bump::part(view, -1.0),
        Quantity::SteeringErrorRms => over_reach::error_rms(view),
        Quantity::SteeringRatioSpread => over_reach::ratio_spread(view),
        Quantity::LeanRange => stopped::lean_range(view),
        Quantity::JointMass => Answer {
            value: view.candidate.inner.parts.joints_mass_kg.unwrap_or(0.0),
            ..Answer::default()
        },
        _ if view.stops().next().is_some() => stopped::at_stops(view),
        _ => other().unwrap_or_else(|| metric::answer(view)),
    };
    answer.worst = view.brought_back(answer.worst);
    answer
}

/// The worst value seen and where; starts from nothing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Worst {
    found: Option<(f64, Where)>,
    smaller: bool,
}

impl Worst {
    /// Larger values are worse.
    pub fn largest() -> Worst {
        Worst {
            found: None,
            smaller: false,
        }
    }

    /// Smaller values are worse.
    pub fn smallest() -> Worst {
        Worst {
            found: None,
            smaller: true,
        }
    }

    /// Keeps the first of equal values.
    pub fn see(&mut self, value: f64, place: impl FnOnce() -> Where) {
        let worse = match self.found {
            None => !value.is_nan(),
            Some((known, _)) if self.smaller => value < known,
            Some((known, _)) => value > known,
        };
        if worse {
            self.found = Some((value, place()));
        }
    }

    /// The smallest value yet, where smaller values are worse.
    pub fn known(&self) -> f64 {
        self.found.map_or(f64::INFINITY, |(value, _)| value)
    }

    /// The answer, put into its unit; nothing seen is 0 with everything missing.
    pub fn answer(self, shortfall: f64, unit: impl Fn(f64) -> f64) -> Answer {
        match self.found {
            Some((value, worst)) => Answer {
                value: unit(value),
                shortfall,
                worst,
            },
            None => Answer {
                shortfall: 1.0,
                ..Answer::default()
            },
        }
    }
}
