//! What callers do to jobs, on both sides.

use super::*;

impl<P: Place> Pair<'_, P> {
    pub(super) async fn submit(&mut self) {
        let caller = CALLERS[self.random.below(2)];
        let (islands, epochs) = (
            1 + self.random.below(3) as u32,
            1 + self.random.below(6) as u32,
        );
        let mut job = Job::new(caller, islands, epochs);
        job.flat = (self.random.below(2) == 0).then(|| self.random.below(3) as u32);
        job.priority = self.random.below(3);
        job.body = self.random.below(2) as u64;
        job.key = (self.random.below(3) == 0).then(|| format!("key {}", self.random.below(2)));
        job.keep_days = (self.random.below(2) == 0).then(|| 1 + self.random.below(3) as u32);
        let new = NewJob {
            caller: caller.into(),
            priority: Priority::ALL[job.priority],
            input: vec![job.body as u8],
            idempotency_key: job.key.clone(),
            keep_days: job.keep_days,
            ..new_job(islands, epochs)
        };
        let store = self.outcome(self.world.store.submit(&new).await);
        let reference = self.reference.submit(job);
        if let (Ok(submitted), Ok((number, true))) = (&store, &reference) {
            self.ids.insert(*number, submitted.id.clone());
        }
        let store = store.map(|answer| (self.number(&answer.id), answer.created));
        self.same(format!("submit {new:?}"), store, reference);
    }

    /// Goes on with some job, which need not be done, by up to four epochs, if any.
    pub(super) async fn extend(&mut self) {
        let Some(of) = self.some_job() else { return };
        let (islands, epochs) = self.extent(of).unwrap_or((1, 1));
        let more = self.random.below(5) as u32;
        let caller = CALLERS[self.random.below(2)];
        let mut job = Job::new(caller, islands, epochs + more);
        job.flat = (self.random.below(2) == 0).then(|| epochs + self.random.below(2) as u32);
        let new = NewJob {
            caller: caller.into(),
            ..new_job(islands, epochs + more)
        };
        let id = self.ids[&of].clone();
        let store = self.outcome(self.world.store.extend(&id, "build-1", &new).await);
        let reference = self.reference.extend(of, job);
        if let (Ok(submitted), Ok(number)) = (&store, &reference) {
            self.ids.insert(*number, submitted.id.clone());
        }
        let store = store.map(|answer| self.number(&answer.id));
        self.same(format!("extend job {of} by {more}"), store, reference);
    }

    /// A job that was submitted once; it may be gone.
    pub(super) fn some_job(&mut self) -> Option<usize> {
        let numbers: Vec<_> = self.ids.keys().copied().collect();
        (!numbers.is_empty()).then(|| numbers[self.random.below(numbers.len())])
    }

    pub(super) async fn change_job(&mut self) {
        let Some(job) = self.some_job() else { return };
        let (store, id) = (&self.world.store, self.ids[&job].clone());
        let (what, seen, expected) = match self.random.below(10) {
            9 => (
                "restart",
                store.restart(&id).await.map(drop),
                self.reference.restart(job),
            ),
            0 => (
                "cancel",
                store.cancel(&id).await.map(drop),
                self.reference.cancel(job),
            ),
            1 => (
                "delete",
                store.delete(&id).await,
                self.reference.delete(job),
            ),
            2..4 => (
                "pause",
                store.set_paused(&id, true).await.map(drop),
                self.reference.set_paused(job, true),
            ),
            4..7 => (
                "resume",
                store.set_paused(&id, false).await.map(drop),
                self.reference.set_paused(job, false),
            ),
            class => (
                "set the priority of",
                store
                    .set_priority(&id, Priority::ALL[class - 6])
                    .await
                    .map(drop),
                self.reference.set_priority(job, class - 6),
            ),
        };
        let seen = self.outcome(seen);
        self.same(format!("{what} job {job}"), seen, expected);
    }
}
