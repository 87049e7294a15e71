//! The slices on a real job, without a store: what the worker runs is a pure function of its inputs.

#![allow(clippy::unwrap_used, missing_docs)]

use std::sync::Arc;

use design::Candidate;
use leanwright_work::slices::{
    Left, Stopped, run_merge, run_polish, run_publish, run_search, run_study,
};
use leanwright_work::{FrontDocument, Model, Plan, SearchEnd, compile};
use store::{JobInput, SliceKey};

/// The example job with a budget of two epochs on two islands, and goals in both senses.
fn model() -> Arc<dyn Model> {
    let mut job: serde_json::Value =
        serde_json::from_str(include_str!("../../../demo-jobs/example-job.json")).unwrap();
    job["search"] = serde_json::json!({
        "evaluations": 1, "islands": 2, "seed": 7, "front": 5, "polish_points": 1,
        "polish_evaluations": 50, "study_points": 2
    });
    job["goals"]
        .as_array_mut()
        .unwrap()
        .push(serde_json::json!({
            "maximise": "transmission_angle_deg"
        }));
    let input = JobInput {
        input: job.to_string().into_bytes(),
        starts: None,
    };
    compile(&input).unwrap()
}

fn island(model: &dyn Model, island: u32) -> Vec<u8> {
    run_search(model, SliceKey { epoch: 0, island }, &[], &|| 1, &|| false)
        .unwrap()
        .checkpoint
}

#[test]
fn a_job_becomes_a_front_of_candidates() {
    let model = model();
    let plan = Plan {
        islands: 2,
        rings: 1,
        epochs: model.budget().epochs,
    };
    let first = [island(&*model, 0), island(&*model, 1)];
    assert_ne!(first[0], first[1], "islands differ");
    let again = run_search(
        &*model,
        SliceKey {
            epoch: 0,
            island: 1,
        },
        &[],
        &|| 2,
        &|| false,
    )
    .unwrap();
    assert_eq!(first[1], again.checkpoint, "a slice is a pure function");
    assert_eq!(
        plan.search_reads(SliceKey {
            epoch: 1,
            island: 0
        })
        .len(),
        2
    );
    let merged = run_merge(&*model, &first).unwrap();
    let polishes: Vec<Vec<u8>> = (0..merged.after.polishes)
        .map(|point| {
            run_polish(&*model, &merged.checkpoint, point, &|| 3, &|| false)
                .unwrap()
                .checkpoint
        })
        .collect();
    assert_eq!(merged.after.studies, 2);
    let studies: Vec<Vec<u8>> = (0..2)
        .map(|index| {
            run_study(&*model, &merged.checkpoint, &polishes, index, &|| false)
                .unwrap()
                .checkpoint
        })
        .collect();
    let left = Left {
        archive: &merged.checkpoint,
        polishes: &polishes,
        studies: &studies,
    };
    let result = run_publish(&*model, left, SearchEnd::default(), &|| false).unwrap();
    let front: FrontDocument = serde_json::from_slice(&result.front).unwrap();
    assert!(
        front
            .cautions
            .iter()
            .any(|text| text.contains("Local rules"))
    );
    assert_eq!(front.candidates.len(), result.candidates.len());
    assert!(front.candidates.iter().any(|row| row.feasible));
    for (row, bytes) in front.candidates.iter().zip(&result.candidates) {
        let candidate: Candidate = serde_json::from_slice(bytes).unwrap();
        assert_eq!(candidate.vector, row.vector);
        assert_eq!(candidate.feasible, row.feasible);
        assert_eq!(candidate.study.is_some(), row.studied);
        if let Some(study) = &candidate.study {
            assert_eq!(study.vector, row.vector);
            assert_eq!((study.samples, study.sigma_mm), (64, 0.5));
            // The study measures the very machine that the candidate shows.
            assert_eq!(study.quantities[0].quantity, candidate.goals[0].quantity);
            let (drawn, shown) = (study.quantities[0].nominal, candidate.goals[0].value);
            assert!((drawn.unwrap() - shown.unwrap()).abs() < 1e-9);
            assert!(study.quantities[0].p95 > study.quantities[0].nominal);
        }
        let goals: Vec<_> = candidate.goals.iter().map(|goal| goal.value).collect();
        assert_eq!(goals, row.goals);
        // Inside the search a goal to be large is negative; out here it must not be.
        if let Some(angle) = row.goals[3] {
            assert!((0.0..=90.0).contains(&angle), "{angle}");
        }
    }
    assert_eq!(front.candidates.iter().filter(|row| row.studied).count(), 2);
    // The archive's goals are those of the candidates, not the search's own.
    for row in front.candidates.iter().filter(|row| row.feasible) {
        let kept = front
            .archive
            .iter()
            .find(|kept| kept.vector == row.vector)
            .unwrap();
        assert_eq!(
            kept.goals.iter().copied().map(Some).collect::<Vec<_>>(),
            row.goals
        );
    }
}

#[test]
fn requirements_are_named_one_for_each_violation() {
    let model = model();
    let names = model.requirements();
    assert_eq!(names.len(), model.problem().violations());
    assert_eq!(names[0], "turning_radius_kerb_m at most 3.2 m");
}

#[test]
fn a_slice_stops_when_told() {
    let stopped = run_search(
        &*model(),
        SliceKey {
            epoch: 0,
            island: 0,
        },
        &[],
        &|| 1,
        &|| true,
    );
    assert_eq!(stopped, Err(Stopped::Interrupted));
}

#[test]
fn a_checkpoint_that_cannot_be_read_fails_with_words() {
    let model = model();
    let key = SliceKey {
        epoch: 1,
        island: 0,
    };
    let spoilt = run_search(&*model, key, &[b"lwse?".to_vec()], &|| 1, &|| false);
    assert!(matches!(spoilt, Err(Stopped::Failed(words)) if words.contains("can't be read")));
}
