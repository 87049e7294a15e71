//! Points moved into the box that another point dominates.

use crate::standing::Goals;

/// Kept points with the positions that they came from.
#[derive(Default)]
pub(super) struct Named {
    pub points: Vec<Goals>,
    pub names: Vec<u32>,
}

impl Named {
    /// As [`limit`].
    pub fn limit<'a>(
        &mut self,
        point: &Goals,
        others: impl IntoIterator<Item = (u32, &'a Goals)>,
        goals: usize,
    ) {
        self.points.clear();
        self.names.clear();
        match goals {
            ..=4 => self.all::<4>(point, others),
            _ => self.all::<6>(point, others),
        }
    }

    /// Coordinates between the goals and N are equal in all points.
    fn all<'a, const N: usize>(
        &mut self,
        point: &Goals,
        others: impl IntoIterator<Item = (u32, &'a Goals)>,
    ) {
        // As in `one`.
        let mut likely = 0;
        for (name, other) in others {
            let mut moved = [0.0; 6];
            for i in 0..N {
                moved[i] = larger(point[i], other[i]);
            }
            let covering = |k: &Goals| covers::<N>(k, &moved);
            if self.points.get(likely).is_some_and(covering) {
                continue;
            }
            match self.points.iter().position(covering) {
                Some(position) => likely = position,
                None => self.keep::<N>(name, moved),
            }
        }
    }

    fn keep<const N: usize>(&mut self, name: u32, moved: Goals) {
        let mut left = 0;
        for i in 0..self.points.len() {
            if !covers::<N>(&moved, &self.points[i]) {
                (self.points[left], self.names[left]) = (self.points[i], self.names[i]);
                left += 1;
            }
        }
        self.points.truncate(left);
        self.names.truncate(left);
        self.points.push(moved);
        self.names.push(name);
    }
}

/// The others, moved into the box that `point` dominates, without those that another one covers, in
/// their order.
pub(crate) fn limit<'a>(
    point: &Goals,
    others: impl IntoIterator<Item = &'a Goals>,
    goals: usize,
    kept: &mut Vec<Goals>,
) {
    kept.clear();
    match goals {
        1 | 2 => all::<2>(point, others, kept),
        3 => all::<3>(point, others, kept),
        4 => all::<4>(point, others, kept),
        5 => all::<5>(point, others, kept),
        _ => all::<6>(point, others, kept),
    }
}

/// Where `other` is moved to in the box of `point`, unless one that is kept covers it there.
pub(crate) fn moved(point: &Goals, other: &Goals, goals: usize, kept: &[Goals]) -> Option<Goals> {
    let mut moved = [0.0; 6];
    for i in 0..goals {
        moved[i] = larger(point[i], other[i]);
    }
    (!kept.iter().any(|k| covers::<6>(k, &moved))).then_some(moved)
}

/// Keeps a point that none of those kept covers, instead of those that it covers.
pub(crate) fn keep(kept: &mut Vec<Goals>, moved: Goals) {
    kept.retain(|k| !covers::<6>(&moved, k));
    kept.push(moved);
}

fn all<'a, const N: usize>(
    point: &Goals,
    others: impl IntoIterator<Item = &'a Goals>,
    kept: &mut Vec<Goals>,
) {
    let mut likely = 0;
    for other in others {
        one::<N>(point, other, kept, &mut likely);
    }
}

/// `likely` is the position of the kept point that covered one last, and is asked first: what
/// covers one point covers many.
#[inline(always)]
fn one<const N: usize>(point: &Goals, other: &Goals, kept: &mut Vec<Goals>, likely: &mut usize) {
    let mut moved = [0.0; 6];
    for i in 0..N {
        moved[i] = larger(point[i], other[i]);
    }
    if kept.get(*likely).is_some_and(|k| covers::<N>(k, &moved)) {
        return;
    }
    if let Some(position) = kept.iter().position(|k| covers::<N>(k, &moved)) {
        *likely = position;
        return;
    }
    kept.retain(|k| !covers::<N>(&moved, k));
    kept.push(moved);
}

/// The larger of two numbers; unlike `f64::max` one instruction, because neither is a NaN.
pub(super) fn larger(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// Nowhere worse in the first N goals. Without branches, so that the comparisons run side by side.
fn covers<const N: usize>(a: &Goals, b: &Goals) -> bool {
    (0..N).fold(true, |all, i| all & (a[i] <= b[i]))
}
