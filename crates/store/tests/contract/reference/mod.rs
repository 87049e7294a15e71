//! A store in memory, as plain as can be: what every engine must answer, without rows, locks or SQL.
//! Time is a number that only [`Reference::jump`] moves. Written from the rules of the store's
//! documentation, not from its statements.

mod jobs;
mod slices;

use std::collections::{BTreeMap, BTreeSet};

use leanwright_store::{JobState, SliceKey, SliceKind};

/// What the reference answers instead of the store's errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    LeaseLost,
    NotFound,
    Finished(JobState),
    KeyReused(usize),
    NotPossible,
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
    /// Of the claim that holds it; every claim in the whole store has a number of its own.
    holder: u64,
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
    pub priority: usize,
    pub paused: bool,
    pub state: JobState,
    pub islands: u32,
    pub epochs: u32,
    /// Epochs as submitted, after an early stop.
    pub asked: Option<u32>,
    /// The first epoch of its own.
    pub first: u32,
    /// From this epoch on its islands stand still; `None`: no early stop is asked for.
    pub flat: Option<u32>,
    pub key: Option<String>,
    pub body: u64,
    pub keep_days: Option<u32>,
    pub events: Vec<&'static str>,
    finished_at: i64,
    slices: BTreeMap<SliceKey, Slice>,
    checkpoints: BTreeMap<SliceKey, Checkpoint>,
    /// Figures noted at borders.
    ledger: BTreeMap<SliceKey, u32>,
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
            asked: None,
            first: 0,
            flat: None,
            key: None,
            body: 0,
            keep_days: None,
            events: vec!["submitted"],
            finished_at: 0,
            slices: BTreeMap::new(),
            checkpoints: BTreeMap::new(),
            ledger: BTreeMap::new(),
        }
    }

    /// Takes away all of this epoch and those behind it.
    fn cut(&mut self, from: u32) {
        self.slices.retain(|key, _| key.epoch < from);
        self.checkpoints.retain(|key, _| key.epoch < from);
        self.ledger.retain(|key, _| key.epoch < from);
    }

    /// Whether the checkpoint is there and as it was written.
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
            if slice.state != State::Done {
                slice.state = State::Discarded;
            }
        }
    }

    /// The newest epoch of the search of which every island left a whole checkpoint.
    fn newest_whole(&self) -> Option<u32> {
        let whole = |epoch| (0..self.islands).all(|island| self.whole(SliceKey { epoch, island }));
        (0..self.epochs).rev().find(|epoch| whole(*epoch))
    }
}

/// A claim on the reference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    pub job: usize,
    pub key: SliceKey,
    pub kind: SliceKind,
    pub worker: String,
    number: u64,
}

/// All jobs by number, in the order of their submission; deleted ones are gone.
pub struct Reference {
    pub jobs: BTreeMap<usize, Job>,
    /// Slices that each worker ended.
    pub ended: BTreeMap<String, u64>,
    pub lease: i64,
    pub attempts: usize,
    pub open_jobs: usize,
    pub anchor: u32,
    pub now: i64,
    counter: u64,
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
            counter: 0,
        }
    }

    pub fn jump(&mut self, by: i64) {
        self.now += by;
    }

    fn next(&mut self) -> u64 {
        self.counter += 1;
        self.counter
    }

    /// Adds a slice of which no input has arrived.
    fn add(&mut self, job: usize, key: SliceKey, kind: SliceKind, inputs: u32) {
        let slice = Slice {
            kind,
            inputs,
            arrived: 0,
            state: if inputs == 0 {
                State::Ready
            } else {
                State::Waiting
            },
            holder: 0,
            until: 0,
            worker: String::new(),
            lost_by: BTreeSet::new(),
            made: self.next(),
        };
        let job = self.jobs.get_mut(&job).expect("a job that is there");
        job.slices.insert(key, slice);
    }

    /// Makes an epoch claimable, or the merge behind the last; what it reads is unread then, but for
    /// the decision of its border.
    fn make_ready(&mut self, job: usize, epoch: u32) {
        let entry = self.jobs.get_mut(&job).expect("a job that is there");
        let decided = entry.ledger.keys().any(|key| key.epoch + 1 == epoch);
        for (key, checkpoint) in &mut entry.checkpoints {
            if key.epoch + 1 == epoch {
                checkpoint.reads = u32::from(decided);
            }
        }
        let (islands, kind) = if epoch == entry.epochs {
            (1, SliceKind::Merge)
        } else {
            (entry.islands, SliceKind::Search)
        };
        for island in 0..islands {
            self.add(job, SliceKey { epoch, island }, kind, 0);
        }
    }

    fn running(&self, caller: &str) -> usize {
        let theirs = self.jobs.values().filter(|job| job.caller == caller);
        theirs
            .flat_map(|job| job.slices.values())
            .filter(|slice| slice.state == State::Running)
            .count()
    }

    pub fn claim(&mut self, worker: &str) -> Option<Held> {
        let mut ready = vec![];
        let open = |job: &Job| !job.paused && !job.state.is_final();
        for (number, job) in self.jobs.iter().filter(|(_, job)| open(job)) {
            for (key, slice) in &job.slices {
                if slice.state == State::Ready {
                    let running = self.running(job.caller);
                    ready.push((job.priority, running, slice.made, *key, *number));
                }
            }
        }
        let (.., key, job) = ready.into_iter().min()?;
        let (number, until) = (self.next(), self.now + self.lease);
        let entry = self.jobs.get_mut(&job)?;
        if entry.state == JobState::Queued {
            entry.state = JobState::Running;
            entry.events.push("started");
        }
        let slice = entry.slices.get_mut(&key)?;
        slice.state = State::Running;
        slice.holder = number;
        slice.until = until;
        slice.worker = worker.to_owned();
        let (kind, worker) = (slice.kind, worker.to_owned());
        Some(Held {
            job,
            key,
            kind,
            worker,
            number,
        })
    }

    /// The job of a claim that still holds.
    fn held(&mut self, claim: &Held) -> Result<&mut Job, Refused> {
        let job = self.jobs.get_mut(&claim.job).ok_or(Refused::LeaseLost)?;
        let holds = job
            .slices
            .get(&claim.key)
            .is_some_and(|slice| slice.state == State::Running && slice.holder == claim.number);
        if holds {
            Ok(job)
        } else {
            Err(Refused::LeaseLost)
        }
    }

    fn slice(&mut self, claim: &Held) -> Result<&mut Slice, Refused> {
        let slices = &mut self.held(claim)?.slices;
        slices.get_mut(&claim.key).ok_or(Refused::LeaseLost)
    }
}
