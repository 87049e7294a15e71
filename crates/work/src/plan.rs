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
mod tests {
    use super::*;

    /// Islands and rings.
    const RINGS: [(u32, u32); 9] = [
        (1, 1),
        (2, 1),
        (3, 1),
        (4, 1),
        (5, 1),
        (3, 3),
        (4, 2),
        (6, 2),
        (9, 3),
    ];

    fn key(epoch: u32, island: u32) -> SliceKey {
        SliceKey { epoch, island }
    }

    /// What is read is what wakes: over the whole ring, each side lists the same pairs.
    #[test]
    fn reads_and_wakes_agree() {
        for (islands, rings) in RINGS {
            let plan = Plan {
                islands,
                rings,
                epochs: 4,
            };
            for epoch in 1..4 {
                for island in 0..islands {
                    let mut read = plan.search_reads(key(epoch, island));
                    read.sort();
                    let woken_by: Vec<_> = (0..islands)
                        .map(|from| key(epoch - 1, from))
                        .filter(|from| {
                            plan.search_wakes(*from)
                                .iter()
                                .any(|next| next.key == key(epoch, island))
                        })
                        .collect();
                    assert_eq!(read, woken_by, "islands {islands}, slice {epoch}/{island}");
                }
            }
        }
    }

    #[test]
    fn every_successor_waits_for_as_many_as_tell_it() {
        for (islands, rings) in RINGS {
            let plan = Plan {
                islands,
                rings,
                epochs: 3,
            };
            for epoch in 0..3 {
                let all: Vec<_> = (0..islands)
                    .flat_map(|island| plan.search_wakes(key(epoch, island)))
                    .collect();
                for next in &all {
                    let told = all.iter().filter(|other| other.key == next.key).count();
                    assert_eq!(
                        told, next.inputs as usize,
                        "islands {islands}, {:?}",
                        next.key
                    );
                }
            }
        }
    }

    #[test]
    fn no_two_kinds_share_a_key() {
        let plan = Plan {
            islands: 3,
            rings: 1,
            epochs: 2,
        };
        assert_eq!(plan.last_epoch(), [key(1, 0), key(1, 1), key(1, 2)]);
        assert_eq!(
            (plan.merge(), plan.polish(1), plan.study(1), plan.publish()),
            (key(2, 0), key(3, 1), key(4, 1), key(5, 0))
        );
    }

    /// Whatever is left out after the merge, each slice is told by as many as it waits for, and the
    /// publication comes once.
    #[test]
    fn what_follows_the_merge_leads_to_one_publication() {
        let plan = Plan {
            islands: 3,
            rings: 1,
            epochs: 2,
        };
        for (polishes, studies) in [(0, 0), (3, 0), (0, 2), (3, 2), (1, 1)] {
            let after = AfterMerge { polishes, studies };
            let mut told = plan.merge_wakes(after);
            told.extend((0..polishes).flat_map(|_| plan.polish_wakes(after)));
            told.extend((0..studies).flat_map(|_| plan.study_wakes(after)));
            for next in &told {
                let tellers = told.iter().filter(|other| other.key == next.key).count();
                assert_eq!(tellers, next.inputs as usize, "{after:?}, {next:?}");
            }
            let mut kinds: Vec<_> = told.iter().map(|next| (next.key, next.kind)).collect();
            kinds.sort_by_key(|(key, _)| *key);
            kinds.dedup();
            let of = |kind| kinds.iter().filter(|(_, other)| *other == kind).count() as u32;
            let counts = [SliceKind::Polish, SliceKind::Study, SliceKind::Publish].map(of);
            assert_eq!(counts, [polishes, studies, 1], "{after:?}");
        }
    }
}
