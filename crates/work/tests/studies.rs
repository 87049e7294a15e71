//! Studies behind the search: which candidates, the same bits whatever happens, and none without a
//! front.

#![allow(clippy::unwrap_used, missing_docs)]

#[allow(dead_code)]
mod common;

use std::time::Duration;

use common::*;
use leanwright_work::{FrontDocument, Worker};
use store::{JobState, WorkerInfo};

fn studied() -> Toy {
    Toy {
        study_points: 6,
        aspirations: Some([40.0, 20.0]),
        pause_us: 20,
        ..Toy::default()
    }
}

fn front(result: &(String, Vec<Vec<u8>>)) -> FrontDocument {
    serde_json::from_str(&result.0).unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn the_nearest_then_knees_then_others_are_studied() {
    let result = undisturbed(&studied()).await;
    let rows = front(&result).candidates;
    assert_eq!(rows.iter().filter(|row| row.studied).count(), 6);
    let nearest = rows.iter().filter(|row| row.nearest.is_some());
    assert!(nearest.clone().count() == 5 && nearest.into_iter().all(|row| row.studied));
    for (row, body) in rows.iter().zip(&result.1) {
        let with_study: Result<(Vec<f64>, String), _> = serde_json::from_slice(body);
        assert_eq!(with_study.is_ok(), row.studied, "candidate {}", row.number);
        if let Ok((vector, study)) = with_study {
            assert_eq!(vector, row.vector);
            assert_eq!(study, format!("study of {vector:?}"));
        }
    }
    // Studies change nothing else of the result.
    let plain = undisturbed(&Toy {
        study_points: 0,
        ..studied()
    })
    .await;
    assert_eq!(front(&plain).archive, front(&result).archive);
    assert_eq!(front(&plain).evaluations, front(&result).evaluations);
}

#[tokio::test(flavor = "multi_thread")]
async fn without_aspirations_knees_and_both_ends_are_studied() {
    let toy = Toy {
        aspirations: None,
        study_points: 64,
        ..studied()
    };
    let rows = front(&undisturbed(&toy).await).candidates;
    assert!(
        rows.iter().all(|row| row.studied),
        "64 are more than the front has"
    );
    let knees = rows.iter().filter(|row| row.knee).count();
    let toy = Toy {
        study_points: knees + 2,
        ..toy
    };
    let rows = front(&undisturbed(&toy).await).candidates;
    let both_ends = [&rows[0], &rows[rows.len() - 1]];
    assert!(rows.iter().filter(|row| row.knee).all(|row| row.studied));
    assert!(both_ends.iter().all(|row| row.studied || row.knee));
    assert_eq!(rows.iter().filter(|row| row.studied).count(), knees + 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn studies_without_a_polish_and_polish_without_studies_end_too() {
    for (polish_points, study_points) in [(0, 3), (2, 0), (1, 1)] {
        let toy = Toy {
            polish_points,
            study_points,
            ..Toy::default()
        };
        let rows = front(&undisturbed(&toy).await).candidates;
        assert_eq!(rows.iter().filter(|row| row.studied).count(), study_points);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn where_nothing_is_feasible_nothing_is_studied() {
    let toy = Toy {
        harder_by: 1_000.0,
        ..studied()
    };
    let rows = front(&undisturbed(&toy).await).candidates;
    assert!(rows.len() == 1 && !rows[0].studied && !rows[0].feasible);
}

#[tokio::test(flavor = "multi_thread")]
async fn lost_studies_and_other_threads_change_no_bit() {
    let toy = studied();
    let expected = undisturbed(&toy).await;
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = Worker::start(&store, &worker_options(1)).unwrap();
    until(&store, &id, |job| job.last_event >= 3).await;
    // Another one claims what is there, time after time, and is never heard of again.
    for number in 0..40 {
        let lost = WorkerInfo {
            name: format!("lost-{}", number % 3),
            build: "test".into(),
            threads: 1,
        };
        store.claim(&lost).await.unwrap();
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
    let more = Worker::start(&store, &worker_options(3)).unwrap();
    let job = finished(&store, &id).await;
    for worker in [worker, more] {
        worker.stop().await;
    }
    assert_eq!(job.state, JobState::Done, "{:?}", job.reason);
    assert_eq!(result(&store, &id).await, expected);
    let events = store.events(&id, 0, 1_000).await.unwrap();
    let told = events
        .iter()
        .filter(|event| event.kind == "studied")
        .count();
    assert_eq!(told, 6);
}
