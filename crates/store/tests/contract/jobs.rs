//! Jobs as their callers see them.

use super::*;
use leanwright_store::{Error, JobFilter, JobState};

pub async fn a_job_comes_back_as_it_was_submitted(place: impl Place) {
    let world = World::new(place).await;
    let mut new = new_job(3, 5);
    new.labels = vec!["b".into(), "a".into(), "b".into()];
    new.priority = Priority::Background;
    new.keep_days = Some(7);
    let before = world.store.now().await.unwrap();
    let submitted = world.store.submit(&new).await.unwrap();
    assert!(submitted.created);
    let job = world.store.job(&submitted.id).await.unwrap();
    assert_eq!(
        (job.name.as_str(), job.caller.as_str()),
        ("Rod ends", "local")
    );
    assert_eq!(job.labels, ["a", "b"]);
    assert_eq!((job.islands, job.epochs, job.planned), (3, 5, 1_000));
    assert_eq!(
        (job.state, job.paused, job.priority),
        (JobState::Queued, false, Priority::Background)
    );
    assert_eq!(
        (job.keep_days, job.build, job.started_at, job.finished_at),
        (Some(7), None, None, None)
    );
    assert!(job.created_at >= before);
    assert_eq!(world.store.input(&submitted.id).await.unwrap(), new.input);
}

pub async fn the_same_key_and_body_give_the_first_job(place: impl Place) {
    let world = World::new(place).await;
    let mut new = new_job(1, 1);
    new.idempotency_key = Some("k".into());
    let first = world.store.submit(&new).await.unwrap();
    let second = world.store.submit(&new).await.unwrap();
    assert_eq!(first.id, second.id);
    assert!(first.created && !second.created);
    assert_eq!(
        world
            .store
            .jobs(&JobFilter::default())
            .await
            .unwrap()
            .jobs
            .len(),
        1
    );
}

pub async fn the_same_key_with_another_body_is_refused(place: impl Place) {
    let world = World::new(place).await;
    let mut new = new_job(1, 1);
    new.idempotency_key = Some("k".into());
    let first = world.store.submit(&new).await.unwrap();
    new.input = b"{\"a\":2}".to_vec();
    match world.store.submit(&new).await {
        Err(Error::KeyReused { first: named }) => assert_eq!(named, first.id),
        other => panic!("{other:?}"),
    }
}

pub async fn a_key_belongs_to_its_caller(place: impl Place) {
    let world = World::new(place).await;
    let mut new = new_job(1, 1);
    new.idempotency_key = Some("k".into());
    world.store.submit(&new).await.unwrap();
    new.caller = "another".into();
    assert!(world.store.submit(&new).await.unwrap().created);
}

pub async fn open_jobs_are_limited_per_caller(place: impl Place) {
    let world = World::with(place, |options| options.open_jobs = 2).await;
    let first = world.submit(1, 1).await;
    world.submit(1, 1).await;
    match world.store.submit(&new_job(1, 1)).await {
        Err(Error::TooManyJobs { open: 2, limit: 2 }) => {}
        other => panic!("{other:?}"),
    }
    let mut another = new_job(1, 1);
    another.caller = "another".into();
    world.store.submit(&another).await.unwrap();
    world.store.cancel(&first).await.unwrap();
    world.submit(1, 1).await;
}

pub async fn bad_values_are_named(place: impl Place) {
    let world = World::new(place).await;
    let mut wrong: Vec<(&str, NewJob)> =
        vec![("islands", new_job(0, 1)), ("epochs", new_job(1, 0))];
    wrong.push((
        "labels",
        NewJob {
            labels: vec!["x".repeat(101)],
            ..new_job(1, 1)
        },
    ));
    wrong.push((
        "labels",
        NewJob {
            labels: (0..21).map(|n| n.to_string()).collect(),
            ..new_job(1, 1)
        },
    ));
    wrong.push((
        "idempotency_key",
        NewJob {
            idempotency_key: Some("k".repeat(201)),
            ..new_job(1, 1)
        },
    ));
    wrong.push((
        "name",
        NewJob {
            name: "rod\0ends".into(),
            ..new_job(1, 1)
        },
    ));
    wrong.push((
        "labels",
        NewJob {
            labels: vec!["\0".into()],
            ..new_job(1, 1)
        },
    ));
    for (expected, new) in wrong {
        match world.store.submit(&new).await {
            Err(Error::Invalid { field, .. }) => assert_eq!(field, expected),
            other => panic!("{expected}: {other:?}"),
        }
    }
    for filter in [
        JobFilter {
            cursor: Some("x".into()),
            ..JobFilter::default()
        },
        JobFilter {
            limit: 201,
            ..JobFilter::default()
        },
        JobFilter {
            name: Some("\0".into()),
            ..JobFilter::default()
        },
    ] {
        assert!(matches!(
            world.store.jobs(&filter).await,
            Err(Error::Invalid { .. })
        ));
    }
}

