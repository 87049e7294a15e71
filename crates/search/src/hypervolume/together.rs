//! What each point of a set adds in three goals, for all points together.
//!
//! A sweep along the third goal as by A. P. Guerreiro, C. M. Fonseca, "Computing and updating
//! hypervolume contributions in up to four dimensions", IEEE Trans. Evol. Comput. 22 (2018), with
//! sorted lists in place of trees, because populations are small.

use super::staircase::Staircase;
use crate::standing::Goals;

/// A point that no other so far is better than in the first two goals.
struct Step {
    position: usize,
    x: f64,
    y: f64,
    /// The area that only this point covers, since where in the third goal.
    area: f64,
    since: f64,
    /// What others take of the rectangle between the point and its neighbours.
    taken: Staircase,
}

impl Step {
    fn measure(&mut self) {
        self.area = self.taken.rectangle(self.x, self.y) - self.taken.covered();
    }

    /// What was covered alone until now.
    fn slab(&mut self, depth: f64) -> f64 {
        let slab = self.area * (depth - self.since);
        self.since = depth;
        slab
    }
}

/// The contributions of points that are all better than the reference, right but for rounding.
pub(super) fn contributions(points: &[Goals], reference: &Goals) -> Vec<f64> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_unstable_by(|a, b| points[*a][2].total_cmp(&points[*b][2]));
    let mut volumes = vec![0.0; points.len()];
    let mut front: Vec<Step> = Vec::new();
    for position in order {
        let [x, y, depth, ..] = points[position];
        let behind = front.partition_point(|step| step.x <= x);
        if behind > 0 && front[behind - 1].y <= y {
            // What two others are better than was covered twice before.
            if behind == 1 || front[behind - 2].y > y {
                let step = &mut front[behind - 1];
                volumes[step.position] += step.slab(depth);
                step.area -= step.taken.insert(x, y);
            }
        } else {
            enter(&mut front, &mut volumes, [x, y, depth], position, reference);
        }
    }
    for mut step in front {
        volumes[step.position] += step.slab(reference[2]);
    }
    volumes
}

/// Puts a point between its neighbours; those that it is better than only take of its area now.
fn enter(
    front: &mut Vec<Step>,
    volumes: &mut [f64],
    [x, y, depth]: [f64; 3],
    position: usize,
    reference: &Goals,
) {
    let from = front.partition_point(|step| step.x < x);
    let to = from + front[from..].iter().take_while(|step| step.y >= y).count();
    let right = front.get(to).map_or(reference[0], |step| step.x);
    let top = if from == 0 {
        reference[1]
    } else {
        front[from - 1].y
    };
    let mut taken = Staircase::new(right, top);
    for step in &mut front[from..to] {
        volumes[step.position] += step.slab(depth);
        taken.insert(step.x, step.y);
    }
    if let Some(step) = front.get_mut(to) {
        volumes[step.position] += step.slab(depth);
        step.taken.lower(y);
        step.measure();
    }
    if from > 0 {
        let step = &mut front[from - 1];
        volumes[step.position] += step.slab(depth);
        step.taken.narrow(x);
        step.measure();
    }
    let mut step = Step {
        position,
        x,
        y,
        area: 0.0,
        since: depth,
        taken,
    };
    step.measure();
    front.splice(from..to, [step]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hypervolume::contribution::Contributions;
    use crate::hypervolume::contribution::tests::REFERENCE;
    use crate::random::Stream;

    /// Points on few levels per goal, so that many dominate, equal or touch one another.
    #[test]
    fn all_together_are_as_one_by_one() {
        let mut stream = Stream::new(23, 0, 0, 0);
        for levels in [2, 4, 9, 1_000] {
            for count in 0..40 {
                let mut value = || stream.below(levels) as f64 / levels as f64;
                let point = |_| [value(), value(), value(), 0.0, 0.0, 0.0];
                let points: Vec<Goals> = (0..count).map(point).collect();
                let found = contributions(&points, &REFERENCE);
                let mut each = Contributions::new(&points, 3, &REFERENCE);
                for (i, found) in found.iter().enumerate() {
                    let expected = each.of(i);
                    assert!((found - expected).abs() < 1e-14, "{points:?}, point {i}");
                }
            }
        }
    }
}
