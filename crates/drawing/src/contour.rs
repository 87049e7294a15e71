//! Levels of a function known on a rectangular grid: filled regions and contour lines.
//!
//! Each cell is cut into two triangles, in which the function is taken as linear, so that
//! regions and lines agree and no case is ambiguous.

use std::collections::{BTreeMap, BTreeSet};

/// A function on a grid. `values` runs along x first; an absent value is out of reach.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Grid<'a> {
    pub x: &'a [f64],
    pub y: &'a [f64],
    pub values: &'a [Option<f64>],
}

type Corner = ([f64; 2], f64);

impl Grid<'_> {
    fn corner(&self, i: usize, j: usize) -> Option<Corner> {
        let value = self.values[j * self.x.len() + i]?;
        Some(([self.x[i], self.y[j]], value))
    }

    /// Corners of a cell that is reached whole, in order round it.
    fn cell(&self, i: usize, j: usize) -> Option<[Corner; 4]> {
        Some([
            self.corner(i, j)?,
            self.corner(i + 1, j)?,
            self.corner(i + 1, j + 1)?,
            self.corner(i, j + 1)?,
        ])
    }

    fn cells(&self) -> impl Iterator<Item = [usize; 2]> + use<> {
        let (columns, rows) = (
            self.x.len().saturating_sub(1),
            self.y.len().saturating_sub(1),
        );
        (0..rows).flat_map(move |j| (0..columns).map(move |i| [i, j]))
    }

    /// Where the function is at least `level`: closed loops, holes running the other way round.
    pub fn region(&self, level: f64) -> Vec<Vec<[f64; 2]>> {
        let cells = self.cells().filter_map(|[i, j]| self.cell(i, j));
        let parts = cells.flat_map(|cell| triangles(cell).map(|t| above(&t, level)));
        union(parts.filter(|p| p.len() > 2))
    }

    /// The line on which the function is `level`, in pieces joined end to end.
    pub fn line(&self, level: f64) -> Vec<Vec<[f64; 2]>> {
        let cells = self.cells().filter_map(|[i, j]| self.cell(i, j));
        let pieces = cells.flat_map(|cell| triangles(cell).map(|t| crossing(&t, level)));
        join(pieces.flatten().collect())
    }
}

type Key = [i64; 2];

/// Points that differ by rounding only have one key.
fn key([x, y]: [f64; 2]) -> Key {
    [x, y].map(|v| libm::round(v * 1e7) as i64)
}

/// The outline of polygons that share whole edges and turn the same way: an edge that two of
/// them run along in opposite senses lies inside and goes.
fn union(polygons: impl Iterator<Item = Vec<[f64; 2]>>) -> Vec<Vec<[f64; 2]>> {
    let mut places: BTreeMap<Key, [f64; 2]> = BTreeMap::new();
    let mut edges: BTreeSet<[Key; 2]> = BTreeSet::new();
    for polygon in polygons {
        for k in 0..polygon.len() {
            let ends = [polygon[k], polygon[(k + 1) % polygon.len()]];
            let [a, b] = ends.map(key);
            places.extend([(a, ends[0]), (b, ends[1])]);
            if a != b && !edges.remove(&[b, a]) {
                edges.insert([a, b]);
            }
        }
    }
    let mut loops = Vec::new();
    while let Some([start, mut at]) = edges.pop_first() {
        let mut line = vec![places[&start], places[&at]];
        while at != start {
            let next = edges.range([at, [i64::MIN; 2]]..).next().copied();
            let Some(edge) = next.filter(|[from, _]| *from == at) else {
                break;
            };
            edges.remove(&edge);
            at = edge[1];
            line.push(places[&at]);
        }
        loops.push(line);
    }
    loops
}

fn triangles([a, b, c, d]: [Corner; 4]) -> [[Corner; 3]; 2] {
    [[a, b, c], [a, c, d]]
}

fn between((p, u): Corner, (q, v): Corner, level: f64) -> [f64; 2] {
    let t = (level - u) / (v - u);
    [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]
}

