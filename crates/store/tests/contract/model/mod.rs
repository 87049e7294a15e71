//! Random sequences of operations, each answered by the store and by the reference in memory. The
//! same seeds run on every engine. More of them: `LEANWRIGHT_MODEL_SEEDS=200 cargo test …`.

mod callers;
mod compare;
mod plan;

use std::collections::BTreeMap;
use std::fmt::Debug;

use super::reference::{Held, Job, Reference, Refused};
use super::*;
use leanwright_store::{Border, Error, JobState, Published};
use plan::{SplitMix, plan};

const SEEDS: u64 = 6;
const OPERATIONS: usize = 120;
const MORE: usize = 60;
/// Far more than the test takes, so that only a jump of time ends a lease.
const LEASE: Duration = Duration::from_secs(86_400);
/// A lease outlives one jump and not two; no number of jumps comes near a whole number of days.
const JUMP: Duration = Duration::from_secs(52_704);
const CALLERS: [&str; 2] = ["local", "another"];

pub async fn random_operations_match_the_reference(place: impl Place) {
    let seeds = std::env::var("LEANWRIGHT_MODEL_SEEDS");
    let seeds = seeds.map_or(SEEDS, |text| text.parse().expect("a number of seeds"));
    let world = World::with(place, |options| {
        options.lease = LEASE;
        options.attempts = 2;
        options.open_jobs = 3;
        options.anchor_epochs = 2;
    })
    .await;
    let (mut stopped, mut extended) = (0, 0);
    for seed in 1..=seeds {
        let mut pair = Pair::new(&world, seed);
        for number in 0..OPERATIONS {
            pair.operate().await;
            if number % 20 == 0 {
                pair.compare().await;
            }
        }
        pair.run_to_the_end().await;
        pair.compare().await;
        // Now there are jobs to go on with.
        for _ in 0..MORE {
            match pair.random.below(8) {
                0 => pair.extend().await,
                _ => pair.operate().await,
            }
        }
        pair.run_to_the_end().await;
        pair.compare().await;
        let jobs = pair.reference.jobs.values();
        stopped += jobs.clone().filter(|job| job.asked.is_some()).count();
        extended += jobs.filter(|job| job.first > 0).count();
        pair.delete_all().await;
    }
    assert!(
        stopped > 0 && extended > 0,
        "the seeds reach what they are for: {stopped}, {extended}"
    );
}

/// The store and the reference, side by side.
struct Pair<'a, P: Place> {
    world: &'a World<P>,
    reference: Reference,
    ids: BTreeMap<usize, JobId>,
    /// Claims, many of them void.
    held: Vec<(Claim, Held)>,
    /// One claim of each job, to look at its checkpoints by.
    looks: BTreeMap<usize, Claim>,
    random: SplitMix,
    seed: u64,
    log: Vec<String>,
}

