//! What a search has found so far, looked at from outside.

use design::{Compiled, GoalInfo};
use search::{Archive, Overlay};
use serde::{Deserialize, Serialize};

use crate::documents::own_sense;
use crate::slices::{Stopped, islands_of};

/// Points shown of a front that is still growing.
const SHOWN: usize = 200;

/// The front as it stands in the newest checkpoints of a search.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct FoundDocument {
    /// The goals in the job's order.
    pub goals: Vec<GoalInfo>,
    /// Evaluations behind it.
    pub evaluations: u64,
    /// How many of them met every requirement.
    pub feasible: u64,
    /// Candidates that no other beats.
    pub front: usize,
    /// At most 200 of them that together show the front best, in the order of their first goal: each
    /// goal in its own unit.
    pub points: Vec<Vec<f64>>,
}

/// Joins the islands' newest checkpoints, each with its island's place, in island order; an empty front
/// where there are none yet. Fronts of several layouts are laid over one another.
///
/// # Errors
/// When a checkpoint cannot be read by this build.
pub fn found(
    compiled: &Compiled,
    checkpoints: &[(u32, Vec<u8>)],
) -> Result<FoundDocument, Stopped> {
    let goals = compiled.goals().to_vec();
    if checkpoints.is_empty() {
        return Ok(FoundDocument {
            goals,
            evaluations: 0,
            feasible: 0,
            front: 0,
            points: vec![],
        });
    }
    let budget = compiled.budget();
    let mut archives = Vec::new();
    for layout in 0..compiled.layouts() {
        let own = checkpoints.iter().filter(|(lane, _)| {
            let each = (budget.lanes() / compiled.layouts() as u32).max(1);
            (lane / each) as usize == layout
        });
        let own: Vec<Vec<u8>> = own.map(|(_, bytes)| bytes.clone()).collect();
        if !own.is_empty() {
            let islands = islands_of(&budget, &own)?;
            let problem = compiled.layout(layout).problem();
            archives.push(Archive::merge(problem, &islands).map_err(Stopped::from)?);
        }
    }
    let overlay = Overlay::new(&archives);
    let figures = overlay.progress();
    let own = |values: Vec<f64>| {
        let pairs = goals.iter().zip(values);
        pairs.map(|(goal, value)| own_sense(goal, value)).collect()
    };
    let chosen = overlay.choose(SHOWN);
    Ok(FoundDocument {
        evaluations: figures.evaluations,
        feasible: figures.feasible,
        front: figures.front,
        points: chosen
            .into_iter()
            .map(|(_, point)| own(point.goals))
            .collect(),
        goals,
    })
}
