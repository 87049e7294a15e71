//! Which slices a job has, what each reads and which it wakes.

use store::{SliceKey, SliceKind, Successor};

/// The slices of one job. Search slices use their own epoch; merge, polish, study and publish use the
/// four epochs after the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Islands on all rings together.
    pub islands: u32,
    /// Rings, each of as many islands: one for every layout of the job.
    pub rings: u32,
    /// Epochs of each, after an early stop those that there were.
    pub epochs: u32,
}

impl Plan {
    /// The merge.
    pub fn merge(self) -> SliceKey {
        SliceKey {
            epoch: self.epochs,
            island: 0,
        }
    }

    /// The polish of one chosen point.
    pub fn polish(self, point: u32) -> SliceKey {
        SliceKey {
            epoch: self.epochs + 1,
            island: point,
        }
    }

    /// The study of one candidate of the front.
    pub fn study(self, index: u32) -> SliceKey {
        SliceKey {
            epoch: self.epochs + 2,
            island: index,
        }
    }

    /// The publication.
    pub fn publish(self) -> SliceKey {
        SliceKey {
            epoch: self.epochs + 3,
            island: 0,
        }
    }

    /// The last epoch of every island, in island order: what the merge reads.
    pub fn last_epoch(self) -> Vec<SliceKey> {
        (0..self.islands)
            .map(|island| SliceKey {
                epoch: self.epochs - 1,
                island,
            })
            .collect()
    }

    /// What a search slice reads: its own last epoch, then its neighbour's. A ring of one has no
    /// neighbour, and epoch 0 reads nothing.
    pub fn search_reads(self, key: SliceKey) -> Vec<SliceKey> {
        let Some(epoch) = key.epoch.checked_sub(1) else {
            return vec![];
        };
        let own = SliceKey {
            epoch,
            island: key.island,
        };
        let neighbour = self.along(key.island, self.ring() - 1);
        if neighbour == key.island {
            vec![own]
        } else {
            vec![
                own,
                SliceKey {
                    epoch,
                    island: neighbour,
                },
            ]
        }
    }

    /// Islands of one ring.
    fn ring(self) -> u32 {
        self.islands / self.rings.max(1)
    }

    /// The island so many places on along its own ring.
    fn along(self, island: u32, places: u32) -> u32 {
        let (ring, first) = (self.ring(), island - island % self.ring());
        first + (island - first + places) % ring
    }

    /// What a search slice wakes.
    pub fn search_wakes(self, key: SliceKey) -> Vec<Successor> {
        let epoch = key.epoch + 1;
        if epoch >= self.epochs {
            return vec![Successor {
                key: self.merge(),
                kind: SliceKind::Merge,
                inputs: self.islands,
            }];
        }
        let inputs = self.ring().min(2);
        let next = [key.island, self.along(key.island, 1)];
        next[..inputs as usize]
            .iter()
            .map(|island| Successor {
                key: SliceKey {
                    epoch,
                    island: *island,
                },
                kind: SliceKind::Search,
                inputs,
            })
            .collect()
    }

    /// How many slices read a search slice's checkpoint; the last epoch gets one more than that,
    /// which keeps it for a longer run that goes on from there.
    pub fn search_readers(self, key: SliceKey) -> u32 {
        if key.epoch + 1 < self.epochs {
            self.ring().min(2)
        } else {
            2
        }
    }

    /// What the merge wakes: one polish for each chosen point, else what a polish would.
    pub fn merge_wakes(self, after: AfterMerge) -> Vec<Successor> {
        match after.polishes {
            0 => self.polish_wakes(AfterMerge {
                polishes: 1,
                ..after
            }),
            chosen => each(chosen, SliceKind::Polish, 1, |point| self.polish(point)),
        }
    }

    /// What a polish wakes: every study, or publication when there is none.
    pub fn polish_wakes(self, after: AfterMerge) -> Vec<Successor> {
        match after.studies {
            0 => self.published_after(after.polishes),
            studies => each(studies, SliceKind::Study, after.polishes, |index| {
                self.study(index)
            }),
        }
    }

    /// What a study wakes.
    pub fn study_wakes(self, after: AfterMerge) -> Vec<Successor> {
        self.published_after(after.studies)
    }

    fn published_after(self, inputs: u32) -> Vec<Successor> {
        each(1, SliceKind::Publish, inputs, |_| self.publish())
    }

    /// All polishes, in their order.
    pub fn polishes(self, after: AfterMerge) -> Vec<SliceKey> {
        (0..after.polishes)
            .map(|point| self.polish(point))
            .collect()
    }

    /// All studies, in their order.
    pub fn studies(self, after: AfterMerge) -> Vec<SliceKey> {
        (0..after.studies).map(|index| self.study(index)).collect()
    }
}

/// How many slices follow the merge: a function of the job and of the merged archive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AfterMerge {
    /// Points that are polished.
    pub polishes: u32,
    /// Candidates that are studied; some may turn out to have no place on a short front.
    pub studies: u32,
}

fn each(count: u32, kind: SliceKind, inputs: u32, key: impl Fn(u32) -> SliceKey) -> Vec<Successor> {
    let one = |index| Successor {
        key: key(index),
        kind,
        inputs,
    };
    (0..count).map(one).collect()
}

#[cfg(test)]
mod tests;
