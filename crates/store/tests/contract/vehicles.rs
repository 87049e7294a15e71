//! Vehicles that callers keep.

use super::*;
use leanwright_store::{Error, NewVehicle, NewVersion, VehicleChange, VehicleFilter, VehicleId};

fn new_version(text: &str) -> NewVersion {
    NewVersion {
        body: text.as_bytes().to_vec(),
        note: format!("note on {text}"),
        origin: None,
    }
}

fn new_vehicle(name: &str) -> NewVehicle {
    NewVehicle {
        caller: "local".into(),
        name: name.into(),
        notes: "stands in the barn".into(),
        labels: vec!["b".into(), "a".into(), "b".into()],
        first: NewVersion {
            origin: Some(b"{\"job\":1}".to_vec()),
            ..new_version("first")
        },
    }
}

fn nobody() -> VehicleId {
    VehicleId::parse("0123456789abcdef").unwrap()
}

pub async fn a_vehicle_comes_back_as_it_was_saved(place: impl Place) {
    let world = World::new(place).await;
    let before = world.store.now().await.unwrap();
    let saved = world
        .store
        .save_vehicle(&new_vehicle("Hauler"))
        .await
        .unwrap();
    assert_eq!(saved, world.store.vehicle(&saved.id).await.unwrap());
    assert_eq!(
        (saved.name.as_str(), saved.caller.as_str()),
        ("Hauler", "local")
    );
    assert_eq!(saved.notes, "stands in the barn");
    assert_eq!(saved.labels, ["a", "b"]);
    assert_eq!((saved.versions, saved.revision), (1, 1));
    assert!(saved.created_at >= before && saved.changed_at >= before);
    let versions = world.store.versions(&saved.id).await.unwrap();
    assert_eq!(versions.len(), 1);
    assert_eq!(versions[0].note, "note on first");
    assert_eq!(versions[0].origin.as_deref(), Some(&b"{\"job\":1}"[..]));
    let file = world.store.version(&saved.id, 1).await.unwrap();
    assert_eq!(
        (file.body.as_slice(), &file.sha256),
        (&b"first"[..], &versions[0].sha256)
    );
}

pub async fn versions_pile_up_and_never_change(place: impl Place) {
    let world = World::new(place).await;
    let saved = world
        .store
        .save_vehicle(&new_vehicle("Hauler"))
        .await
        .unwrap();
    for number in 2..=4 {
        let text = format!("version {number}");
        let made = world
            .store
            .save_version(&saved.id, &new_version(&text), None)
            .await;
        assert_eq!(made.unwrap(), number);
    }
    let now = world.store.vehicle(&saved.id).await.unwrap();
    assert_eq!((now.versions, now.revision), (4, 4));
    let numbers: Vec<u32> = world
        .store
        .versions(&saved.id)
        .await
        .unwrap()
        .iter()
        .map(|v| v.version)
        .collect();
    assert_eq!(numbers, [1, 2, 3, 4]);
    assert_eq!(
        world.store.version(&saved.id, 1).await.unwrap().body,
        b"first"
    );
    assert_eq!(
        world.store.version(&saved.id, 3).await.unwrap().body,
        b"version 3"
    );
}

pub async fn who_saw_an_older_vehicle_changes_nothing(place: impl Place) {
    let world = World::new(place).await;
    let id = world
        .store
        .save_vehicle(&new_vehicle("Hauler"))
        .await
        .unwrap()
        .id;
    let rename = |name: &str| VehicleChange {
        name: Some(name.into()),
        ..VehicleChange::default()
    };
    let first = world
        .store
        .change_vehicle(&id, &rename("Second"), Some(1))
        .await
        .unwrap();
    assert_eq!((first.name.as_str(), first.revision), ("Second", 2));
    let stale = |outcome: Result<(), Error>| match outcome {
        Err(Error::ChangedMeanwhile { found: 2, .. }) => {}
        other => panic!("{other:?}"),
    };
    stale(
        world
            .store
            .change_vehicle(&id, &rename("Third"), Some(1))
            .await
            .map(drop),
    );
    stale(
        world
            .store
            .save_version(&id, &new_version("x"), Some(1))
            .await
            .map(drop),
    );
    stale(world.store.delete_vehicle(&id, Some(1)).await);
    assert_eq!(world.store.vehicle(&id).await.unwrap(), first);
    assert_eq!(
        world
            .store
            .save_version(&id, &new_version("x"), Some(2))
            .await
            .unwrap(),
        2
    );
}

pub async fn two_versions_saved_at_once_have_two_numbers(place: impl Place) {
    let world = World::new(place).await;
    let id = world
        .store
        .save_vehicle(&new_vehicle("Hauler"))
        .await
        .unwrap()
        .id;
    let save = |text: &'static str| {
        let (store, id) = (world.store.clone(), id.clone());
        tokio::spawn(async move {
            store
                .save_version(&id, &new_version(text), None)
                .await
                .unwrap()
        })
    };
    let mut made = vec![];
    for task in ["a", "b", "c", "d", "e", "f"].map(save) {
        made.push(task.await.unwrap());
    }
    made.sort_unstable();
    assert_eq!(made, [2, 3, 4, 5, 6, 7]);
    // Of two that saw the same state one goes first and the other is told.
    let seen = Some(world.store.vehicle(&id).await.unwrap().revision);
    let race = |text: &'static str| {
        let (store, id) = (world.store.clone(), id.clone());
        tokio::spawn(async move {
            store
                .save_version(&id, &new_version(text), seen)
                .await
                .is_ok()
        })
    };
    let [left, right] = ["left", "right"].map(race);
    assert!(left.await.unwrap() != right.await.unwrap());
}

