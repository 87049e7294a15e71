//! The contract of every store: one suite, run over each engine. A new engine gives a [`Place`] and
//! calls `contract::suite!`; it cannot leave a case out.

pub mod claims;
pub mod fencing;
pub mod jobs;
pub mod longer;
pub mod model;
pub mod races;
mod reference;
pub mod retention;
pub mod transfer;
pub mod vehicles;

use std::time::Duration;

use leanwright_store::{
    Claim, Completion, JobId, JobKind, NewJob, Options, Priority, SliceKey, SliceKind, Store,
    Successor, WorkerInfo,
};

/// A database of its own for one test.
pub trait Place {
    /// Options that open it.
    fn options(&self) -> Options;
    /// Runs a statement past the store, as a fault or a jump of time would.
    fn raw(&self, sql: String) -> impl Future<Output = Result<u64, sqlx::Error>>;
}

/// An open store in its place.
pub struct World<P: Place> {
    pub store: Store,
    pub place: P,
}

impl<P: Place> World<P> {
    pub async fn new(place: P) -> World<P> {
        let store = Store::open(&place.options()).await.unwrap();
        World { store, place }
    }

    pub async fn with(place: P, change: impl FnOnce(&mut Options)) -> World<P> {
        let mut options = place.options();
        change(&mut options);
        let store = Store::open(&options).await.unwrap();
        World { store, place }
    }

    /// Lets time jump: every lease ends this much earlier.
    pub async fn jump(&self, by: Duration) {
        let by = by.as_millis();
        self.place
            .raw(format!(
                "UPDATE slices SET lease_until = lease_until - {by} WHERE state = 'running'"
            ))
            .await
            .unwrap();
    }

    pub async fn submit(&self, islands: u32, epochs: u32) -> JobId {
        self.store
            .submit(&new_job(islands, epochs))
            .await
            .unwrap()
            .id
    }

    pub async fn claim(&self, name: &str) -> Claim {
        self.store
            .claim(&worker(name))
            .await
            .unwrap()
            .expect("a slice is ready")
    }

    pub async fn nothing_to_claim(&self) -> bool {
        self.store.claim(&worker("looker")).await.unwrap().is_none()
    }
}

pub fn new_job(islands: u32, epochs: u32) -> NewJob {
    NewJob {
        caller: "local".into(),
        kind: JobKind::Search,
        name: "Rod ends".into(),
        labels: vec![],
        priority: Priority::Normal,
        input: b"{\"a\":1}".to_vec(),
        starts: None,
        idempotency_key: None,
        islands,
        epochs,
        planned: 1_000,
        parent: None,
        keep_days: None,
    }
}

pub fn worker(name: &str) -> WorkerInfo {
    WorkerInfo {
        name: name.into(),
        build: "build-1".into(),
        threads: 1,
    }
}

pub fn key(epoch: u32, island: u32) -> SliceKey {
    SliceKey { epoch, island }
}

/// The successors of a search slice on a ring of `islands`: itself and its next neighbour, and the
/// merge after the last epoch.
pub fn ring(claim: &Claim, islands: u32, epochs: u32) -> Vec<Successor> {
    let epoch = claim.key.epoch + 1;
    if epoch == epochs {
        return vec![Successor {
            key: key(epoch, 0),
            kind: SliceKind::Merge,
            inputs: islands,
        }];
    }
    let mut next = vec![claim.key.island, (claim.key.island + 1) % islands];
    next.dedup();
    let inputs = next.len() as u32;
    next.into_iter()
        .map(|island| Successor {
            key: key(epoch, island),
            kind: SliceKind::Search,
            inputs,
        })
        .collect()
}

/// What a search slice on a ring reads.
pub fn ring_reads(claim: &Claim, islands: u32) -> Vec<SliceKey> {
    if claim.key.epoch == 0 {
        return vec![];
    }
    let before = claim.key.epoch - 1;
    let mut read = vec![
        key(before, claim.key.island),
        key(before, (claim.key.island + islands - 1) % islands),
    ];
    read.dedup();
    read
}

