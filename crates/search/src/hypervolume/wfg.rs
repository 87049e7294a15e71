//! Hypervolume in three and more goals: L. While, L. Bradstreet, L. Barone, "A fast way of
//! calculating exact hypervolumes", IEEE Trans. Evol. Comput. 16 (2012), with slicing of the last
//! goal; three goals are swept.

use super::space;
use crate::standing::{Goals, covers};

/// The volume of points that are all better than the reference in the first `goals` coordinates;
/// coordinates from `goals` on must be equal among all points.
pub(super) fn volume(points: &mut [Goals], goals: usize, reference: &Goals) -> f64 {
    if goals == 3 {
        return space(points, reference);
    }
    let last = goals - 1;
    points.sort_unstable_by(|a, b| b[last].total_cmp(&a[last]));
    let mut sum = 0.0;
    let mut limited = Vec::new();
    for (i, point) in points.iter().enumerate() {
        // Every later point is at least as good in the last goal, so the slice has one depth.
        limit(point, &points[i + 1..], last, &mut limited);
        let slice = inclusive(point, last, reference) - volume(&mut limited, last, reference);
        sum += (reference[last] - point[last]) * slice;
    }
    sum
}

/// The volume that `point` alone dominates besides `others`, in `goals` goals.
pub(super) fn exclusive(point: &Goals, others: &[Goals], goals: usize, reference: &Goals) -> f64 {
    let mut limited = Vec::new();
    limit(point, others, goals, &mut limited);
    inclusive(point, goals, reference) - volume(&mut limited, goals, reference)
}

fn inclusive(point: &Goals, goals: usize, reference: &Goals) -> f64 {
    (0..goals).map(|i| reference[i] - point[i]).product()
}

/// The others, moved into the box that `point` dominates, without those that another one covers.
fn limit(point: &Goals, others: &[Goals], goals: usize, out: &mut Vec<Goals>) {
    out.clear();
    for other in others {
        let mut moved = [0.0; 6];
        for i in 0..goals {
            moved[i] = point[i].max(other[i]);
        }
        if !out.iter().any(|kept| covers(kept, &moved)) {
            out.retain(|kept| !covers(&moved, kept));
            out.push(moved);
        }
    }
}
