//! The problem: variables, and how many goals and violations an evaluation has.

use crate::axis::{Axis, MOST_LISTED};
use thiserror::Error;

/// The largest number of goals.
pub const MOST_GOALS: usize = 6;
const MOST_VARIABLES: usize = 1_000;
const MOST_VIOLATIONS: usize = 10_000;

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
