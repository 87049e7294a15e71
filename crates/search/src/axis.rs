//! The scale of one variable: a coordinate in 0…1 and the value that it stands for.

use crate::problem::{ProblemFault, Variable};

pub(crate) const MOST_LISTED: usize = 100_000;
const MOST_GRID_STEPS: f64 = 1e15;

/// How a coordinate in 0…1 becomes a value.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Axis {
    Fixed(f64),
    Real {
        low: f64,
        high: f64,
    },
    Steps {
        low: f64,
        high: f64,
        step: f64,
        last: f64,
    },
    List(Vec<f64>),
}

impl Axis {
    pub fn new(index: usize, variable: &Variable) -> Result<Self, ProblemFault> {
        match variable {
            Variable::Real { low, high } => {
                check_bounds(index, *low, *high)?;
                Ok(if low == high {
                    Self::Fixed(*low)
                } else {
                    Self::Real {
                        low: *low,
                        high: *high,
                    }
                })
            }
            Variable::Grid { low, high, step } => Self::grid(index, *low, *high, *step),
            Variable::List(values) => Self::list(index, values),
        }
    }

    fn grid(index: usize, low: f64, high: f64, step: f64) -> Result<Self, ProblemFault> {
        check_bounds(index, low, high)?;
        let steps = (high - low) / step;
        if !(step > 0.0 && step.is_finite() && steps <= MOST_GRID_STEPS) {
            let allowed = "finite, above 0 and at least 1e-15 of the range";
            return Err(ProblemFault::Value {
                index,
                field: "step",
                value: step,
                allowed,
            });
        }
        // A range that is a multiple of the step up to rounding keeps its upper end.
        let last = (steps + 1e-9 * steps.max(1.0)).floor();
        Ok(if last < 1.0 {
            Self::Fixed(low)
        } else {
            Self::Steps {
                low,
                high,
                step,
                last,
            }
        })
    }

    fn list(index: usize, values: &[f64]) -> Result<Self, ProblemFault> {
        if values.is_empty() || values.len() > MOST_LISTED {
            return Err(ProblemFault::List {
                index,
                found: values.len(),
            });
        }
        if let Some(value) = values.iter().find(|v| !v.is_finite()) {
            let allowed = "finite";
            return Err(ProblemFault::Value {
                index,
                field: "list",
                value: *value,
                allowed,
            });
        }
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        sorted.dedup();
        Ok(if sorted.len() == 1 {
            Self::Fixed(sorted[0])
        } else {
            Self::List(sorted)
        })
    }

    pub fn snap(&self, unit: f64) -> f64 {
        let unit = unit.clamp(0.0, 1.0);
        let nearest = |last: f64| (unit * last + 0.5).floor().min(last) / last;
        match self {
            Self::Fixed(_) => 0.0,
            Self::Real { .. } => unit,
            Self::Steps { last, .. } => nearest(*last),
            Self::List(values) => nearest((values.len() - 1) as f64),
        }
    }

    pub fn value(&self, unit: f64) -> f64 {
        match self {
            Self::Fixed(value) => *value,
            Self::Real { low, high } => (low + unit * (high - low)).clamp(*low, *high),
            Self::Steps {
                low,
                high,
                step,
                last,
            } => (low + (unit * last + 0.5).floor() * step).min(*high),
            Self::List(values) => values[(unit * (values.len() - 1) as f64 + 0.5).floor() as usize],
        }
    }

    pub fn unit(&self, value: f64) -> f64 {
        match self {
            Self::Fixed(_) => 0.0,
            Self::Real { low, high } => self.snap((value - low) / (high - low)),
            Self::Steps {
                low, step, last, ..
            } => self.snap((value - low) / (step * last)),
            Self::List(values) => {
                let above = values.partition_point(|v| *v < value).min(values.len() - 1);
                let below = above.saturating_sub(1);
                let nearer_below = value - values[below] < values[above] - value;
                let index = if nearer_below { below } else { above };
                index as f64 / (values.len() - 1) as f64
            }
        }
    }
}

fn check_bounds(index: usize, low: f64, high: f64) -> Result<(), ProblemFault> {
    if !low.is_finite() {
        return Err(ProblemFault::Value {
            index,
            field: "low",
            value: low,
            allowed: "finite",
        });
    }
    if !(high >= low && (high - low).is_finite()) {
        let allowed = "at least low, with a finite range";
        return Err(ProblemFault::Value {
            index,
            field: "high",
            value: high,
            allowed,
        });
    }
    Ok(())
}
