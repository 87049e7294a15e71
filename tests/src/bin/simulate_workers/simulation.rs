//! The simulation: workers that claim, compute and store in turn, and a database with some cores.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Seed of the lengths of slices.
const SEED: u64 = 1;
/// Slices that each worker ends in the simulated time, on average.
const ROUNDS: f64 = 40.0;

/// What an operation costs the database, s.
#[derive(Clone, Copy, Debug)]
pub struct Costs {
    /// A claim when nothing else runs.
    pub claim: f64,
    /// What each running slice adds to a claim, since a claim counts them for fairness.
    pub claim_per_running: f64,
    /// The end of a slice with its checkpoint and successors.
    pub end: f64,
    /// A beat.
    pub beat: f64,
    /// Waiting for the disk at a commit, which commits share and which takes no core.
    pub flush: f64,
    /// Cores of the database.
    pub cores: usize,
}

impl Costs {
    /// As `measure` printed them with nothing else running, the dearer of both: whole round trips count
    /// as time of the database's cores, so upper bounds. 2,000 running slices made no claim dearer. A millisecond for a
    /// solid-state disk is common practice, without a source.
    pub fn measured() -> Costs {
        Costs {
            claim: 2.3e-3,
            claim_per_running: 0.0,
            end: 1.5e-3,
            beat: 0.4e-3,
            flush: 1.0e-3,
            cores: 2,
        }
    }
}

/// What came of a simulated time.
#[derive(Clone, Copy, Debug)]
pub struct Outcome {
    /// Workers computing, on average.
    pub busy: f64,
    /// Slices ended.
    pub slices_per_s: f64,
    /// Share of the database's cores in use.
    pub database: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Next {
    /// Wants a slice.
    Claim,
    /// Has computed for so many ns and wants to store.
    End { computed: u64 },
}

/// Simulates `workers` with slices of `slice` seconds on average, between half and one and a half of it.
pub fn simulate(workers: usize, slice: f64, costs: Costs) -> Outcome {
    let until = ns(ROUNDS * (slice + workers as f64 * (costs.claim + costs.end)));
    let mut random = SEED;
    // Whoever comes first is served first; the number breaks ties, so that a run is repeatable.
    let mut queue: BinaryHeap<Reverse<(u64, usize, Next)>> = (0..workers)
        .map(|worker| Reverse((worker as u64 * 1_000, worker, Next::Claim)))
        .collect();
    let mut cores: BinaryHeap<Reverse<u64>> = (0..costs.cores).map(|_| Reverse(0)).collect();
    let (mut running, mut used, mut ended, mut computed_all) = (0_usize, 0_u64, 0_u64, 0_u64);
    while let Some(Reverse((at, worker, next))) = queue.pop() {
        let Some(Reverse(free)) = cores.pop() else {
            break;
        };
        if at >= until {
            break;
        }
        let begin = at.max(free);
        let (cost, next) = match next {
            Next::Claim => {
                let cost = costs.claim + costs.claim_per_running * running as f64;
                running += 1;
                let computed = ns(slice * (0.5 + uniform(&mut random)));
                (cost, Next::End { computed })
            }
            Next::End { computed } => {
                running -= 1;
                ended += 1;
                computed_all += computed;
                let beats = (computed as f64 / 5e9).floor();
                (costs.end + beats * costs.beat, Next::Claim)
            }
        };
        let done = begin + ns(cost);
        used += ns(cost);
        cores.push(Reverse(done));
        let computing = match next {
            Next::End { computed } => computed,
            Next::Claim => 0,
        };
        queue.push(Reverse((done + ns(costs.flush) + computing, worker, next)));
    }
    let seconds = until as f64 / 1e9;
    Outcome {
        busy: computed_all as f64 / 1e9 / seconds,
        slices_per_s: ended as f64 / seconds,
        database: (used as f64 / 1e9 / seconds / costs.cores as f64).min(1.0),
    }
}

fn ns(seconds: f64) -> u64 {
    (seconds * 1e9) as u64
}

/// From 0 to 1, by SplitMix64 (Steele, Lea & Flood 2014; constants from memory).
fn uniform(state: &mut u64) -> f64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (*state ^ (*state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}
