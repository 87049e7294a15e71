//! Who stays in the population.

use super::mating::crowding;
use crate::elite::extremes;
use crate::hypervolume::thin;
use crate::standing::{Frame, Goals, Member};
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

/// Leaves `keep` members by constrained dominance, whole fronts first, and their fronts. Violations
/// up to `slack` count as none. `reserve` of the places go to the least violated infeasible members,
/// so that the border of the feasible region is approached from both sides.
pub(super) fn survive(
    members: Vec<Member>,
    fronts: Vec<Vec<usize>>,
    goals: usize,
    keep: usize,
    reserve: usize,
    cut: Cut,
    slack: f64,
) -> (Vec<Member>, Vec<Vec<usize>>) {
    if members.len() <= keep {
        return (members, fronts);
    }
    let feasible = |member: &Member| member.standing.eased(slack).is_feasible();
    let held = reserve.min(members.iter().filter(|m| !feasible(m)).count());
    let mut stays = vec![false; members.len()];
    let mut left = keep;
    for front in &fronts {
        let infeasible = !feasible(&members[front[0]]);
        let room = if infeasible {
            left
        } else {
            left.saturating_sub(held)
        };
        let kept = if front.len() <= room {
            front.clone()
        } else if infeasible || room == 0 {
            front[..room].to_vec()
        } else {
            cut_front(&members, front, goals, room, cut)
        };
        kept.iter().for_each(|i| stays[*i] = true);
        left -= kept.len();
    }
    restrict(members, fronts, &stays)
}

/// The members that stay, in their order, and their fronts.
fn restrict(
    members: Vec<Member>,
    fronts: Vec<Vec<usize>>,
    stays: &[bool],
) -> (Vec<Member>, Vec<Vec<usize>>) {
    let mut place = vec![0; members.len()];
    let mut kept = Vec::with_capacity(members.len());
    for (i, member) in members.into_iter().enumerate() {
        if stays[i] {
            place[i] = kept.len();
            kept.push(member);
        }
    }
    let moved = |front: Vec<usize>| -> Vec<usize> {
        front
            .into_iter()
            .filter(|i| stays[*i])
            .map(|i| place[i])
            .collect()
    };
    (
        kept,
        fronts
            .into_iter()
            .map(moved)
            .filter(|front| !front.is_empty())
            .collect(),
    )
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
