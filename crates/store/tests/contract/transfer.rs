//! A finished job out of one store and into another.

use super::*;
use leanwright_store::{Error, Exported, JobState, Published};

/// Runs a job of one island and two epochs to its end, and leaves the bytes of a hard case in it.
pub async fn finished<P: Place>(world: &World<P>) -> JobId {
    let job = NewJob {
        name: "Ends – \"of\" rods".into(),
        labels: vec!["b".into(), "a".into()],
        input: b"{\"a\": 1.50}\n".to_vec(),
        starts: Some(vec![0, 159, 146, 150]),
        idempotency_key: Some("key".into()),
        parent: JobId::parse("00f1e2d3c4b5a697"),
        keep_days: Some(3),
        ..new_job(1, 2)
    };
    let id = world.store.submit(&job).await.unwrap().id;
    for _ in 0..2 {
        let claim = world.claim("a").await;
        world
            .store
            .progress(&claim, b"{\"figures\":1}")
            .await
            .unwrap();
        complete(world, &claim, 1, 2).await;
    }
    let claim = world.claim("a").await;
    let result = Published {
        front: b"{\"front\": [0.1]}".to_vec(),
        candidates: vec![b"zero".to_vec(), vec![0xff, 0, 1]],
        event: b"{\"candidates\":2}".to_vec(),
    };
    world.store.publish(&claim, &result).await.unwrap();
    id
}

/// What is exported again of an import is what was imported, apart from when it came.
pub fn as_it_left(mut exported: Exported) -> Exported {
    exported.job.imported_at = None;
    exported
}

pub async fn an_exported_job_comes_back_with_nothing_changed(place: impl Place) {
    let world = World::new(place).await;
    let id = finished(&world).await;
    let exported = world.store.export(&id).await.unwrap();
    assert_eq!(exported.job.state, JobState::Done);
    assert_eq!(exported.events.len() as u64, exported.job.last_event);
    assert_eq!(
        exported.checkpoints.len(),
        1,
        "the last epoch of one island"
    );
    assert_eq!(exported.inputs.starts, Some(vec![0, 159, 146, 150]));

    match world.store.import(&exported).await {
        Err(Error::Refused { reason }) => assert!(reason.contains("here already"), "{reason}"),
        other => panic!("{other:?}"),
    }
    assert_eq!(world.store.export(&id).await.unwrap(), exported);

    world.store.delete(&id).await.unwrap();
    assert_eq!(world.store.import(&exported).await.unwrap(), id);
    let again = world.store.export(&id).await.unwrap();
    assert!(again.job.imported_at.is_some());
    assert_eq!(as_it_left(again), exported);
    // A longer run goes on from it as from the first.
    let longer = NewJob {
        input: b"longer".to_vec(),
        ..new_job(1, 3)
    };
    let longer = world.store.extend(&id, "build-1", &longer).await.unwrap();
    let claim = world.claim("a").await;
    assert_eq!((claim.job, claim.key), (longer.id, key(2, 0)));
}

pub async fn jobs_that_failed_or_were_cancelled_are_carried_too(place: impl Place) {
    let world = World::new(place).await;
    for failed in [true, false] {
        let id = world.submit(2, 3).await;
        if failed {
            let claim = world.claim("a").await;
            world.store.fail(&claim, "it hung", b"{}").await.unwrap();
        } else {
            world.store.cancel(&id).await.unwrap();
        }
        let exported = world.store.export(&id).await.unwrap();
        assert_eq!(exported.result, None);
        world.store.delete(&id).await.unwrap();
        world.store.import(&exported).await.unwrap();
        let again = world.store.export(&id).await.unwrap();
        assert_eq!(as_it_left(again), exported);
    }
    assert!(world.nothing_to_claim().await);
}

