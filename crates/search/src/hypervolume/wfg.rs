//! Hypervolume in three and more goals: L. While, L. Bradstreet, L. Barone, "A fast way of
//! calculating exact hypervolumes", IEEE Trans. Evol. Comput. 16 (2012), with slicing of the last
//! goal; three goals are swept.

use super::limit::limit;
use super::staircase::Staircase;
use crate::problem::MOST_GOALS;
use crate::standing::Goals;

/// The memory of volumes in three and more goals, which is used again from one to the next.
#[derive(Default)]
pub(crate) struct Wfg {
    points: Vec<Goals>,
    slices: [Vec<Goals>; MOST_GOALS - 3],
    stairs: Staircase,
}

impl Wfg {
    /// The volume of points that are all better than the reference in the first `goals`
    /// coordinates; coordinates from `goals` on must be equal among all points.
    pub fn volume(&mut self, points: &[Goals], goals: usize, reference: &Goals) -> f64 {
        self.points.clear();
        self.points.extend_from_slice(points);
        let Self {
            points,
            slices,
            stairs,
        } = self;
        volume(points, goals, reference, slices, stairs)
    }

    /// What is left of the box that `point` dominates by points that were limited to that box.
    pub fn left(
        &mut self,
        point: &Goals,
        limited: &[Goals],
        goals: usize,
        reference: &Goals,
    ) -> f64 {
        inclusive(point, goals, reference) - self.volume(limited, goals, reference)
    }
}

fn volume(
    points: &mut [Goals],
    goals: usize,
    reference: &Goals,
    slices: &mut [Vec<Goals>],
    stairs: &mut Staircase,
) -> f64 {
    let last = goals - 1;
    if let [only] = points {
        return (reference[last] - only[last]) * inclusive(only, last, reference);
    }
    let Some((limited, deeper)) = slices.split_first_mut().filter(|_| goals > 3) else {
        return match points {
            [a, b] if b[2] < a[2] => pair(b, a, reference),
            [a, b] => pair(a, b, reference),
            _ => space(points, reference, stairs),
        };
    };
    points.sort_unstable_by(|a, b| b[last].total_cmp(&a[last]));
    let mut sum = 0.0;
    for (i, point) in points.iter().enumerate() {
        // Every later point is at least as good in the last goal, so the slice has one depth.
        limit(point, &points[i + 1..], last, limited);
        let taken = volume(limited, last, reference, deeper, stairs);
        sum += (reference[last] - point[last]) * (inclusive(point, last, reference) - taken);
    }
    sum
}

/// A sweep along the third goal over the area that the first two cover.
fn space(points: &mut [Goals], reference: &Goals, stairs: &mut Staircase) -> f64 {
    points.sort_unstable_by(|a, b| a[2].total_cmp(&b[2]));
    stairs.reset(reference[0], reference[1]);
    points
        .iter()
        .map(|p| stairs.insert(p[0], p[1]) * (reference[2] - p[2]))
        .sum()
}

/// As [`space`] for two points, the first not behind the second in the third goal.
fn pair(a: &Goals, b: &Goals, reference: &Goals) -> f64 {
    let [right, top, far, ..] = *reference;
    let more = if b[0] > a[0] {
        (right - b[0]) * (a[1] - b[1]).max(0.0)
    } else {
        let left = (a[0] - b[0]) * (top - b[1]);
        if a[1] < b[1] {
            left
        } else {
            left + (right - a[0]) * (a[1] - b[1])
        }
    };
    (right - a[0]) * (top - a[1]) * (far - a[2]) + more * (far - b[2])
}

/// The volume of the box between a point and the reference.
pub(crate) fn inclusive(point: &Goals, goals: usize, reference: &Goals) -> f64 {
    (0..goals).map(|i| reference[i] - point[i]).product()
}