pub async fn complete<P: Place>(world: &World<P>, claim: &Claim, islands: u32, epochs: u32) {
    let successors = ring(claim, islands, epochs);
    let checkpoint = format!("{:?}", claim.key).into_bytes();
    let read = ring_reads(claim, islands);
    let done = Completion {
        checkpoint: &checkpoint,
        readers: successors.len() as u32,
        read: &read,
        successors: &successors,
        evaluations: 10,
        ..Completion::default()
    };
    world.store.complete(claim, &done).await.unwrap();
}

/// One test for each case of the contract, on places made by `$place`.
#[macro_export]
macro_rules! suite {
    ($place:path) => {
        $crate::suite!(@ $place, jobs:
            a_job_comes_back_as_it_was_submitted, the_same_key_and_body_give_the_first_job,
            the_same_key_with_another_body_is_refused, a_key_belongs_to_its_caller,
            open_jobs_are_limited_per_caller, bad_values_are_named, pages_hold_every_job_once,
            filters_choose, days_to_keep_a_job_can_change, cancelling_is_final_and_repeatable, a_finished_job_is_final_by_sql,
            labels_are_replaced, deleting_takes_all_with_it, expired_jobs_go,
            events_count_without_gaps, progress_is_written_once_a_second, an_unknown_job_is_not_found);
        $crate::suite!(@ $place, claims:
            priority_comes_before_age, callers_take_turns, early_epochs_come_first,
            no_stream_of_new_jobs_holds_an_old_one_up,
            a_paused_job_is_passed_over, a_job_is_pinned_at_its_first_claim,
            a_kind_of_another_build_is_passed_over, every_kind_is_claimed,
            each_slice_is_claimed_once, a_slice_handed_back_uses_no_attempt, workers_are_listed);
        $crate::suite!(@ $place, fencing:
            a_stale_token_writes_nothing, a_cancelled_job_takes_no_writes,
            a_deleted_job_takes_no_writes, a_lease_in_time_is_kept, a_lost_slice_is_claimed_again,
            five_workers_lost_end_the_job, one_sick_worker_does_not_end_the_job);
        $crate::suite!(@ $place, races:
            both_inputs_at_once_wake_the_successor_once, cancel_against_publish_has_one_winner,
            rescue_against_beat_has_one_winner, rescue_against_publish_has_one_winner,
            one_key_submitted_at_once_makes_one_job, ended_jobs_leave_nothing_open);
        $crate::suite!(@ $place, retention:
            checkpoints_go_when_their_readers_are_done, anchors_stay_until_the_next_is_whole,
            a_damaged_checkpoint_is_found, a_job_rewinds_to_its_newest_whole_epoch,
            a_job_without_a_whole_epoch_starts_again, the_newest_checkpoints_are_one_an_island,
            after_the_end_the_last_epoch_stays_or_nothing, a_published_result_is_read_back);
        $crate::suite!(@ $place, longer:
            a_search_without_gain_ends_at_its_border, a_search_that_gains_goes_on,
            a_rewind_behind_a_stop_undoes_it, a_longer_run_goes_on_from_the_last_epoch,
            what_cannot_be_extended_says_why, a_job_restarts_on_another_build);
        $crate::suite!(@ $place, transfer:
            an_exported_job_comes_back_with_nothing_changed,
            jobs_that_failed_or_were_cancelled_are_carried_too, an_open_job_is_not_exported,
            what_is_no_whole_job_is_not_taken_in, two_imports_at_once_make_one_job,
            an_imported_job_is_kept_its_days_anew);
        $crate::suite!(@ $place, vehicles:
            a_vehicle_comes_back_as_it_was_saved, versions_pile_up_and_never_change,
            who_saw_an_older_vehicle_changes_nothing, two_versions_saved_at_once_have_two_numbers,
            notes_and_labels_change_and_the_rest_stays, pages_of_vehicles_hold_each_once,
            deleting_a_vehicle_takes_its_versions, bad_vehicles_are_refused_by_name);
        $crate::suite!(@ $place, model: random_operations_match_the_reference);
    };
    (@ $place:path, $part:ident: $($case:ident),*) => {
        mod $part {
            $(
                #[tokio::test(flavor = "multi_thread", worker_threads = 4)]
                async fn $case() {
                    $crate::contract::$part::$case($place().await).await;
                }
            )*
        }
    };
}
