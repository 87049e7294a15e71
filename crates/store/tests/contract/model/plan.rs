//! The shape of a job, and the random numbers.

use super::*;

/// What a slice tells, what it reads, and how many will read it: a ring of islands, then the merge,
/// two polish slices and the publication.
pub(super) fn plan(
    claim: &Claim,
    islands: u32,
    epochs: u32,
) -> (Vec<Successor>, Vec<SliceKey>, u32) {
    let next = |epoch, island, kind, inputs| Successor {
        key: key(epoch, island),
        kind,
        inputs,
    };
    match claim.kind {
        SliceKind::Search => {
            let mut successors = ring(claim, islands, epochs);
            successors.sort_by_key(|successor| successor.key);
            // The last epoch has one more, which keeps it for a longer run.
            let last = claim.key.epoch + 1 == epochs;
            let readers = successors.len() as u32 + u32::from(last);
            let mut read = ring_reads(claim, islands);
            read.sort();
            (successors, read, readers)
        }
        SliceKind::Merge => {
            let polish = |point| next(epochs + 1, point, SliceKind::Polish, 1);
            let read = (0..islands).map(|island| key(epochs - 1, island)).collect();
            (vec![polish(0), polish(1)], read, 3)
        }
        _ => {
            let publish = next(epochs + 2, 0, SliceKind::Publish, 2);
            (vec![publish], vec![key(epochs, 0)], 1)
        }
    }
}

/// SplitMix64 (Steele, Lea and Flood 2014, from memory): any generator with a seed would do.
pub(super) struct SplitMix(pub(super) u64);

impl SplitMix {
    pub(super) fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((bits ^ (bits >> 31)) % bound as u64) as usize
    }
}
