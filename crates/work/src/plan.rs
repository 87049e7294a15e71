//! Which slices a job has, what each reads and which it wakes.

use store::{SliceKey, SliceKind, Successor};

/// The slices of one job. Search slices use their own epoch; merge, polish and publish use the three
/// epochs after the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Islands on the ring.
    pub islands: u32,
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

    /// The publication.
    pub fn publish(self) -> SliceKey {
        SliceKey {
            epoch: self.epochs + 2,
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
        let neighbour = (key.island + self.islands - 1) % self.islands;
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
        let inputs = self.islands.min(2);
        let next = [key.island, (key.island + 1) % self.islands];
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
            self.islands.min(2)
        } else {
            2
        }
    }

    /// What the merge wakes: one polish for each chosen point, or publication when there is none.
    pub fn merge_wakes(self, chosen: u32) -> Vec<Successor> {
        if chosen == 0 {
            return vec![Successor {
                key: self.publish(),
                kind: SliceKind::Publish,
                inputs: 1,
            }];
        }
        (0..chosen)
            .map(|point| Successor {
                key: self.polish(point),
                kind: SliceKind::Polish,
                inputs: 1,
            })
            .collect()
    }

    /// What a polish wakes.
    pub fn polish_wakes(self, chosen: u32) -> Vec<Successor> {
        vec![Successor {
            key: self.publish(),
            kind: SliceKind::Publish,
            inputs: chosen,
        }]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(epoch: u32, island: u32) -> SliceKey {
        SliceKey { epoch, island }
    }

    /// What is read is what wakes: over the whole ring, each side lists the same pairs.
    #[test]
    fn reads_and_wakes_agree() {
        for islands in 1..6 {
            let plan = Plan { islands, epochs: 4 };
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
        for islands in 1..6 {
            let plan = Plan { islands, epochs: 3 };
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
            epochs: 2,
        };
        assert_eq!(plan.last_epoch(), [key(1, 0), key(1, 1), key(1, 2)]);
        assert_eq!(
            (plan.merge(), plan.polish(1), plan.publish()),
            (key(2, 0), key(3, 1), key(4, 0))
        );
    }
}