pub async fn notes_and_labels_change_and_the_rest_stays(place: impl Place) {
    let world = World::new(place).await;
    let saved = world
        .store
        .save_vehicle(&new_vehicle("Hauler"))
        .await
        .unwrap();
    let change = VehicleChange {
        notes: Some(String::new()),
        labels: Some(vec!["sold".into()]),
        ..VehicleChange::default()
    };
    let now = world
        .store
        .change_vehicle(&saved.id, &change, None)
        .await
        .unwrap();
    assert_eq!((now.name.as_str(), now.notes.as_str()), ("Hauler", ""));
    assert_eq!(
        (now.labels, now.versions, now.revision),
        (vec!["sold".to_owned()], 1, 2)
    );
    assert_eq!(now.created_at, saved.created_at);
}

pub async fn pages_of_vehicles_hold_each_once(place: impl Place) {
    let world = World::new(place).await;
    let mut ids = vec![];
    for number in 0..7 {
        let mut new = new_vehicle(&format!("Hauler_{number}"));
        if number % 2 == 0 {
            new.labels = vec!["even".into()];
        }
        ids.push(world.store.save_vehicle(&new).await.unwrap().id);
    }
    ids.reverse();
    let mut seen = vec![];
    let mut filter = VehicleFilter {
        limit: 3,
        ..VehicleFilter::default()
    };
    loop {
        let page = world.store.vehicles(&filter).await.unwrap();
        seen.extend(page.vehicles.into_iter().map(|vehicle| vehicle.id));
        // One that comes meanwhile stands before the cursor.
        world
            .store
            .save_vehicle(&new_vehicle("late"))
            .await
            .unwrap();
        match page.next {
            Some(next) => filter.cursor = Some(next),
            None => break,
        }
    }
    assert_eq!(seen, ids);
    let count =
        async |filter: VehicleFilter| world.store.vehicles(&filter).await.unwrap().vehicles.len();
    let named = |name: &str| VehicleFilter {
        name: Some(name.into()),
        ..VehicleFilter::default()
    };
    assert_eq!(count(named("hauler_")).await, 7);
    assert_eq!(count(named("haulerx")).await, 0);
    let labelled = VehicleFilter {
        label: Some("even".into()),
        ..VehicleFilter::default()
    };
    assert_eq!(count(labelled).await, 4);
    let another = VehicleFilter {
        caller: Some("another".into()),
        ..VehicleFilter::default()
    };
    assert_eq!(count(another).await, 0);
}

pub async fn deleting_a_vehicle_takes_its_versions(place: impl Place) {
    let world = World::new(place).await;
    let id = world
        .store
        .save_vehicle(&new_vehicle("Hauler"))
        .await
        .unwrap()
        .id;
    let other = world
        .store
        .save_vehicle(&new_vehicle("Other"))
        .await
        .unwrap()
        .id;
    world.store.delete_vehicle(&id, None).await.unwrap();
    assert!(matches!(
        world.store.vehicle(&id).await,
        Err(Error::NotFound { .. })
    ));
    assert!(matches!(
        world.store.version(&id, 1).await,
        Err(Error::NotFound { .. })
    ));
    for table in ["vehicle_versions", "vehicle_labels"] {
        let left = format!("DELETE FROM {table} WHERE vehicle NOT IN (SELECT seq FROM vehicles)");
        assert_eq!(world.place.raw(left).await.unwrap(), 0);
    }
    assert_eq!(world.store.version(&other, 1).await.unwrap().body, b"first");
}

pub async fn bad_vehicles_are_refused_by_name(place: impl Place) {
    let world = World::new(place).await;
    let refused = async |field: &str, change: fn(&mut NewVehicle)| {
        let mut new = new_vehicle("Hauler");
        change(&mut new);
        match world.store.save_vehicle(&new).await {
            Err(Error::Invalid { field: named, .. }) => assert_eq!(named, field),
            other => panic!("{field}: {other:?}"),
        }
    };
    refused("name", |new| new.name.clear()).await;
    refused("name", |new| new.name = "x".repeat(201)).await;
    refused("name", |new| new.name = "a\0b".into()).await;
    refused("notes", |new| new.notes = "x".repeat(10_001)).await;
    refused("note", |new| new.first.note = "x".repeat(10_001)).await;
    refused("labels", |new| new.labels = vec![String::new()]).await;
    assert!(
        world
            .store
            .vehicles(&VehicleFilter::default())
            .await
            .unwrap()
            .vehicles
            .is_empty()
    );
    let missing = |found: Result<(), Error>| assert!(matches!(found, Err(Error::NotFound { .. })));
    missing(world.store.vehicle(&nobody()).await.map(drop));
    missing(world.store.versions(&nobody()).await.map(drop));
    missing(
        world
            .store
            .save_version(&nobody(), &new_version("x"), None)
            .await
            .map(drop),
    );
    missing(world.store.delete_vehicle(&nobody(), None).await);
}
