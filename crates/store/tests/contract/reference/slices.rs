//! What workers do with slices.

use super::{Checkpoint, Held, Job, Reference, Refused, State};
use leanwright_store::{JobState, Rescued, SliceKey, Successor};

impl Reference {
    pub fn beat(&mut self, claim: &Held) -> Result<(), Refused> {
        let until = self.now + self.lease;
        self.slice(claim)?.until = until;
        Ok(())
    }

    pub fn hand_back(&mut self, claim: &Held) -> Result<(), Refused> {
        self.slice(claim)?.state = State::Ready;
        Ok(())
    }

    fn finish(&mut self, claim: &Held) -> Result<(), Refused> {
        self.slice(claim)?.state = State::Done;
        *self.ended.entry(claim.worker.clone()).or_default() += 1;
        Ok(())
    }

    pub fn complete(
        &mut self,
        claim: &Held,
        readers: u32,
        read: &[SliceKey],
        successors: &[Successor],
        border: Option<u32>,
    ) -> Result<(), Refused> {
        self.finish(claim)?;
        let anchor = self.anchor;
        let job = self.held_job(claim);
        if readers > 0 {
            let kept = Checkpoint {
                readers,
                reads: 0,
                damaged: false,
            };
            job.checkpoints.insert(claim.key, kept);
        }
        for key in read {
            let Some(checkpoint) = job.checkpoints.get_mut(key) else {
                continue;
            };
            checkpoint.reads += 1;
            if checkpoint.reads >= checkpoint.readers && key.epoch % anchor != 0 {
                job.checkpoints.remove(key);
            }
        }
        let here = claim.key.epoch;
        let standing = job.checkpoints.keys().filter(|key| key.epoch == here);
        if here.is_multiple_of(anchor) && standing.count() == job.islands as usize {
            job.checkpoints
                .retain(|key, kept| key.epoch >= here || kept.reads < kept.readers);
        }
        if border.is_some_and(|figure| self.settle(claim, figure)) {
            return Ok(());
        }
        for successor in successors {
            self.tell(claim.job, successor);
        }
        Ok(())
    }

    /// Notes a figure, and says whether the search ends at this border: when all islands are there and
    /// stand where they stood an epoch before.
    fn settle(&mut self, claim: &Held, figure: u32) -> bool {
        let (anchor, epoch) = (self.anchor, claim.key.epoch);
        let job = self.held_job(claim);
        job.ledger.insert(claim.key, figure);
        let at = |epoch| {
            let row = move |(key, _): &(&SliceKey, &u32)| key.epoch == epoch;
            let row = job.ledger.iter().filter(row);
            row.map(|(_, figure)| *figure).collect::<Vec<_>>()
        };
        let now = at(epoch);
        if now.len() < job.islands as usize {
            return false;
        }
        if epoch > job.first && epoch + 1 < job.epochs && at(epoch - 1) == now {
            job.asked = Some(job.epochs);
            job.epochs = epoch + 1;
            job.cut(epoch + 1);
            self.make_ready(claim.job, epoch + 1);
            self.held_job(claim).events.push("stopped");
            return true;
        }
        job.checkpoints.retain(|key, kept| {
            if key.epoch == epoch {
                kept.reads += 1;
            }
            key.epoch != epoch || kept.reads < kept.readers || epoch.is_multiple_of(anchor)
        });
        false
    }

    fn held_job(&mut self, claim: &Held) -> &mut Job {
        self.jobs.get_mut(&claim.job).expect("a job that is held")
    }

    fn tell(&mut self, job: usize, successor: &Successor) {
        if !self.jobs[&job].slices.contains_key(&successor.key) {
            self.add(job, successor.key, successor.kind, successor.inputs);
        }
        let slices = &mut self.jobs.get_mut(&job).expect("a job that is there").slices;
        let slice = slices.get_mut(&successor.key).expect("a slice just added");
        slice.arrived += 1;
        if slice.arrived == slice.inputs {
            slice.state = State::Ready;
        }
    }

    pub fn publish(&mut self, claim: &Held) -> Result<(), Refused> {
        self.finish(claim)?;
        let now = self.now;
        let job = self.held_job(claim);
        let last = job.epochs - 1;
        job.checkpoints.retain(|key, _| key.epoch == last);
        job.end(JobState::Done, "done", now);
        Ok(())
    }

    pub fn fail(&mut self, claim: &Held) -> Result<(), Refused> {
        self.finish(claim)?;
        let now = self.now;
        let job = self.held_job(claim);
        job.drop_unfinished();
        job.end(JobState::Failed, "failed", now);
        Ok(())
    }

    pub fn rewind(&mut self, claim: &Held) -> Result<Option<u32>, Refused> {
        self.finish(claim)?;
        let job = self.held_job(claim);
        let whole = job.newest_whole();
        let from = whole.map_or(0, |epoch| epoch + 1);
        job.cut(from);
        if job.epochs > from {
            job.epochs = job.asked.take().unwrap_or(job.epochs);
        }
        job.events.push("rewound");
        self.make_ready(claim.job, from);
        Ok(whole)
    }

    /// Slices in the order in which they were made.
    pub fn rescue(&mut self) -> Rescued {
        let mut expired = vec![];
        for (number, job) in &self.jobs {
            for (key, slice) in &job.slices {
                if slice.state == State::Running && slice.until < self.now {
                    expired.push((slice.made, *number, *key));
                }
            }
        }
        expired.sort();
        let mut rescued = Rescued::default();
        let (attempts, now) = (self.attempts, self.now);
        for (_, number, key) in expired {
            let Some(job) = self.jobs.get_mut(&number) else {
                continue;
            };
            let Some(slice) = job.slices.get_mut(&key) else {
                continue;
            };
            if slice.state != State::Running {
                continue;
            }
            slice.state = State::Ready;
            slice.lost_by.insert(slice.worker.clone());
            let lost_by = slice.lost_by.len();
            job.events.push("rescued");
            if lost_by < attempts {
                rescued.slices += 1;
            } else {
                job.drop_unfinished();
                job.end(JobState::Failed, "failed", now);
                rescued.failed_jobs += 1;
            }
        }
        rescued
    }
}