/// The part of a triangle where the function is at least `level`.
fn above(triangle: &[Corner; 3], level: f64) -> Vec<[f64; 2]> {
    let mut out = Vec::with_capacity(4);
    for k in 0..3 {
        let (a, b) = (triangle[k], triangle[(k + 1) % 3]);
        if a.1 >= level {
            out.push(a.0);
        }
        if (a.1 >= level) != (b.1 >= level) {
            out.push(between(a, b, level));
        }
    }
    out
}

fn crossing(triangle: &[Corner; 3], level: f64) -> Option<[[f64; 2]; 2]> {
    let mut ends = (0..3).filter_map(|k| {
        let (a, b) = (triangle[k], triangle[(k + 1) % 3]);
        ((a.1 >= level) != (b.1 >= level)).then(|| between(a, b, level))
    });
    Some([ends.next()?, ends.next()?])
}

/// Joins pieces that share an end (within rounding) into longer lines.
fn join(mut pieces: Vec<[[f64; 2]; 2]>) -> Vec<Vec<[f64; 2]>> {
    let meets = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).abs() + (a[1] - b[1]).abs() < 1e-9;
    let mut lines = Vec::new();
    while let Some([from, to]) = pieces.pop() {
        let mut line = std::collections::VecDeque::from([from, to]);
        while let Some((k, end)) = pieces.iter().enumerate().find_map(|(k, piece)| {
            let (first, last) = (line[0], line[line.len() - 1]);
            let ends = [(last, 0), (last, 1), (first, 2), (first, 3)];
            let found = ends.into_iter().find(|(p, e)| meets(*p, piece[e % 2]));
            found.map(|(_, e)| (k, e))
        }) {
            let piece = pieces.swap_remove(k);
            let next = piece[1 - end % 2];
            if end < 2 {
                line.push_back(next);
            } else {
                line.push_front(next);
            }
        }
        lines.push(line.into());
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(polygons: &[Vec<[f64; 2]>]) -> f64 {
        let one = |p: &Vec<[f64; 2]>| {
            let twice: f64 = (0..p.len())
                .map(|k| (p[k], p[(k + 1) % p.len()]))
                .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
                .sum();
            0.5 * twice
        };
        polygons.iter().map(one).sum::<f64>()
    }

    #[test]
    fn a_plane_is_cut_exactly() {
        let x = [0.0, 1.0, 2.0, 3.0];
        let y = [0.0, 1.0, 2.0];
        let values: Vec<_> = y.iter().flat_map(|y| x.map(|x| Some(x + y))).collect();
        let grid = Grid {
            x: &x,
            y: &y,
            values: &values,
        };
        // x + y ≥ 1.5 leaves a right triangle with legs of 1.5 off the 3 × 2 rectangle.
        assert!((area(&grid.region(1.5)) - (6.0 - 1.125)).abs() < 1e-12);
        assert!((area(&grid.region(-1.0)) - 6.0).abs() < 1e-12);
        assert!(grid.region(9.0).is_empty());
        let lines = grid.line(1.5);
        assert_eq!(lines.len(), 1, "one line, joined");
        assert!(lines[0].iter().all(|p| (p[0] + p[1] - 1.5).abs() < 1e-12));
    }

    #[test]
    fn a_hole_runs_the_other_way_and_inner_edges_go() {
        let place = [0.0, 1.0, 2.0, 3.0, 4.0];
        let far = |v: f64| (v - 2.0).abs();
        let values: Vec<_> = place
            .iter()
            .flat_map(|y| place.map(|x| Some(far(x) + far(*y))))
            .collect();
        let grid = Grid {
            x: &place,
            y: &place,
            values: &values,
        };
        let region = grid.region(1.0);
        assert_eq!(region.len(), 2, "an outline and a hole");
        assert!((area(&region) - 14.0).abs() < 1e-12);
    }

    #[test]
    fn cells_out_of_reach_stay_empty() {
        let (x, y) = ([0.0, 1.0, 2.0], [0.0, 1.0]);
        let values = [Some(1.0), Some(1.0), None, Some(1.0), Some(1.0), Some(1.0)];
        let grid = Grid {
            x: &x,
            y: &y,
            values: &values,
        };
        assert!((area(&grid.region(0.0)) - 1.0).abs() < 1e-12);
    }
}
