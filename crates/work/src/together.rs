//! The archives of all layouts of a job as one.
//!
//! A job that searches one layout has one archive, and everything here is that archive. With several,
//! each layout has islands, a ring and an archive of its own, for their variables differ; the
//! fronts are laid over one another, and a point's vector then begins with the place of its layout.

use search::{Archive, Blocks, Overlay, Point, Polish, Progress, Scales, SnapshotFault};

use crate::model::{Model, part};

/// The archives of a job's layouts, in their order.
pub(crate) struct Together(Vec<Archive>);

impl Together {
    /// Joins the islands' snapshots, each with its island's place, in island order.
    pub(crate) fn merge<B: AsRef<[u8]>>(
        model: &dyn Model,
        islands: &[(u32, B)],
    ) -> Result<Together, SnapshotFault> {
        let layouts = model.layouts();
        let each = (model.budget().islands / layouts as u32).max(1);
        let one = |layout: usize| {
            let own = islands
                .iter()
                .filter(|(island, _)| (island / each) as usize == layout);
            let bytes: Vec<&[u8]> = own.map(|(_, bytes)| bytes.as_ref()).collect();
            Archive::merge(part(model, layout).problem(), &bytes)
        };
        (0..layouts)
            .map(one)
            .collect::<Result<_, _>>()
            .map(Together)
    }

    /// All archives as bytes: of one layout the archive's own, of several each behind its length.
    pub(crate) fn snapshot(&self) -> Vec<u8> {
        if let [one] = self.0.as_slice() {
            return one.snapshot();
        }
        let framed = self.0.iter().flat_map(|archive| {
            let bytes = archive.snapshot();
            let length = (bytes.len() as u64).to_le_bytes();
            [length.to_vec(), bytes].concat()
        });
        framed.collect()
    }

    /// The archives that wrote `bytes`.
    pub(crate) fn resume(model: &dyn Model, bytes: &[u8]) -> Result<Together, SnapshotFault> {
        if model.layouts() == 1 {
            return Ok(Together(vec![Archive::resume(model.problem(), bytes)?]));
        }
        let mut left = bytes;
        let mut archives = Vec::new();
        for layout in 0..model.layouts() {
            let (length, rest) = left.split_first_chunk().ok_or(SnapshotFault::Nothing)?;
            let length = u64::from_le_bytes(*length) as usize;
            let (own, rest) = rest
                .split_at_checked(length)
                .ok_or(SnapshotFault::Nothing)?;
            archives.push(Archive::resume(part(model, layout).problem(), own)?);
            left = rest;
        }
        Ok(Together(archives))
    }

    /// Takes in the polishes of the points that [`Together::choose`] gives, in their order.
    pub(crate) fn take_polishes(
        &mut self,
        model: &dyn Model,
        polishes: &[Vec<u8>],
    ) -> Result<(), SnapshotFault> {
        let chosen = Overlay::new(&self.0).choose(model.polish_points());
        let layouts: Vec<usize> = chosen.into_iter().map(|(layout, _)| layout).collect();
        for (layout, bytes) in layouts.into_iter().zip(polishes) {
            let polish = Polish::resume(part(model, layout).problem(), bytes)?;
            self.0[layout].take_polish(&polish)?;
        }
        Ok(())
    }

    /// Point `index` of those that are polished, with its layout and that layout's archive.
    pub(crate) fn polished(
        &self,
        model: &dyn Model,
        index: usize,
    ) -> Option<(usize, &Archive, Point)> {
        let chosen = Overlay::new(&self.0).choose(model.polish_points());
        let (layout, point) = chosen.into_iter().nth(index)?;
        Some((layout, &self.0[layout], point))
    }

    /// At most `count` points that together dominate the most.
    pub(crate) fn choose(&self, count: usize) -> Vec<Point> {
        let tag = |(layout, point): (usize, Point)| Point {
            vector: self.tagged(layout, point.vector),
            ..point
        };
        let overlay = Overlay::new(&self.0);
        overlay.choose(count).into_iter().map(tag).collect()
    }

    /// Every point.
    pub(crate) fn points(&self) -> Vec<Point> {
        self.choose(usize::MAX)
    }

    /// The number of points.
    pub(crate) fn len(&self) -> usize {
        Overlay::new(&self.0).len()
    }

    pub(crate) fn evaluations(&self) -> u64 {
        self.0.iter().map(Archive::evaluations).sum()
    }

    pub(crate) fn feasible(&self) -> u64 {
        self.0.iter().map(Archive::feasible).sum()
    }

    /// Evaluations and feasible ones of each layout.
    pub(crate) fn counts(&self) -> Vec<[u64; 2]> {
        let one = |archive: &Archive| [archive.evaluations(), archive.feasible()];
        self.0.iter().map(one).collect()
    }

    pub(crate) fn progress(&self) -> Progress {
        Overlay::new(&self.0).progress()
    }

    pub(crate) fn scales(&self) -> Option<Scales> {
        Overlay::new(&self.0).scales()
    }

    /// What stood in the way; the nearest miss begins with its layout as points do.
    pub(crate) fn blocks(&self) -> Blocks {
        let (layout, mut blocks) = Overlay::new(&self.0).blocks();
        if let Some(least) = &mut blocks.least {
            least.vector = self.tagged(layout, core::mem::take(&mut least.vector));
        }
        blocks
    }

    fn tagged(&self, layout: usize, vector: Vec<f64>) -> Vec<f64> {
        match self.0.len() {
            1 => vector,
            _ => [vec![layout as f64], vector].concat(),
        }
    }
}

/// The layout of a point's vector, where the job has several, and the offsets behind it.
pub(crate) fn untagged(model: &dyn Model, vector: &[f64]) -> (Option<u32>, Vec<f64>) {
    match (model.layouts(), vector.split_first()) {
        (1, _) | (_, None) => (None, vector.to_vec()),
        (_, Some((layout, offsets))) => (Some(*layout as u32), offsets.to_vec()),
    }
}
