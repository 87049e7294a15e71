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

    /// The area of the whole between a point and the corner.
    pub fn rectangle(&self, x: f64, y: f64) -> f64 {
        (self.right - x) * (self.top - y)
    }

    /// The area covered.
    pub fn covered(&self) -> f64 {
        let ends = self.corners.iter().skip(1).map(|corner| corner[0]);
        self.corners
            .iter()
            .zip(ends.chain([self.right]))
            .map(|([x, y], end)| (end - x) * (self.top - y))
            .sum()
    }

    /// Moves the right border in.
    pub fn narrow(&mut self, right: f64) {
        self.right = right;
        let kept = self.corners.partition_point(|corner| corner[0] < right);
        self.corners.truncate(kept);
    }

    /// Moves the top border down.
    pub fn lower(&mut self, top: f64) {
        self.top = top;
        let above = self.corners.partition_point(|corner| corner[1] >= top);
        self.corners.drain(..above);
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
