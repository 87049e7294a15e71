//! The problem: variables, and how many goals and violations an evaluation has.

use thiserror::Error;

/// The largest number of goals.
pub const MOST_GOALS: usize = 6;
const MOST_VARIABLES: usize = 1_000;
const MOST_VIOLATIONS: usize = 10_000;
const MOST_LISTED: usize = 100_000;
const MOST_GRID_STEPS: f64 = 1e15;

/// One variable, in any unit.
#[derive(Clone, Debug, PartialEq)]
pub enum Variable {
    /// Any value from `low` to `high`.
    Real {
        /// Lower bound.
        low: f64,
        /// Upper bound; may equal `low`, then the variable is fixed.
        high: f64,
    },
    /// `low`, `low + step`, … up to the last that is not above `high`.
    Grid {
        /// First value.
        low: f64,
        /// Upper bound.
        high: f64,
        /// Distance of neighbours, > 0.
        step: f64,
    },
    /// One of a list of sizes, in any order; duplicates count once.
    List(Vec<f64>),
}

/// Why a problem can't be searched.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ProblemFault {
    /// A count outside its range.
    #[error("{what}: {found}, must be from {low} to {high}")]
    Count {
        /// "variables", "goals" or "violations".
        what: &'static str,
        /// As given.
        found: usize,
        /// Smallest allowed.
        low: usize,
        /// Largest allowed.
        high: usize,
    },
    /// A bound, step or listed value that can't be used.
    #[error("variables[{index}]: {field} is {value}, must be {allowed}")]
    Value {
        /// Index of the variable.
        index: usize,
        /// "low", "high", "step" or "list".
        field: &'static str,
        /// As given.
        value: f64,
        /// The allowed range in words.
        allowed: &'static str,
    },
    /// A list without values, or with too many.
    #[error("variables[{index}]: list holds {found} values, must be from 1 to {MOST_LISTED}")]
    List {
        /// Index of the variable.
        index: usize,
        /// Values in the list.
        found: usize,
    },
}

/// A checked problem: 1 to 1,000 variables, 1 to [`MOST_GOALS`] goals, 0 to 10,000 violations.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    variables: Vec<Variable>,
    goals: usize,
    violations: usize,
    axes: Vec<Axis>,
    free: Vec<usize>,
}

impl Problem {
    /// Checks the variables and counts.
    ///
    /// # Errors
    /// The first fault found, with field, value and allowed range.
    pub fn new(
        variables: Vec<Variable>,
        goals: usize,
        violations: usize,
    ) -> Result<Self, ProblemFault> {
        check_count("variables", variables.len(), 1, MOST_VARIABLES)?;
        check_count("goals", goals, 1, MOST_GOALS)?;
        check_count("violations", violations, 0, MOST_VIOLATIONS)?;
        let axes: Vec<Axis> = variables
            .iter()
            .enumerate()
            .map(|(index, variable)| Axis::new(index, variable))
            .collect::<Result<_, _>>()?;
        let free = (0..axes.len())
            .filter(|i| !matches!(axes[*i], Axis::Fixed(_)))
            .collect();
        Ok(Self {
            variables,
            goals,
            violations,
            axes,
            free,
        })
    }

    /// The variables in the order of a vector's values.
    pub fn variables(&self) -> &[Variable] {
        &self.variables
    }

    /// The number of goals.
    pub fn goals(&self) -> usize {
        self.goals
    }

    /// The number of violations.
    pub fn violations(&self) -> usize {
        self.violations
    }

    /// The number of variables that have more than one value. Inside the search a point is a unit
    /// vector: one coordinate in 0…1 for each of these.
    pub(crate) fn free(&self) -> usize {
        self.free.len()
    }

    /// Moves a free coordinate onto the nearest value that the variable has.
    pub(crate) fn snap(&self, coordinate: usize, unit: f64) -> f64 {
        self.axes[self.free[coordinate]].snap(unit)
    }

    /// The distance of neighbouring values of a free coordinate; 0 for a real variable.
    pub(crate) fn spacing(&self, coordinate: usize) -> f64 {
        match &self.axes[self.free[coordinate]] {
            Axis::Steps { last, .. } => 1.0 / last,
            Axis::List(values) => 1.0 / (values.len() - 1) as f64,
            Axis::Real { .. } | Axis::Fixed(_) => 0.0,
        }
    }

    /// The vector of a unit vector, appended to `out`.
    pub(crate) fn write_vector(&self, unit: &[f64], out: &mut Vec<f64>) {
        let mut units = unit.iter();
        out.extend(self.axes.iter().map(|axis| match axis {
            Axis::Fixed(value) => *value,
            _ => axis.value(*units.next().expect("one coordinate per free variable")),
        }));
    }

    pub(crate) fn vector(&self, unit: &[f64]) -> Vec<f64> {
        let mut out = Vec::with_capacity(self.axes.len());
        self.write_vector(unit, &mut out);
        out
    }

    /// The unit vector nearest to a vector of finite values.
    pub(crate) fn unit(&self, vector: &[f64]) -> Vec<f64> {
        self.free
            .iter()
            .map(|i| self.axes[*i].unit(vector[*i]))
            .collect()
    }
}

/// How a coordinate in 0…1 becomes a value.
#[derive(Clone, Debug, PartialEq)]
enum Axis {
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
    fn new(index: usize, variable: &Variable) -> Result<Self, ProblemFault> {
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

    fn snap(&self, unit: f64) -> f64 {
        let unit = unit.clamp(0.0, 1.0);
        let nearest = |last: f64| (unit * last + 0.5).floor().min(last) / last;
        match self {
            Self::Fixed(_) => 0.0,
            Self::Real { .. } => unit,
            Self::Steps { last, .. } => nearest(*last),
            Self::List(values) => nearest((values.len() - 1) as f64),
        }
    }

    fn value(&self, unit: f64) -> f64 {
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

    fn unit(&self, value: f64) -> f64 {
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

fn check_count(
    what: &'static str,
    found: usize,
    low: usize,
    high: usize,
) -> Result<(), ProblemFault> {
    if (low..=high).contains(&found) {
        Ok(())
    } else {
        Err(ProblemFault::Count {
            what,
            found,
            low,
            high,
        })
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
