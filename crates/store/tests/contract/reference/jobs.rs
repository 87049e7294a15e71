//! What callers do to jobs.

use super::{Checkpoint, Job, Reference, Refused};
use leanwright_store::{JobState, SliceKey};

const DAY: i64 = 86_400_000;

impl Reference {
    pub fn submit(&mut self, job: Job) -> Result<(usize, bool), Refused> {
        let same =
            |other: &Job| job.key.is_some() && other.caller == job.caller && other.key == job.key;
        if let Some((number, first)) = self.jobs.iter().find(|(_, other)| same(other)) {
            return if first.body == job.body {
                Ok((*number, false))
            } else {
                Err(Refused::KeyReused(*number))
            };
        }
        self.limit(job.caller)?;
        let number = self.next() as usize;
        self.jobs.insert(number, job);
        self.make_ready(number, 0);
        Ok((number, true))
    }

    fn limit(&self, caller: &str) -> Result<(), Refused> {
        let open = |other: &&Job| other.caller == caller && !other.state.is_final();
        match self.jobs.values().filter(open).count() < self.open_jobs {
            true => Ok(()),
            false => Err(Refused::TooManyJobs),
        }
    }

    /// A longer run of a job that is done, from copies of its last checkpoints.
    pub fn extend(&mut self, of: usize, mut job: Job) -> Result<usize, Refused> {
        let old = self.jobs.get(&of).ok_or(Refused::NotFound)?;
        let last = |island| SliceKey {
            epoch: old.epochs - 1,
            island,
        };
        let whole = (0..old.islands).all(|island| old.whole(last(island)));
        let longer = old.islands == job.islands && old.epochs < job.epochs;
        if old.state != JobState::Done || !longer || !whole {
            return Err(Refused::NotPossible);
        }
        self.limit(job.caller)?;
        job.first = old.epochs;
        for island in 0..job.islands {
            let copy = Checkpoint {
                readers: job.islands.min(2),
                reads: 0,
                damaged: false,
            };
            job.checkpoints.insert(last(island), copy);
        }
        let (number, first) = (self.next() as usize, job.first);
        self.jobs.insert(number, job);
        self.make_ready(number, first);
        Ok(number)
    }

    /// Starts an open job again from its beginning.
    pub fn restart(&mut self, job: usize) -> Result<(), Refused> {
        let entry = self.open(job)?;
        entry.cut(0);
        entry.state = JobState::Queued;
        entry.first = 0;
        entry.epochs = entry.asked.take().unwrap_or(entry.epochs);
        entry.events.push("restarted");
        self.make_ready(job, 0);
        Ok(())
    }

    fn open(&mut self, job: usize) -> Result<&mut Job, Refused> {
        let job = self.jobs.get_mut(&job).ok_or(Refused::NotFound)?;
        if job.state.is_final() {
            return Err(Refused::Finished(job.state));
        }
        Ok(job)
    }

    pub fn cancel(&mut self, job: usize) -> Result<(), Refused> {
        let now = self.now;
        match self.open(job) {
            Err(Refused::Finished(JobState::Cancelled)) => Ok(()),
            Err(refused) => Err(refused),
            Ok(job) => {
                job.drop_unfinished();
                job.end(JobState::Cancelled, "cancelled", now);
                Ok(())
            }
        }
    }

    pub fn set_paused(&mut self, job: usize, paused: bool) -> Result<(), Refused> {
        let job = self.open(job)?;
        if job.paused != paused {
            job.paused = paused;
            job.events.push(if paused { "paused" } else { "resumed" });
        }
        Ok(())
    }

    pub fn set_priority(&mut self, job: usize, priority: usize) -> Result<(), Refused> {
        self.open(job)?.priority = priority;
        Ok(())
    }

    pub fn delete(&mut self, job: usize) -> Result<(), Refused> {
        self.jobs.remove(&job).map(drop).ok_or(Refused::NotFound)
    }

    /// Deletes finished jobs whose days are over; answers how many.
    pub fn delete_expired(&mut self) -> u64 {
        let (before, now) = (self.jobs.len(), self.now);
        self.jobs.retain(|_, job| {
            let days = job.keep_days.filter(|_| job.state.is_final());
            days.is_none_or(|days| job.finished_at + i64::from(days) * DAY >= now)
        });
        (before - self.jobs.len()) as u64
    }

    pub fn damage(&mut self, job: usize, key: SliceKey) {
        if let Some(checkpoint) = self
            .jobs
            .get_mut(&job)
            .and_then(|j| j.checkpoints.get_mut(&key))
        {
            checkpoint.damaged = true;
        }
    }
}
