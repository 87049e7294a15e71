//! Which candidates of a front a report goes on to show.

use design::{Candidate, Role};

/// At most four: first the one that is nowhere far from the best (smallest largest distance from
/// the best values, each goal on the scale of the front), then the best of each goal. Feasible
/// ones go first; where there is none, the first candidate stands alone.
pub(super) fn choice(candidates: &[&Candidate]) -> Vec<usize> {
    let feasible: Vec<usize> = (0..candidates.len())
        .filter(|&k| candidates[k].feasible)
        .collect();
    let scales = scales(candidates, &feasible);
    let far = |k: usize| {
        let costs = costs(candidates[k]);
        costs
            .iter()
            .zip(&scales)
            .map(|(c, [best, worst])| (c - best) / (worst - best).max(1e-12))
            .fold(0.0, f64::max)
    };
    let balanced = feasible
        .iter()
        .copied()
        .min_by(|a, b| far(*a).total_cmp(&far(*b)));
    let of_goal = |goal: usize| {
        let cost = |k: &usize| costs(candidates[*k])[goal];
        feasible
            .iter()
            .copied()
            .min_by(|a, b| cost(a).total_cmp(&cost(b)))
    };
    let mut out: Vec<usize> = Vec::new();
    for k in balanced
        .into_iter()
        .chain((0..scales.len()).filter_map(of_goal))
    {
        if !out.contains(&k) && out.len() < 4 {
            out.push(k);
        }
    }
    if out.is_empty() && !candidates.is_empty() {
        out.push(0);
    }
    out
}

/// Goals as what is to be small; an absent value is as bad as can be.
fn costs(candidate: &Candidate) -> Vec<f64> {
    let goals = candidate.goals.iter();
    goals
        .map(|g| match (g.value, g.role) {
            (Some(v), Role::Maximise) => -v,
            (Some(v), _) => v,
            (None, _) => f64::MAX,
        })
        .collect()
}

fn scales(candidates: &[&Candidate], feasible: &[usize]) -> Vec<[f64; 2]> {
    let Some(first) = feasible.first() else {
        return Vec::new();
    };
    let mut scales: Vec<[f64; 2]> = costs(candidates[*first]).iter().map(|c| [*c, *c]).collect();
    for &k in feasible {
        for (scale, cost) in scales.iter_mut().zip(costs(candidates[k])) {
            *scale = [scale[0].min(cost), scale[1].max(cost)];
        }
    }
    scales
}