pub async fn an_open_job_is_not_exported(place: impl Place) {
    let world = World::new(place).await;
    let id = world.submit(1, 1).await;
    for state in ["queued", "running"] {
        match world.store.export(&id).await {
            Err(Error::Refused { reason }) => assert!(reason.contains(state), "{reason}"),
            other => panic!("{other:?}"),
        }
        if state == "queued" {
            world.claim("a").await;
        }
    }
}

pub async fn what_is_no_whole_job_is_not_taken_in(place: impl Place) {
    let world = World::new(place).await;
    let id = finished(&world).await;
    let whole = world.store.export(&id).await.unwrap();
    world.store.delete(&id).await.unwrap();
    type Spoil = fn(&mut Exported);
    let cases: [(&str, Spoil); 14] = [
        ("state", |e| e.job.state = JobState::Running),
        ("kind", |e| e.job.kind = "tea".into()),
        ("islands", |e| e.job.islands = 0),
        ("epochs", |e| e.job.epochs = 0),
        ("finished_at", |e| e.job.finished_at = None),
        ("planned", |e| e.job.planned = u64::MAX),
        ("front", |e| e.result = None),
        ("front", |e| {
            e.result.as_mut().unwrap().front.body.push(b' ')
        }),
        ("input", |e| e.inputs.input.push(b' ')),
        ("name", |e| e.job.name.push('\0')),
        ("keep_days", |e| e.job.keep_days = Some(0)),
        ("labels", |e| e.job.labels.push(String::new())),
        ("events", |e| e.events[1].number = 7),
        ("checkpoints", |e| e.checkpoints[0].key.epoch = 2),
    ];
    for (place, spoil) in cases {
        let mut spoilt = whole.clone();
        spoil(&mut spoilt);
        match world.store.import(&spoilt).await {
            Err(Error::Invalid { field, message }) => assert_eq!(field, place, "{message}"),
            other => panic!("{place}: {other:?}"),
        }
    }
    let fewer = Exported {
        events: whole.events[1..].to_vec(),
        ..whole.clone()
    };
    let twice = Exported {
        checkpoints: [whole.checkpoints.clone(), whole.checkpoints.clone()].concat(),
        ..whole.clone()
    };
    for spoilt in [fewer, twice] {
        let refused = world.store.import(&spoilt).await;
        assert!(matches!(refused, Err(Error::Invalid { .. })), "{refused:?}");
    }
    assert!(matches!(
        world.store.job(&id).await,
        Err(Error::NotFound { .. })
    ));
    world.store.import(&whole).await.unwrap();
}

pub async fn two_imports_at_once_make_one_job(place: impl Place) {
    let world = World::new(place).await;
    let id = finished(&world).await;
    let whole = world.store.export(&id).await.unwrap();
    for _ in 0..10 {
        world.store.delete(&id).await.unwrap();
        let imports = [0; 4].map(|_| {
            let (store, whole) = (world.store.clone(), whole.clone());
            tokio::spawn(async move { store.import(&whole).await })
        });
        let mut taken = 0;
        for import in imports {
            match import.await.unwrap() {
                Ok(_) => taken += 1,
                Err(Error::Refused { .. }) => {}
                Err(fault) => panic!("{fault}"),
            }
        }
        assert_eq!(taken, 1);
        assert_eq!(as_it_left(world.store.export(&id).await.unwrap()), whole);
    }
}

/// The days of an old job count from its coming, else it would go as soon as it came.
pub async fn an_imported_job_is_kept_its_days_anew(place: impl Place) {
    let world = World::new(place).await;
    let id = finished(&world).await;
    let mut old = world.store.export(&id).await.unwrap();
    world.store.delete(&id).await.unwrap();
    old.job.finished_at = Some(1_000_000_000_000);
    world.store.import(&old).await.unwrap();
    assert_eq!(world.store.delete_expired().await.unwrap(), 0);
    let days = 4 * 86_400_000_i64;
    let past = format!("UPDATE jobs SET imported_at = imported_at - {days} WHERE id = '{id}'");
    world.place.raw(past).await.unwrap();
    assert_eq!(world.store.delete_expired().await.unwrap(), 1);
}
