//! What a job's input becomes, as far as its slices need it.

use std::sync::Arc;

use design::{Budget, EarlyStop, Finding, GoalInfo};
use search::{Evaluation, Problem};
use store::JobInput;

/// A job made ready to be searched. A trait and not [`design::Compiled`] itself, so that leases,
/// faults and bit equality can be tested on problems that cost nothing and hang or fail at will.
pub trait Model: Send + Sync {
    /// Layouts that are searched side by side, each a model of its own.
    fn layouts(&self) -> usize {
        1
    }
    /// One of several layouts; `None` where there is one only, which is the model itself.
    fn layout(&self, _layout: usize) -> Option<&dyn Model> {
        None
    }
    /// The search problem, with several layouts that of the first.
    fn problem(&self) -> &Problem;
    /// The budget in whole epochs.
    fn budget(&self) -> Budget;
    /// The seed of every random draw.
    fn seed(&self) -> u64;
    /// Vectors that the islands begin with, the one that matters most first.
    fn starts(&self) -> &[Vec<f64>];
    /// When to end before the budget is spent.
    fn early_stop(&self) -> Option<EarlyStop>;
    /// Points that are polished, at most.
    fn polish_points(&self) -> usize;
    /// Evaluations of one polish, at most.
    fn polish_evaluations(&self) -> u32;
    /// Candidates of the front that are studied, at most.
    fn study_points(&self) -> usize;
    /// Candidates of the answer, at most.
    fn front_size(&self) -> usize;
    /// Whether one evaluation costs so much that a batch of them is worth several threads.
    fn is_costly(&self) -> bool;
    /// A function that evaluates vectors one after another; one for each thread.
    fn evaluator(&self) -> Evaluator<'_>;
    /// With several layouts, a vector of a point here and in what follows begins with the place of its
    /// layout.
    ///
    /// The vector as a workshop sets it: what is evaluated and published in place of a vector that
    /// differs from it by the rounding of a sum.
    fn round(&self, vector: &[f64]) -> Vec<f64>;
    /// A candidate in full, as it is published, with its study if it has one; of a rounded vector.
    ///
    /// # Errors
    /// When the study can't be read.
    fn describe(&self, vector: &[f64], study: Option<&[u8]>) -> Result<Described, String>;
    /// What a workshop's errors make of a candidate, for [`Model::describe`]; of a rounded vector.
    /// Without stops on its way: some seconds at most.
    fn study(&self, vector: &[f64]) -> Vec<u8>;
    /// The job's name.
    fn name(&self) -> String;
    /// The goals in the job's order.
    fn goals(&self) -> Vec<GoalInfo>;
    /// One sentence for each violation of the problem, in its order.
    fn requirements(&self) -> Vec<String>;
    /// What the look at a sample of candidates showed.
    fn findings(&self) -> Vec<Finding>;
}

/// The model of one layout.
pub(crate) fn part(model: &dyn Model, layout: usize) -> &dyn Model {
    model.layout(layout).unwrap_or(model)
}

/// Evaluates one vector after another, with room of its own.
pub type Evaluator<'a> = Box<dyn FnMut(&[f64]) -> Evaluation + 'a>;

/// A candidate in full.
#[derive(Clone, Debug, PartialEq)]
pub struct Described {
    /// Its document.
    pub json: Vec<u8>,
    /// The machine assembles and every requirement is met.
    pub feasible: bool,
    /// What each goal came to, in its own unit and sense.
    pub goals: Vec<Option<f64>>,
}

/// Makes a model from what a job is a function of; the error is a sentence for the caller.
pub type Compile = fn(&JobInput) -> Result<Arc<dyn Model>, String>;
