//! The area covered by points of a plane, kept while points are added.

/// The lower left border of what points cover below the corner (`right`, `top`): corners with x
/// rising and y falling.
#[derive(Default)]
pub(crate) struct Staircase {
    right: f64,
    top: f64,
    corners: Vec<[f64; 2]>,
}

impl Staircase {
    pub fn new(right: f64, top: f64) -> Self {
        Self {
            right,
            top,
            corners: Vec::new(),
        }
    }

    /// Starts again under another corner, keeping the memory.
    pub fn reset(&mut self, right: f64, top: f64) {
        (self.right, self.top) = (right, top);
        self.corners.clear();
    }

    /// Adds a point and returns the area that only it covers.
    pub fn insert(&mut self, x: f64, y: f64) -> f64 {
        let at = self.corners.partition_point(|corner| corner[0] < x);
        let left = if at == 0 {
            self.top
        } else {
            self.corners[at - 1][1]
        };
        let covered = self.corners.get(at).is_some_and(|c| c[0] == x && c[1] <= y);
        if covered || y >= left || x >= self.right {
            return 0.0;
        }
        let mut area = 0.0;
        let (mut from, mut height, mut end) = (x, left, at);
        while let Some(corner) = self.corners.get(end) {
            area += (corner[0] - from) * (height - y);
            if corner[1] < y {
                self.replace(at, end, [x, y]);
                return area;
            }
            [from, height] = *corner;
            end += 1;
        }
        area += (self.right - from) * (height - y);
        self.replace(at, end, [x, y]);
        area
    }

    fn replace(&mut self, from: usize, to: usize, corner: [f64; 2]) {
        if from == to {
            self.corners.insert(from, corner);
        } else {
            self.corners[from] = corner;
            self.corners.drain(from + 1..to);
        }
    }
}
