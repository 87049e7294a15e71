//! A batch: the vectors that an island wants evaluated.

use std::slice::ChunksExact;

/// Vectors to evaluate, in index order. Each holds one value per variable of the problem, in the
/// variable's own unit, within its bounds and on its grid or list.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    width: usize,
    values: Vec<f64>,
}

impl Batch {
    pub(crate) fn new(width: usize, values: Vec<f64>) -> Self {
        debug_assert!(width > 0 && values.len().is_multiple_of(width));
        Self { width, values }
    }

    /// The number of vectors; never zero.
    pub fn len(&self) -> usize {
        self.values.len() / self.width
    }

    /// Always false; a batch holds at least one vector.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The vector at `index`.
    ///
    /// # Panics
    /// When `index` is not below [`Batch::len`].
    pub fn point(&self, index: usize) -> &[f64] {
        &self.values[index * self.width..(index + 1) * self.width]
    }

    /// The vectors in index order.
    pub fn iter(&self) -> ChunksExact<'_, f64> {
        self.values.chunks_exact(self.width)
    }
}
