//! What is read is what wakes, over rings of every size.

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