impl<'a, P: Place> Pair<'a, P> {
    fn new(world: &'a World<P>, seed: u64) -> Pair<'a, P> {
        Pair {
            world,
            reference: Reference::new(LEASE.as_millis() as i64, 2, 3, 2),
            ids: BTreeMap::new(),
            held: vec![],
            looks: BTreeMap::new(),
            random: SplitMix(seed),
            seed,
            log: vec![],
        }
    }

    /// Both must have answered alike.
    fn same<T: Debug + PartialEq>(&mut self, what: String, store: T, reference: T) {
        self.log.push(format!("{what}: {store:?}"));
        assert!(
            store == reference,
            "seed {}: the reference answers {reference:?} to the last of\n{}",
            self.seed,
            self.log.join("\n")
        );
    }

    fn outcome<T>(&self, outcome: Result<T, Error>) -> Result<T, Refused> {
        outcome.map_err(|fault| match fault {
            Error::LeaseLost => Refused::LeaseLost,
            Error::NotFound { .. } => Refused::NotFound,
            Error::Finished { state, .. } => Refused::Finished(JobState::parse(state).unwrap()),
            Error::TooManyJobs { .. } => Refused::TooManyJobs,
            Error::Refused { .. } => Refused::NotPossible,
            Error::KeyReused { first } => Refused::KeyReused(self.number(&first)),
            other => panic!(
                "seed {}: {other:?} after\n{}",
                self.seed,
                self.log.join("\n")
            ),
        })
    }

    fn number(&self, id: &JobId) -> usize {
        let found = self.ids.iter().find(|(_, other)| *other == id);
        *found.expect("a job that was submitted").0
    }

    async fn operate(&mut self) {
        match self.random.below(100) {
            0..8 => self.submit().await,
            8..36 => drop(self.claim().await),
            36..66 => self.with_claim(What::Finish).await,
            66..71 => self.with_claim(What::Beat).await,
            71..74 => self.with_claim(What::HandBack).await,
            74..76 => self.with_claim(What::Fail).await,
            76..79 => self.with_claim(What::Rewind).await,
            79..82 => self.damage().await,
            82..87 => self.jump().await,
            87..91 => self.rescue().await,
            91..93 => self.expire().await,
            _ => self.change_job().await,
        }
    }

    async fn claim(&mut self) -> bool {
        let name = format!("{}-{}", self.seed, self.random.below(2));
        self.world.store.announce(&worker(&name)).await.unwrap();
        let store = self.world.store.claim(&worker(&name)).await.unwrap();
        let reference = self.reference.claim(&name);
        let seen = store
            .as_ref()
            .map(|claim| (self.number(&claim.job), claim.key, claim.kind));
        let expected = reference
            .as_ref()
            .map(|held| (held.job, held.key, held.kind));
        self.same(format!("claim by {name}"), seen, expected);
        let (Some(claim), Some(held)) = (store, reference) else {
            return false;
        };
        self.looks.insert(held.job, claim.clone());
        self.held.push((claim, held));
        if self.held.len() > 10 {
            self.held.remove(0);
        }
        true
    }

    async fn with_claim(&mut self, what: What) {
        if self.held.is_empty() {
            return;
        }
        let at = self.random.below(self.held.len());
        let (claim, held) = self.held[at].clone();
        // Some void claims stay, to be tried again.
        if self.random.below(3) > 0 && what != What::Beat {
            self.held.remove(at);
        }
        self.act(what, &claim, &held).await;
    }

    async fn act(&mut self, what: What, claim: &Claim, held: &Held) {
        let store = &self.world.store;
        let place = format!(
            "{what:?} of job {}, {:?} by {}",
            held.job, held.key, held.worker
        );
        let (seen, expected) = match what {
            What::Beat => (store.beat(claim).await, self.reference.beat(held)),
            What::HandBack => (store.hand_back(claim).await, self.reference.hand_back(held)),
            What::Fail => (
                store.fail(claim, "asked to", b"{}").await,
                self.reference.fail(held),
            ),
            What::Finish if held.kind == SliceKind::Publish => (
                store.publish(claim, &Published::default()).await,
                self.reference.publish(held),
            ),
            What::Finish => self.complete(claim, held).await,
            What::Rewind => {
                let seen = self.outcome(store.rewind(claim).await);
                let expected = self.reference.rewind(held);
                return self.same(place, seen, expected);
            }
        };
        let seen = self.outcome(seen);
        self.same(place, seen, expected);
    }

    async fn complete(
        &mut self,
        claim: &Claim,
        held: &Held,
    ) -> (Result<(), Error>, Result<(), Refused>) {
        let Some((islands, epochs)) = self.extent(held.job) else {
            let seen = self
                .world
                .store
                .complete(claim, &Completion::default())
                .await;
            return (seen, self.reference.complete(held, 0, &[], &[], None));
        };
        let (successors, read, readers) = plan(claim, islands, epochs);
        let figure = self.figure(claim, held.job, epochs);
        // A border holds the checkpoint until it is decided.
        let readers = readers + u32::from(figure.is_some());
        let done = Completion {
            checkpoint: b"some bytes",
            readers,
            read: &read,
            successors: &successors,
            border: figure.map(|figure| Border {
                figure: Some(f64::from(figure)),
                window: 1,
                gain: 0.5,
                has_settled: |before, now, _| before == now,
            }),
            ..Completion::default()
        };
        (
            self.world.store.complete(claim, &done).await,
            self.reference
                .complete(held, readers, &read, &successors, figure),
        )
    }

    /// How far an island has come, where its job asks for an early stop and the search may end.
    fn figure(&self, claim: &Claim, job: usize, epochs: u32) -> Option<u32> {
        let flat = self.reference.jobs.get(&job)?.flat?;
        let searching = claim.kind == SliceKind::Search && claim.key.epoch + 1 < epochs;
        searching.then(|| claim.key.epoch.min(flat))
    }

    fn extent(&self, job: usize) -> Option<(u32, u32)> {
        let job = self.reference.jobs.get(&job)?;
        Some((job.islands, job.epochs))
    }

    async fn damage(&mut self) {
        let Some(job) = self.some_job() else { return };
        let Some(keys) = self.reference.jobs.get(&job).map(Job::checkpoint_keys) else {
            return;
        };
        if keys.is_empty() {
            return;
        }
        let key = keys[self.random.below(keys.len())];
        self.reference.damage(job, key);
        let sql = format!(
            "UPDATE checkpoints SET sha256 = 'spoilt' WHERE epoch = {} AND island = {} \
             AND job = (SELECT seq FROM jobs WHERE id = '{}')",
            key.epoch, key.island, self.ids[&job]
        );
        let changed = self.world.place.raw(sql).await.unwrap();
        self.same(format!("damage {key:?} of job {job}"), changed, 1);
    }

    async fn jump(&mut self) {
        let by = JUMP.as_millis() as i64;
        self.reference.jump(by);
        self.world.jump(JUMP).await;
        let sql = format!("UPDATE jobs SET finished_at = finished_at - {by}");
        self.world.place.raw(sql).await.unwrap();
        self.log.push("jump".into());
    }

    async fn rescue(&mut self) {
        let seen = self.world.store.rescue().await.unwrap();
        let expected = self.reference.rescue();
        self.same("rescue".into(), seen, expected);
    }

    async fn expire(&mut self) {
        let seen = self.world.store.delete_expired().await.unwrap();
        let expected = self.reference.delete_expired();
        self.same("delete expired".into(), seen, expected);
    }

    /// Resumes everything, takes all slices back and works until nothing is left to do.
    async fn run_to_the_end(&mut self) {
        for (number, id) in self.ids.clone() {
            let seen = self.outcome(self.world.store.set_paused(&id, false).await.map(drop));
            let expected = self.reference.set_paused(number, false);
            self.same(format!("resume job {number}"), seen, expected);
        }
        self.jump().await;
        self.jump().await;
        self.rescue().await;
        while self.claim().await {
            let (claim, held) = self.held.pop().expect("the claim just made");
            self.act(What::Finish, &claim, &held).await;
        }
        let open: Vec<_> = self
            .reference
            .jobs
            .values()
            .filter(|job| !job.state.is_final())
            .collect();
        assert!(open.is_empty(), "seed {}: {open:?}", self.seed);
    }

    async fn delete_all(&mut self) {
        for id in self.ids.values() {
            // Some are gone already.
            drop(self.world.store.delete(id).await);
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum What {
    Finish,
    Beat,
    HandBack,
    Fail,
    Rewind,
}
