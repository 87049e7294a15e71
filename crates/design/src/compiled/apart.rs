//! Vectors without a machine, and how far they are from one.

use kinematics::{DesignFault, Failure};

/// Why a vector gives no machine.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Apart {
    /// The holds have no solution; the smallest miss that the solver saw, in their units.
    Hold(f64),
    /// The machine has no design pose.
    Design(DesignFault),
}

impl Apart {
    /// How far from assembling, 0 to 5. Whole numbers part the kinds: a loop that nearly closes
    /// is nearer than a pose that was not found, that nearer than a hold without solution, that
    /// nearer than points that coincide.
    pub fn distance(&self) -> f64 {
        let within = |x: f64| if x.is_finite() { x / (1.0 + x) } else { 1.0 };
        match self {
            Apart::Design(DesignFault::Unsolvable(failure)) => match failure {
                Failure::CannotAssemble { shortfall, .. } => within(*shortfall),
                Failure::NotConverged { residual } => 1.0 + within(*residual),
                Failure::BranchChange | Failure::LostContact(_) => 2.0,
            },
            Apart::Hold(miss) => 3.0 + within(*miss),
            Apart::Design(_) => 5.0,
        }
    }
}

impl core::fmt::Display for Apart {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Apart::Hold(miss) => {
                write!(
                    f,
                    "the holds have no solution here (nearest miss {miss:.3})"
                )
            }
            Apart::Design(fault) => write!(f, "the machine does not assemble: {fault}"),
        }
    }
}
