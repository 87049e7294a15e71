//! The best subset for two goals, exactly.

use super::REFERENCE;
use crate::standing::Goals;
use std::ops::Range;

/// Dynamic programming along the front: the best area that ends at a point is the best one that
/// ends at an earlier point plus the strip between the two.
pub(super) fn exact(normal: &[Goals], order: &[usize], count: usize) -> Vec<usize> {
    let (n, right, top) = (order.len(), REFERENCE[0], REFERENCE[1]);
    if count == 0 {
        return Vec::new();
    }
    let x: Vec<f64> = order.iter().map(|i| normal[*i][0]).collect();
    let depth: Vec<f64> = order.iter().map(|i| top - normal[*i][1]).collect();
    let mut area = vec![0.0; n];
    let mut from: Vec<Vec<u32>> = Vec::with_capacity(count - 1);
    for taken in 1..count {
        let strip = |l: usize, i: usize| area[l] + (x[i] - x[l]) * depth[l];
        let mut links = vec![0u32; n];
        link(&strip, taken..n, taken - 1..n, &mut links);
        area = (0..n)
            .map(|i| {
                if i < taken {
                    0.0
                } else {
                    strip(links[i] as usize, i)
                }
            })
            .collect();
        from.push(links);
    }
    let total = |i: &usize| area[*i] + (right - x[*i]) * depth[*i];
    let mut at = (count - 1..n)
        .max_by(|a, b| total(a).total_cmp(&total(b)).then(b.cmp(a)))
        .expect("count is below n");
    let mut chosen = vec![order[at]];
    for link in from.iter().rev() {
        at = link[at] as usize;
        chosen.push(order[at]);
    }
    chosen.reverse();
    chosen
}

/// For each position of a range the best earlier one, by halving: the deeper an earlier point, the
/// later it pays, so the best one never moves back along the front.
fn link(
    strip: &impl Fn(usize, usize) -> f64,
    range: Range<usize>,
    allowed: Range<usize>,
    links: &mut [u32],
) {
    if range.is_empty() {
        return;
    }
    let middle = range.start.midpoint(range.end);
    let mut best = allowed.start;
    for l in allowed.start..allowed.end.min(middle) {
        if strip(l, middle) > strip(best, middle) {
            best = l;
        }
    }
    links[middle] = best as u32;
    link(strip, range.start..middle, allowed.start..best + 1, links);
    link(strip, middle + 1..range.end, best..allowed.end, links);
}
