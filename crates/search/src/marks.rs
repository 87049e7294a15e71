//! Coarse marks of goals, to find among many points the few that may cover one or be covered by it.

use crate::problem::MOST_GOALS;
use crate::standing::{Goals, covers, extent};

/// Points looked at together.
const BLOCK: usize = 32;
/// Marks between the ends of the points at the last fit; beyond these they go on to the ends of
/// their type.
const SPAN: f64 = 50_000.0;

type Lanes = [i16; BLOCK];

/// One mark per point and goal. A mark never falls where the goal rises, so a point whose mark is
/// greater is worse, whatever the marks were fitted to; only equal marks need the goals themselves.
#[derive(Clone, Debug)]
pub(crate) struct Marks {
    goals: usize,
    low: Goals,
    scale: Goals,
    /// For each block of points the lanes of all goals.
    lanes: Vec<Lanes>,
    len: usize,
    /// How many points there were at the last fit.
    fitted: usize,
}

impl Marks {
    pub fn of(values: &[Goals], goals: usize) -> Self {
        let (low, high) = extent(values.iter());
        let scale = |i: usize| {
            let scale = SPAN / (high[i] - low[i]);
            if scale.is_finite() { scale } else { 0.0 }
        };
        let mut marks = Self {
            goals,
            low,
            scale: std::array::from_fn(scale),
            lanes: Vec::new(),
            len: 0,
            fitted: values.len(),
        };
        values.iter().for_each(|value| marks.add(value));
        marks
    }

    fn mark(&self, value: &Goals, goal: usize) -> i16 {
        ((value[goal] - self.low[goal]) * self.scale[goal] - 0.5 * SPAN) as i16
    }

    fn place(&mut self, position: usize, goal: usize) -> &mut i16 {
        &mut self.lanes[position / BLOCK * self.goals + goal][position % BLOCK]
    }

    fn add(&mut self, value: &Goals) {
        if self.len.is_multiple_of(BLOCK) {
            let blocks = self.len / BLOCK + 1;
            self.lanes.resize(blocks * self.goals, [0; BLOCK]);
        }
        for goal in 0..self.goals {
            *self.place(self.len, goal) = self.mark(value, goal);
        }
        self.len += 1;
    }

    /// Follows values to which one was added at the end; fits anew when they have doubled.
    pub fn push(&mut self, values: &[Goals]) {
        if values.len() > 2 * self.fitted {
            *self = Self::of(values, self.goals);
        } else if let Some(last) = values.last() {
            self.add(last);
        }
    }

    pub fn swap_remove(&mut self, position: usize) {
        self.len -= 1;
        for goal in 0..self.goals {
            *self.place(position, goal) = *self.place(self.len, goal);
        }
    }

    /// Whether any of the values is nowhere worse than `goals`.
    pub fn any_covers(&self, values: &[Goals], goals: &Goals) -> bool {
        self.blocks(values, goals, |mark, own| mark <= own)
            .any(|(_, block)| block.iter().any(|value| covers(value, goals)))
    }

    /// Positions, ascending, of the values that are nowhere better than `goals`.
    pub fn covered(&self, values: &[Goals], goals: &Goals) -> Vec<usize> {
        self.blocks(values, goals, |mark, own| mark >= own)
            .flat_map(|(start, block)| (start..).zip(block))
            .filter(|(_, value)| covers(goals, value))
            .map(|(position, _)| position)
            .collect()
    }

    /// The blocks of values, with the position of the first, in which one point compares so in all
    /// marks; it may be one that was there and left. Without branches inside a block, so that the
    /// comparisons run side by side.
    fn blocks<'a>(
        &'a self,
        values: &'a [Goals],
        goals: &Goals,
        compares: impl Fn(i16, i16) -> bool + 'a,
    ) -> impl Iterator<Item = (usize, &'a [Goals])> {
        let own: [i16; MOST_GOALS] = std::array::from_fn(|goal| self.mark(goals, goal));
        let fits = move |lanes: &[Lanes]| {
            let mut all = [-1i16; BLOCK];
            for (lanes, own) in lanes.iter().zip(&own) {
                for i in 0..BLOCK {
                    all[i] &= -i16::from(compares(lanes[i], *own));
                }
            }
            all.iter().fold(0, |any, one| any | one) != 0
        };
        (0..)
            .step_by(BLOCK)
            .zip(values.chunks(BLOCK))
            .zip(self.lanes.chunks(self.goals))
            .filter(move |(_, lanes)| fits(lanes))
            .map(|(block, _)| block)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Stream;

    /// What is found by marks must be what is found without, while points come and go and move far
    /// beyond what the marks were fitted to.
    #[test]
    fn marks_find_what_goals_say() {
        for goals in [1, 3, 5, 6] {
            let mut stream = Stream::new(3, 0, 0, goals as u32);
            let mut values: Vec<Goals> = Vec::new();
            let mut marks = Marks::of(&values, goals);
            let mut found = [0, 0];
            for round in 0..2_000 {
                let far = if round % 400 < 20 { 1e6 } else { 1.0 };
                // Few values per goal, so that many are equal.
                let value: Goals = std::array::from_fn(|g| {
                    let value = far * (stream.below(9) as f64 - 4.0);
                    if g < goals { value } else { 0.0 }
                });
                let covered: Vec<usize> = (0..values.len())
                    .filter(|i| covers(&value, &values[*i]))
                    .collect();
                let any = values.iter().any(|other| covers(other, &value));
                assert_eq!(marks.any_covers(&values, &value), any);
                assert_eq!(marks.covered(&values, &value), covered);
                found[0] += usize::from(any);
                found[1] += usize::from(!covered.is_empty());
                if round % 3 == 2 {
                    let gone = stream.below(values.len());
                    values.swap_remove(gone);
                    marks.swap_remove(gone);
                }
                values.push(value);
                marks.push(&values);
            }
            assert!(found.iter().all(|count| *count > 100), "{found:?}");
        }
    }
}