pub async fn pages_hold_every_job_once(place: impl Place) {
    let world = World::new(place).await;
    let mut ids = vec![];
    for _ in 0..7 {
        ids.push(world.submit(1, 1).await);
    }
    ids.reverse();
    let mut seen = vec![];
    let mut filter = JobFilter {
        limit: 3,
        ..JobFilter::default()
    };
    loop {
        let page = world.store.jobs(&filter).await.unwrap();
        seen.extend(page.jobs.into_iter().map(|job| job.id));
        // A job that arrives between two pages moves nothing on the pages after.
        world.submit(1, 1).await;
        filter.cursor = page.next;
        if filter.cursor.is_none() {
            break;
        }
    }
    assert_eq!(seen, ids);
}

pub async fn days_to_keep_a_job_can_change(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    let job = world.store.set_keep_days(&id, Some(3)).await.unwrap();
    assert_eq!(job.keep_days, Some(3));
    let refused = world.store.set_keep_days(&id, Some(0)).await;
    assert!(matches!(
        refused,
        Err(Error::Invalid {
            field: "keep_days",
            ..
        })
    ));
    world.store.cancel(&id).await.unwrap();
    let job = world.store.set_keep_days(&id, None).await.unwrap();
    assert_eq!(job.keep_days, None);
}

pub async fn filters_choose(place: impl Place) {
    let world = World::new(place).await;
    let plain = world.submit(1, 1).await;
    let named = NewJob {
        name: "Half_of 50 %".into(),
        labels: vec!["spring".into()],
        ..new_job(1, 1)
    };
    let named = world.store.submit(&named).await.unwrap().id;
    let foreign = NewJob {
        caller: "another".into(),
        ..new_job(1, 1)
    };
    let foreign = world.store.submit(&foreign).await.unwrap().id;
    let child = NewJob {
        parent: Some(plain.clone()),
        caller: "a third".into(),
        ..new_job(1, 1)
    };
    let child = world.store.submit(&child).await.unwrap().id;
    world.store.cancel(&child).await.unwrap();
    let of_plain = JobFilter {
        parent: Some(plain.clone()),
        ..JobFilter::default()
    };
    let found = world.store.jobs(&of_plain).await.unwrap().jobs;
    assert_eq!(found.len(), 1);
    assert_eq!(
        (&found[0].id, &found[0].parent),
        (&child, &Some(plain.clone()))
    );
    world.store.delete(&child).await.unwrap();
    world.store.cancel(&plain).await.unwrap();
    let all = JobFilter::default();
    let cases = [
        (
            JobFilter {
                label: Some("spring".into()),
                ..all.clone()
            },
            vec![&named],
        ),
        (
            JobFilter {
                label: Some("autumn".into()),
                ..all.clone()
            },
            vec![],
        ),
        (
            JobFilter {
                state: Some(JobState::Cancelled),
                ..all.clone()
            },
            vec![&plain],
        ),
        (
            JobFilter {
                state: Some(JobState::Queued),
                ..all.clone()
            },
            vec![&foreign, &named],
        ),
        (
            JobFilter {
                caller: Some("another".into()),
                ..all.clone()
            },
            vec![&foreign],
        ),
        (
            JobFilter {
                name: Some("half_of 50 %".into()),
                ..all.clone()
            },
            vec![&named],
        ),
        (
            JobFilter {
                name: Some("half%".into()),
                ..all.clone()
            },
            vec![],
        ),
        (
            JobFilter {
                name: Some("rod".into()),
                ..all.clone()
            },
            vec![&foreign, &plain],
        ),
    ];
    for (filter, expected) in cases {
        let page = world.store.jobs(&filter).await.unwrap();
        assert_eq!(
            page.jobs.iter().map(|job| &job.id).collect::<Vec<_>>(),
            expected,
            "{filter:?}"
        );
    }
}

pub async fn cancelling_is_final_and_repeatable(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(2, 1).await;
    let job = world.store.cancel(&id).await.unwrap();
    assert_eq!(job.state, JobState::Cancelled);
    assert!(job.finished_at.is_some());
    assert_eq!(world.store.cancel(&id).await.unwrap(), job);
    assert!(world.nothing_to_claim().await);
    for refused in [
        world.store.set_paused(&id, true).await,
        world.store.set_priority(&id, Priority::Urgent).await,
    ] {
        assert!(
            matches!(
                refused,
                Err(Error::Finished {
                    state: "cancelled",
                    ..
                })
            ),
            "{refused:?}"
        );
    }
}

pub async fn a_finished_job_is_final_by_sql(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    world.store.cancel(&id).await.unwrap();
    let forced = world
        .place
        .raw(format!(
            "UPDATE jobs SET state = 'running', finished_at = NULL WHERE id = '{id}'"
        ))
        .await;
    let fault = forced.unwrap_err().to_string();
    assert!(fault.contains("a finished job is final"), "{fault}");
}

