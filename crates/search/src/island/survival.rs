//! Who stays in the population.

use super::mating::crowding;
use crate::elite::extremes;
use crate::hypervolume::thin;
use crate::standing::{Frame, Goals, Member, fronts};
use crate::subset::REFERENCE;

/// How the front that fits only in part is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cut {
    /// By crowding distance: quick, and keeps the front wide while it is still far off.
    Crowding,
    /// By exact hypervolume contribution (Beume, Naujoks & Emmerich 2007).
    Hypervolume,
    /// By the additive epsilon indicator (Zitzler & Künzli 2004), for five and six goals.
    Epsilon,
}

/// The scaling factor of the epsilon indicator's fitness, as in its paper.
const KAPPA: f64 = 0.05;

/// Leaves `keep` members by constrained dominance, whole fronts first. `reserve` of the places go
/// to the least violated infeasible members, so that the border of the feasible region is
/// approached from both sides.
pub(super) fn survive(
    members: Vec<Member>,
    goals: usize,
    keep: usize,
    reserve: usize,
    cut: Cut,
) -> Vec<Member> {
    if members.len() <= keep {
        return members;
    }
    let fronts = fronts(&members);
    let feasible = members.iter().filter(|m| m.standing.is_feasible()).count();
    let held = reserve.min(members.len() - feasible);
    let mut kept: Vec<usize> = Vec::with_capacity(keep);
    for front in &fronts {
        let infeasible = !members[front[0]].standing.is_feasible();
        let room = if infeasible { keep } else { keep - held } - kept.len();
        if front.len() <= room {
            kept.extend(front);
        } else if infeasible {
            kept.extend(&front[..room]);
        } else if room > 0 {
            kept.extend(cut_front(&members, front, goals, room, cut));
        }
    }
    let mut stays = vec![false; members.len()];
    kept.iter().for_each(|i| stays[*i] = true);
    members
        .into_iter()
        .zip(stays)
        .filter(|(_, stays)| *stays)
        .map(|(m, _)| m)
        .collect()
}

fn cut_front(
    members: &[Member],
    front: &[usize],
    goals: usize,
    room: usize,
    cut: Cut,
) -> Vec<usize> {
    match cut {
        Cut::Crowding => by_crowding(members, front, goals, room),
        Cut::Hypervolume => {
            let (normal, extreme) = normalised(members, front, goals);
            let kept = thin(&normal, goals, &REFERENCE, room, &extreme);
            kept.into_iter().map(|i| front[i]).collect()
        }
        Cut::Epsilon => {
            let (normal, extreme) = normalised(members, front, goals);
            by_epsilon(&normal, &extreme, goals, room)
                .into_iter()
                .map(|i| front[i])
                .collect()
        }
    }
}

fn normalised(members: &[Member], front: &[usize], goals: usize) -> (Vec<Goals>, Vec<bool>) {
    let values: Vec<Goals> = front.iter().map(|i| members[*i].goals).collect();
    let frame = Frame::of(values.iter());
    (
        values.iter().map(|v| frame.map(v)).collect(),
        extremes(&values, goals),
    )
}

fn by_crowding(members: &[Member], front: &[usize], goals: usize, room: usize) -> Vec<usize> {
    let distance = crowding(members, front, goals);
    let mut order: Vec<usize> = (0..front.len()).collect();
    order.sort_by(|a, b| distance[*b].total_cmp(&distance[*a]).then(a.cmp(b)));
    order[..room].iter().map(|i| front[*i]).collect()
}

/// Removes the member with the least fitness again and again; the fitness of one is
/// −Σ exp(−I(other, one) / (c κ)), I the least shift that makes the other cover it, c the largest.
fn by_epsilon(normal: &[Goals], extreme: &[bool], goals: usize, room: usize) -> Vec<usize> {
    let n = normal.len();
    let shift = |a: &Goals, b: &Goals| {
        (0..goals)
            .map(|g| a[g] - b[g])
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let shifts: Vec<f64> = normal
        .iter()
        .flat_map(|b| normal.iter().map(move |a| shift(a, b)))
        .collect();
    let largest = shifts.iter().fold(0.0f64, |most, s| most.max(s.abs()));
    let scale = if largest > 0.0 {
        -1.0 / (largest * KAPPA)
    } else {
        0.0
    };
    let loss: Vec<f64> = shifts.iter().map(|s| libm::exp(s * scale)).collect();
    let mut fitness: Vec<f64> = (0..n)
        .map(|b| {
            -(0..n)
                .filter(|a| *a != b)
                .map(|a| loss[b * n + a])
                .sum::<f64>()
        })
        .collect();
    let mut alive: Vec<usize> = (0..n).collect();
    while alive.len() > room {
        let key = |i: usize| (extreme[i], fitness[i]);
        let worst = (0..alive.len())
            .min_by(|a, b| {
                let (a, b) = (key(alive[*a]), key(alive[*b]));
                a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
            })
            .expect("more members than room");
        let gone = alive.remove(worst);
        alive.iter().for_each(|b| fitness[*b] += loss[b * n + gone]);
    }
    alive
}
