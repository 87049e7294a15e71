//! Thinning a set by a grid of boxes.

use crate::standing::Goals;

/// Boxes per goal of the finest grid.
const FINEST: u32 = 1 << 20;

/// Points within 0…1 in every goal, and those among them that stay whatever the grid.
pub(crate) struct Boxes<'a> {
    normal: &'a [Goals],
    extreme: &'a [bool],
    goals: usize,
    table: Table,
}

impl<'a> Boxes<'a> {
    pub fn new(normal: &'a [Goals], extreme: &'a [bool], goals: usize) -> Self {
        let table = Table::new(normal.len());
        Self {
            normal,
            extreme,
            goals,
            table,
        }
    }

    /// Positions, ascending, of what the finest grid that leaves at most `keep` points leaves: the
    /// extremes and of every box the point nearest to its lower corner. Halves the range of grids,
    /// as if finer ones never left fewer.
    pub fn finest(mut self, keep: usize) -> Vec<usize> {
        let (mut coarse, mut fine) = (1, FINEST);
        while fine - coarse > 1 {
            let middle = u32::midpoint(coarse, fine);
            if self.leaves_at_most(keep, middle) {
                coarse = middle;
            } else {
                fine = middle;
            }
        }
        self.left(coarse)
    }

    /// Counts boxes, which is quicker than to find what is left, where that decides.
    fn leaves_at_most(&mut self, keep: usize, cells: u32) -> bool {
        self.table.clear();
        let mut boxes = 0;
        for point in self.normal {
            boxes += usize::from(self.table.insert(corner(point, self.goals, cells)));
            if boxes > keep {
                return false;
            }
        }
        let extremes = self.extreme.iter().filter(|e| **e).count();
        boxes + extremes <= keep || self.left(cells).len() <= keep
    }

    fn left(&self, cells: u32) -> Vec<usize> {
        let scale = f64::from(cells);
        let offset = |v: &Goals| -> f64 { v.iter().map(|x| x * scale - (x * scale).floor()).sum() };
        let mut keyed: Vec<(u128, f64, usize)> = self
            .normal
            .iter()
            .enumerate()
            .map(|(i, v)| (corner(v, self.goals, cells), offset(v), i))
            .collect();
        keyed.sort_unstable_by(|a, b| {
            let (first, second) = (a.0.cmp(&b.0), a.1.total_cmp(&b.1));
            first.then(second).then(a.2.cmp(&b.2))
        });
        let mut kept: Vec<usize> = keyed.chunk_by(|a, b| a.0 == b.0).map(|c| c[0].2).collect();
        kept.extend((0..self.normal.len()).filter(|i| self.extreme[*i]));
        kept.sort_unstable();
        kept.dedup();
        kept
    }
}

/// The box of a point: its place along each goal, 20 bits each.
fn corner(point: &Goals, goals: usize, cells: u32) -> u128 {
    let scale = f64::from(cells);
    let place = |x: f64| u128::from(((x * scale) as u32).min(cells - 1));
    point[..goals]
        .iter()
        .fold(0, |key, x| (key << 20) | place(*x))
}

/// A set of keys in open addressing, which is only asked whether a key is new.
struct Table {
    slots: Vec<u128>,
    bits: u32,
}

impl Table {
    /// No key is this one, because keys have 120 bits.
    const FREE: u128 = u128::MAX;

    /// For so many keys, of which it holds at most half.
    fn new(keys: usize) -> Self {
        let bits = (2 * keys + 2).next_power_of_two().ilog2();
        Self {
            slots: vec![Self::FREE; 1 << bits],
            bits,
        }
    }

    fn clear(&mut self) {
        self.slots.fill(Self::FREE);
    }

    /// Whether the key was not there yet.
    fn insert(&mut self, key: u128) -> bool {
        let mixed = ((key as u64) ^ (key >> 60) as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let mut at = (mixed >> (64 - self.bits)) as usize;
        loop {
            match self.slots[at] {
                Self::FREE => {
                    self.slots[at] = key;
                    return true;
                }
                other if other == key => return false,
                _ => at = (at + 1) % self.slots.len(),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Stream;

    fn points(goals: usize, count: usize) -> Vec<Goals> {
        let mut stream = Stream::new(17, 0, 0, 0);
        let mut point =
            || -> Goals { std::array::from_fn(|g| if g < goals { stream.unit() } else { 0.0 }) };
        (0..count).map(|_| point()).collect()
    }

    /// Counting boxes must decide as finding what is left does, on every grid.
    #[test]
    fn counting_decides_as_finding() {
        for goals in 2..=6 {
            let normal = points(goals, 300);
            let extreme: Vec<bool> = (0..300).map(|i| i % 100 == 0).collect();
            let mut boxes = Boxes::new(&normal, &extreme, goals);
            for cells in [1, 2, 3, 5, 9, 17, 100, 1_000, FINEST] {
                let left = boxes.left(cells);
                assert!([0, 100, 200].iter().all(|i| left.contains(i)));
                for keep in [1, 3, 50, left.len() - 1, left.len(), 299, 300] {
                    let expected = left.len() <= keep;
                    assert_eq!(
                        boxes.leaves_at_most(keep, cells),
                        expected,
                        "{goals} {cells}"
                    );
                }
            }
        }
    }

    #[test]
    fn the_finest_grid_that_fits_is_found() {
        let normal = points(3, 400);
        let extreme = vec![false; 400];
        for keep in [1, 20, 150, 399, 400] {
            let boxes = Boxes::new(&normal, &extreme, 3);
            let (mut coarse, mut fine) = (1, FINEST);
            while fine - coarse > 1 {
                let middle = u32::midpoint(coarse, fine);
                match boxes.left(middle).len() <= keep {
                    true => coarse = middle,
                    false => fine = middle,
                }
            }
            let expected = boxes.left(coarse);
            let found = boxes.finest(keep);
            assert!(found.len() <= keep && found == expected, "{keep}");
        }
    }
}