pub async fn labels_are_replaced(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    let labels = |words: &[&str]| {
        words
            .iter()
            .map(|word| (*word).to_owned())
            .collect::<Vec<_>>()
    };
    world
        .store
        .set_labels(&id, &labels(&["one", "two"]))
        .await
        .unwrap();
    world.store.cancel(&id).await.unwrap();
    let job = world
        .store
        .set_labels(&id, &labels(&["three", "two"]))
        .await
        .unwrap();
    assert_eq!(job.labels, ["three", "two"]);
}

pub async fn deleting_takes_all_with_it(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(2, 2).await;
    let claim = world.claim("a").await;
    complete(&world, &claim, 2, 2).await;
    world.store.delete(&id).await.unwrap();
    assert!(matches!(
        world.store.job(&id).await,
        Err(Error::NotFound { .. })
    ));
    for table in ["slices", "checkpoints", "events", "labels"] {
        // A delete of nothing counts the rows that were left behind.
        assert_eq!(
            world
                .place
                .raw(format!("DELETE FROM {table}"))
                .await
                .unwrap(),
            0,
            "{table}"
        );
    }
    assert!(matches!(
        world.store.delete(&id).await,
        Err(Error::NotFound { .. })
    ));
}

pub async fn expired_jobs_go(place: impl Place) {
    let world = World::new(place).await;
    let kept = world.submit(1, 1).await;
    let short = NewJob {
        keep_days: Some(2),
        ..new_job(1, 1)
    };
    let short = world.store.submit(&short).await.unwrap().id;
    for id in [&kept, &short] {
        world.store.cancel(id).await.unwrap();
    }
    assert_eq!(world.store.delete_expired().await.unwrap(), 0);
    world
        .place
        .raw("UPDATE jobs SET finished_at = finished_at - 172800001".into())
        .await
        .unwrap();
    assert_eq!(world.store.delete_expired().await.unwrap(), 1);
    assert!(world.store.job(&kept).await.is_ok());
    assert!(world.store.job(&short).await.is_err());
}

pub async fn events_count_without_gaps(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 2).await;
    let claim = world.claim("a").await;
    world
        .store
        .progress(&claim, b"{\"evaluations\":1}")
        .await
        .unwrap();
    world.store.set_paused(&id, true).await.unwrap();
    world.store.set_paused(&id, true).await.unwrap();
    world.store.set_paused(&id, false).await.unwrap();
    world.store.cancel(&id).await.unwrap();
    let events = world.store.events(&id, 0, 100).await.unwrap();
    let kinds: Vec<_> = events.iter().map(|event| event.kind.as_str()).collect();
    assert_eq!(
        kinds,
        [
            "submitted",
            "started",
            "progress",
            "paused",
            "resumed",
            "cancelled"
        ]
    );
    assert!(
        events
            .iter()
            .zip(1..)
            .all(|(event, number)| event.number == number)
    );
    assert_eq!(events[2].body, b"{\"evaluations\":1}");
    let later = world.store.events(&id, 4, 100).await.unwrap();
    assert_eq!(later, events[4..]);
    assert_eq!(world.store.events(&id, 4, 1).await.unwrap(), events[4..5]);
    assert_eq!(world.store.job(&id).await.unwrap().last_event, 6);
}

pub async fn progress_is_written_once_a_second(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    let claim = world.claim("a").await;
    assert!(world.store.progress(&claim, b"1").await.unwrap());
    world
        .place
        .raw("UPDATE jobs SET progress_at = progress_at + 3600000".into())
        .await
        .unwrap();
    assert!(!world.store.progress(&claim, b"2").await.unwrap());
    world
        .place
        .raw("UPDATE jobs SET progress_at = progress_at - 3601001".into())
        .await
        .unwrap();
    assert!(world.store.progress(&claim, b"3").await.unwrap());
    assert_eq!(
        world.store.job(&id).await.unwrap().progress.as_deref(),
        Some(&b"3"[..])
    );
}

pub async fn an_unknown_job_is_not_found(place: impl Place) {
    let world = World::new(place).await;
    let id = JobId::parse("0123456789abcdef").unwrap();
    assert!(matches!(
        world.store.job(&id).await,
        Err(Error::NotFound { .. })
    ));
    assert!(matches!(
        world.store.input(&id).await,
        Err(Error::NotFound { .. })
    ));
    assert!(matches!(
        world.store.cancel(&id).await,
        Err(Error::NotFound { .. })
    ));
    assert!(matches!(
        world.store.events(&id, 0, 1).await,
        Err(Error::NotFound { .. })
    ));
    assert!(matches!(
        world.store.front(&id).await,
        Err(Error::NotFound { .. })
    ));
    assert!(matches!(
        world.store.candidate(&id, 0).await,
        Err(Error::NotFound { .. })
    ));
    assert!(matches!(
        world.store.set_paused(&id, true).await,
        Err(Error::NotFound { .. })
    ));
}
