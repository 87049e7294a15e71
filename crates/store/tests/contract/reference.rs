//! A store in memory, as plain as can be: what every engine must answer, without leases on rows,
//! locks or SQL. Time is a number that only [`Reference::jump`] moves.

use std::collections::{BTreeMap, BTreeSet};

use leanwright_store::{JobState, Rescued, SliceKey, SliceKind, Successor};

/// What the reference answers instead of the store's errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    LeaseLost,
    NotFound,
    Finished(JobState),
    KeyReused(usize),
    TooManyJobs,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    Waiting,
    Ready,
    Running,
    Done,
    Discarded,
}

#[derive(Clone, Debug)]
struct Slice {
    kind: SliceKind,
    inputs: u32,
    arrived: u32,
    state: State,
    token: i64,
    until: i64,
    worker: String,
    lost_by: BTreeSet<String>,
    /// Rows made earlier come first.
    made: u64,
}

#[derive(Clone, Copy, Debug)]
struct Checkpoint {
    readers: u32,
    reads: u32,
    damaged: bool,
}

/// A job as it stands.
#[derive(Clone, Debug)]
pub struct Job {
    pub caller: &'static str,
    pub priority: u8,
    pub paused: bool,
    pub state: JobState,
    pub islands: u32,
    pub epochs: u32,
    pub key: Option<String>,
    pub body: u8,
    pub keep_days: Option<u32>,
    pub events: Vec<&'static str>,
    pub published: bool,
    finished_at: i64,
    slices: BTreeMap<SliceKey, Slice>,
    checkpoints: BTreeMap<SliceKey, Checkpoint>,
}

impl Job {
    pub fn new(caller: &'static str, islands: u32, epochs: u32) -> Job {
        Job {
            caller,
            priority: 1,
            paused: false,
            state: JobState::Queued,
            islands,
            epochs,
            key: None,
            body: 0,
            keep_days: None,
            events: vec!["submitted"],
            published: false,
            finished_at: 0,
            slices: BTreeMap::new(),
            checkpoints: BTreeMap::new(),
        }
    }

    /// Whether the checkpoint is there and whole.
    pub fn whole(&self, key: SliceKey) -> bool {
        self.checkpoints.get(&key).is_some_and(|c| !c.damaged)
    }

    pub fn checkpoint_keys(&self) -> Vec<SliceKey> {
        self.checkpoints.keys().copied().collect()
    }

    fn end(&mut self, state: JobState, event: &'static str, now: i64) {
        self.state = state;
        self.finished_at = now;
        self.events.push(event);
    }

    fn drop_unfinished(&mut self) {
        self.checkpoints.clear();
        for slice in self.slices.values_mut() {
            if matches!(slice.state, State::Waiting | State::Ready | State::Running) {
                slice.state = State::Discarded;
                slice.token += 1;
            }
        }
    }

    fn drop_older_anchors(&mut self, at: u32) {
        let standing = self.checkpoints.keys().filter(|key| key.epoch == at);
        if standing.count() == self.islands as usize {
            self.checkpoints
                .retain(|key, c| key.epoch >= at || c.reads < c.readers);
        }
    }

    /// The newest epoch of which every island left a whole checkpoint.
    fn newest_whole(&self) -> Option<u32> {
        let whole = |epoch| (0..self.islands).all(|island| self.whole(SliceKey { epoch, island }));
        (0..self.epochs).rev().find(|epoch| whole(*epoch))
    }
}

/// A claim on the reference: which job, which slice, and the token.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    pub job: usize,
    pub key: SliceKey,
    pub kind: SliceKind,
    pub token: i64,
    pub worker: String,
    made: u64,
}

/// All jobs by number; deleted ones are gone.
pub struct Reference {
    pub jobs: BTreeMap<usize, Job>,
    /// Slices that each worker ended.
    pub ended: BTreeMap<String, u64>,
    pub lease: i64,
    pub attempts: usize,
    pub open_jobs: usize,
    pub anchor: u32,
    now: i64,
    made: u64,
    next: usize,
}

impl Reference {
    pub fn new(lease: i64, attempts: usize, open_jobs: usize, anchor: u32) -> Reference {
        Reference {
            jobs: BTreeMap::new(),
            ended: BTreeMap::new(),
            lease,
            attempts,
            open_jobs,
            anchor,
            now: 0,
            made: 0,
            next: 0,
        }
    }

    pub fn jump(&mut self, by: i64) {
        self.now += by;
    }

    pub fn submit(&mut self, job: Job) -> Result<(usize, bool), Refused> {
        let same = |other: &Job| job.key.is_some() && (other.caller, &other.key) == (job.caller, &job.key);
        if let Some((number, first)) = self.jobs.iter().find(|(_, other)| same(other)) {
            return if first.body == job.body {
                Ok((*number, false))
            } else {
                Err(Refused::KeyReused(*number))
            };
        }
        let open = |other: &&Job| other.caller == job.caller && !other.state.is_final();
        if self.jobs.values().filter(open).count() >= self.open_jobs {
            return Err(Refused::TooManyJobs);
        }
        let number = self.next;
        self.next += 1;
        let islands = job.islands;
        self.jobs.insert(number, job);
        for island in 0..islands {
            self.add(number, SliceKey { epoch: 0, island }, SliceKind::Search, 0, 0);
        }
        Ok((number, true))
    }

    fn add(&mut self, job: usize, key: SliceKey, kind: SliceKind, inputs: u32, arrived: u32) {
        self.made += 1;
        let slice = Slice {
            kind,
            inputs,
            arrived,
            state: if inputs == arrived { State::Ready } else { State::Waiting },
            token: 0,
            until: 0,
            worker: String::new(),
            lost_by: BTreeSet::new(),
            made: self.made,
        };
        if let Some(job) = self.jobs.get_mut(&job) {
            job.slices.insert(key, slice);
        }
    }

    fn running(&self, caller: &str) -> usize {
        let mine = self.jobs.values().filter(|job| job.caller == caller);
        mine.flat_map(|job| job.slices.values())
            .filter(|slice| slice.state == State::Running)
            .count()
    }

    pub fn claim(&mut self, worker: &str) -> Option<Held> {
        let mut ready = vec![];
        for (number, job) in &self.jobs {
            if job.paused || job.state.is_final() {
                continue;
            }
            for (key, slice) in &job.slices {
                if slice.state == State::Ready {
                    let order = (job.priority, self.running(job.caller), *key, slice.made);
                    ready.push((order, *number));
                }
            }
        }
        let ((_, _, key, made), number) = ready.into_iter().min()?;
        let until = self.now + self.lease;
        let job = self.jobs.get_mut(&number)?;
        if job.state == JobState::Queued {
            job.state = JobState::Running;
            job.events.push("started");
        }
        let slice = job.slices.get_mut(&key)?;
        slice.state = State::Running;
        slice.token += 1;
        slice.until = until;
        slice.worker = worker.to_owned();
        let (kind, token) = (slice.kind, slice.token);
        Some(Held { job: number, key, kind, token, worker: worker.to_owned(), made })
    }

    /// The job and slice of a claim that still holds.
    fn held(&mut self, claim: &Held) -> Result<(&mut Job, &mut Slice), Refused> {
        let job = self.jobs.get_mut(&claim.job).ok_or(Refused::LeaseLost)?;
        // The slices are lent out apart from the rest of their job by way of a raw split.
        let slice = job.slices.get(&claim.key).ok_or(Refused::LeaseLost)?;
        let holds = (slice.made, slice.token, slice.state) == (claim.made, claim.token, State::Running);
        if !holds {
            return Err(Refused::LeaseLost);
        }
        unreachable!()
    }
}
