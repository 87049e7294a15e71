//! Nelder & Mead's simplex (argmin), turned inside out.
//!
//! argmin calls the cost function; here the caller must be asked instead. So every iteration is
//! run on a copy of the solver with the costs known so far; when it wants one more, it is stopped,
//! the point is handed out, and the iteration is run again once its cost is known. An iteration
//! needs one or two costs, or one per variable when the simplex shrinks, so little is repeated.

use argmin::core::{CostFunction, Error, IterState, Problem, Solver, State, TerminationStatus};
use argmin::solver::neldermead::NelderMead;
use std::cell::RefCell;

type Inner = NelderMead<Vec<f64>, f64>;
type Iteration = IterState<Vec<f64>, (), (), (), (), f64>;

/// Costs in the order in which they are wanted, and the point that had none left.
struct Replay<'a> {
    known: RefCell<std::slice::Iter<'a, f64>>,
    wanted: RefCell<Option<Vec<f64>>>,
}

impl CostFunction for Replay<'_> {
    type Param = Vec<f64>;
    type Output = f64;

    fn cost(&self, point: &Vec<f64>) -> Result<f64, Error> {
        match self.known.borrow_mut().next() {
            Some(cost) => Ok(*cost),
            None => {
                *self.wanted.borrow_mut() = Some(point.clone());
                Err(Error::msg("the cost of this point is not known yet"))
            }
        }
    }
}

/// A simplex that is told costs.
#[derive(Clone)]
pub(super) struct Simplex {
    solver: Inner,
    state: Iteration,
    corners: Vec<Vec<f64>>,
    started: bool,
    /// Costs told since the last whole iteration.
    known: Vec<f64>,
}

impl Simplex {
    /// A simplex of `center` and one corner per coordinate, as far away as `steps` says. There must
    /// be at least one coordinate.
    pub fn new(center: &[f64], steps: &[f64]) -> Self {
        let mut corners = vec![center.to_vec()];
        corners.extend(steps.iter().enumerate().map(|(i, step)| {
            let mut corner = center.to_vec();
            corner[i] += step;
            corner
        }));
        let solver = NelderMead::new(corners.clone());
        Self {
            solver,
            state: Iteration::new(),
            corners,
            started: false,
            known: Vec::new(),
        }
    }

    /// The points whose costs are wanted next; none when the simplex can't improve any more. The
    /// state advances over every iteration whose costs are all known.
    pub fn wanted(&mut self) -> Vec<Vec<f64>> {
        if !self.started && self.known.len() < self.corners.len() {
            return self.corners[self.known.len()..].to_vec();
        }
        while self.started || !self.known.is_empty() {
            if self.started && self.is_flat() {
                return Vec::new();
            }
            match self.iterate() {
                Ok(()) => {}
                Err(wanted) => return wanted.into_iter().collect(),
            }
        }
        Vec::new()
    }

    pub fn tell(&mut self, cost: f64) {
        self.known.push(cost);
    }

    fn is_flat(&mut self) -> bool {
        let status = <Inner as Solver<Replay, Iteration>>::terminate(&mut self.solver, &self.state);
        matches!(status, TerminationStatus::Terminated(_))
    }

    /// One iteration on a copy, kept when its costs were all known.
    fn iterate(&mut self) -> Result<(), Option<Vec<f64>>> {
        let replay = Replay {
            known: RefCell::new(self.known.iter()),
            wanted: RefCell::new(None),
        };
        let mut problem = Problem::new(replay);
        let mut solver = self.solver.clone();
        let state = self.state.clone();
        let ran = if self.started {
            solver.next_iter(&mut problem, state)
        } else {
            solver.init(&mut problem, state)
        };
        match ran {
            Ok((state, _)) => {
                (self.solver, self.state, self.started) = (solver, state, true);
                self.known.clear();
                Ok(())
            }
            Err(_) => Err(problem
                .take_problem()
                .and_then(|replay| replay.wanted.into_inner())),
        }
    }
}
