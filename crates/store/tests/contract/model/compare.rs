//! What can be seen of jobs and workers, compared.

use super::*;
use leanwright_store::{JobFilter, JobState};

impl<P: Place> Pair<'_, P> {
    /// All that can be seen of all jobs.
    pub(super) async fn compare(&mut self) {
        let store = &self.world.store;
        let filter = JobFilter {
            limit: 200,
            ..JobFilter::default()
        };
        let listed = store.jobs(&filter).await.unwrap().jobs;
        let mut numbers: Vec<_> = listed.iter().map(|job| self.number(&job.id)).collect();
        numbers.reverse();
        let expected: Vec<_> = self.reference.jobs.keys().copied().collect();
        self.same("list".into(), numbers, expected);
        for seen in &listed {
            self.compare_job(seen).await;
        }
        let prefix = format!("{}-", self.seed);
        let mut workers = self.world.store.workers().await.unwrap();
        workers.retain(|row| row.info.name.starts_with(&prefix) && row.slices > 0);
        let ended = workers
            .into_iter()
            .map(|row| (row.info.name, row.slices))
            .collect();
        self.same(
            "slices of workers".into(),
            ended,
            self.reference.ended.clone(),
        );
    }

    async fn compare_job(&mut self, seen: &leanwright_store::Job) {
        let (store, number) = (&self.world.store, self.number(&seen.id));
        let expected = self.reference.jobs[&number].clone();
        let events = store.events(&seen.id, 0, 1_000).await.unwrap();
        let kinds: Vec<_> = events.iter().map(|event| event.kind.clone()).collect();
        let published = store.front(&seen.id).await.is_ok();
        let mut whole = vec![];
        if let Some(claim) = self.looks.get(&number) {
            for epoch in 0..expected.epochs + 3 {
                for island in 0..expected.islands.max(2) {
                    if store.checkpoint(claim, key(epoch, island)).await.is_ok() {
                        whole.push(key(epoch, island));
                    }
                }
            }
        }
        let mut kept = expected.checkpoint_keys();
        kept.retain(|key| expected.whole(*key));
        self.same(
            format!("job {number}"),
            (
                seen.state,
                (seen.epochs, seen.asked_epochs, seen.first_epoch),
                seen.paused,
                seen.priority,
                kinds,
                published,
                whole,
            ),
            (
                expected.state,
                (expected.epochs, expected.asked, expected.first),
                expected.paused,
                Priority::ALL[expected.priority],
                expected
                    .events
                    .iter()
                    .map(|kind| kind.to_string())
                    .collect(),
                expected.state == JobState::Done,
                kept,
            ),
        );
    }
}
