//! Who stays in the population.

use super::mating::crowding;
use crate::elite::extremes;
use crate::hypervolume::thin;
use crate::standing::{Frame, Goals, Member, Standing, covers};
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
/// up to `slack` count as none. `reserve` of the places go to infeasible members, so that the border of
/// the feasible region is approached from both sides: to promising ones first once the feasible ones
/// fill the rest, otherwise to the least violated.
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
    let outside = members.iter().filter(|m| !feasible(m)).count();
    let mut held = reserve.min(outside);
    let mut stays = vec![false; members.len()];
    let mut left = keep;
    if members.len() - outside >= keep - held {
        for i in promising(&members, &fronts, slack, held) {
            stays[i] = true;
            (left, held) = (left - 1, held - 1);
        }
    }
    for front in &fronts {
        let infeasible = !feasible(&members[front[0]]);
        let room = if infeasible {
            left
        } else {
            left.saturating_sub(held)
        };
        let others: Vec<usize> = front.iter().copied().filter(|i| !stays[*i]).collect();
        let kept = if others.len() <= room {
            others
        } else if infeasible || room == 0 {
            others[..room].to_vec()
        } else {
            cut_front(&members, &others, goals, room, cut)
        };
        kept.iter().for_each(|i| stays[*i] = true);
        left -= kept.len();
    }
    restrict(members, fronts, &stays)
}

/// Infeasible members that would better the front if they were feasible, the least violated first: no
/// member of the best front is as good in every goal, nor is one of them with a smaller violation
/// (after T. Ray, H. K. Singh, A. Isaacs & W. Smith 2009, "Infeasibility driven evolutionary algorithm
/// for constrained optimization"). The least violated of all would gather beside points that are
/// dominated; these show where the front can still grow.
fn promising(members: &[Member], fronts: &[Vec<usize>], slack: f64, most: usize) -> Vec<usize> {
    let mut better: Vec<usize> = Vec::new();
    let Some((first, others)) = fronts.split_first() else {
        return better;
    };
    let violated = |i: &usize| {
        let standing = members[*i].standing;
        matches!(standing, Standing::Violated(excess) if excess > slack)
    };
    let covered = |by: &[usize], i: usize| {
        by.iter()
            .any(|j| covers(&members[*j].goals, &members[i].goals))
    };
    for i in others.iter().flatten().copied().filter(violated) {
        if better.len() == most {
            break;
        }
        if !covered(first, i) && !covered(&better, i) {
            better.push(i);
        }
    }
    better
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standing::{fronts, padded};

    #[test]
    fn promising_members_would_better_the_front() {
        let member = |a: f64, b: f64, excess: f64| Member {
            unit: Vec::new(),
            goals: padded(&[a, b]),
            standing: if excess > 0.0 {
                Standing::Violated(excess)
            } else {
                Standing::Feasible
            },
        };
        let members = [
            member(1.0, 3.0, 0.0),
            member(3.0, 1.0, 0.0),
            // Dominated, though hardly violated.
            member(4.0, 4.0, 0.1),
            member(0.5, 4.0, 0.2),
            // No better than the one before, with a greater violation.
            member(0.6, 4.0, 0.3),
            member(2.0, 2.0, 0.4),
            member(0.0, 0.0, 0.5),
        ];
        let ranked = fronts(&members, 0.0);
        assert_eq!(promising(&members, &ranked, 0.0, 9), [3, 5, 6]);
        assert_eq!(promising(&members, &ranked, 0.0, 1), [3]);
        let kept = |reserve| {
            let (members, fronts) = (members.to_vec(), ranked.clone());
            survive(members, fronts, 2, 2 + reserve, reserve, Cut::Crowding, 0.0).0
        };
        assert_eq!(kept(2), [0, 1, 3, 5].map(|i: usize| members[i].clone()));
        // What no promising member takes goes to the least violated.
        assert_eq!(
            kept(4),
            [0, 1, 2, 3, 5, 6].map(|i: usize| members[i].clone())
        );
    }
}
