//! Vehicles that callers keep.

use axum::body::Body;
use axum::http::{Method, Request, StatusCode, header};
use leanwright_service::{Kind, SavedVehicleList, SavedVehicleStatus};
use serde_json::{Value, json};

use crate::world::{Answer, VEHICLE, World, get_with, post};

fn vehicle() -> Value {
    serde_json::from_str(VEHICLE).unwrap()
}

/// The demo vehicle with its text as it stands in the file.
fn to_save(rest: &str) -> String {
    format!("{{\"vehicle\": {VEHICLE}{rest}}}")
}

async fn saved(world: &World, rest: &str) -> SavedVehicleStatus {
    let answer = world.post("/v1/vehicles", to_save(rest)).await;
    assert_eq!(answer.status, StatusCode::CREATED, "{answer:?}");
    status(&answer)
}

fn status(answer: &Answer) -> SavedVehicleStatus {
    serde_json::from_slice(&answer.body).unwrap()
}

fn with_tag(mut request: Request<Body>, method: Method, tag: &str) -> Request<Body> {
    *request.method_mut() = method;
    let value = tag.parse().unwrap();
    request.headers_mut().insert(header::IF_MATCH, value);
    request
}

#[tokio::test]
async fn a_saved_vehicle_is_read_back_byte_for_byte() {
    let world = World::new().await;
    let from = "{\"job\": \"0123456789abcdef\", \"number\": 3}";
    let rest = format!(
        ", \"notes\": \"in the barn\", \"labels\": [\"spring\"], \"note\": \"as drawn\", \
         \"from\": {from}"
    );
    let answer = world.post("/v1/vehicles", to_save(&rest)).await;
    assert_eq!(answer.status, StatusCode::CREATED);
    let saved = status(&answer);
    assert_eq!(answer.header("location"), saved.link);
    assert_eq!(saved.name, vehicle()["name"].as_str().unwrap());
    assert_eq!((saved.revision, saved.newest_version), (1, 1));
    let one = world.get(&saved.link).await;
    assert_eq!(one.header("etag"), answer.header("etag"));
    assert_eq!(one.body, answer.body);
    let versions = saved.versions.unwrap();
    assert_eq!(versions[0].note, "as drawn");
    assert_eq!(
        json!(versions[0].from),
        serde_json::from_str::<Value>(from).unwrap()
    );

    let file = world.get(&versions[0].link).await;
    assert_eq!(file.text(), VEHICLE.trim_end());
    let again = get_with(&versions[0].link, "if-none-match", file.header("etag"));
    assert_eq!(world.ask(again).await.status, StatusCode::NOT_MODIFIED);
}

#[tokio::test]
async fn versions_of_a_vehicle_stand_beside_each_other() {
    let world = World::new().await;
    let first = saved(&world, "").await;
    let mut changed = vehicle();
    changed["steering"]["rod_outer_mm"][2] = json!(236.5);
    let from = json!({"vehicle": first.id, "version": 1});
    let body = json!({"vehicle": changed, "note": "rods up", "from": from});
    let versions = format!("{}/versions", first.link);
    let answer = world.post(&versions, body.to_string()).await;
    assert_eq!(answer.status, StatusCode::CREATED);
    assert_eq!(answer.header("location"), format!("{versions}/2"));
    let now = status(&answer);
    assert_eq!((now.revision, now.newest_version), (2, 2));
    let rows = now.versions.unwrap();
    assert_eq!((rows.len(), rows[1].note.as_str()), (2, "rods up"));
    assert_eq!(world.get(&rows[1].link).await.json(), changed);
    assert_eq!(world.get(&rows[0].link).await.json(), vehicle());
    world
        .get(&format!("{versions}/3"))
        .await
        .problem(Kind::NotFound);
}

#[tokio::test]
async fn a_change_by_an_old_tag_is_refused() {
    let world = World::new().await;
    let vehicle = saved(&world, "").await;
    let first = world.get(&vehicle.link).await.header("etag").to_owned();
    let change = |body: Value| post(&vehicle.link, body.to_string());
    let rename = |name: &str| change(json!({"name": name}));
    let done = world
        .ask(with_tag(rename("Second frame"), Method::PATCH, &first))
        .await;
    assert_eq!(done.status, StatusCode::OK, "{done:?}");
    assert_eq!(status(&done).name, "Second frame");
    let refused = world
        .ask(with_tag(rename("Third frame"), Method::PATCH, &first))
        .await;
    refused.problem(Kind::ChangedMeanwhile);
    let version = post(&format!("{}/versions", vehicle.link), to_save(""));
    let refused = world.ask(with_tag(version, Method::POST, &first)).await;
    refused.problem(Kind::ChangedMeanwhile);
    let gone = with_tag(post(&vehicle.link, ""), Method::DELETE, &first);
    world.ask(gone).await.problem(Kind::ChangedMeanwhile);
    let odd = with_tag(rename("x"), Method::PATCH, "\"seven\"");
    world.ask(odd).await.problem(Kind::BadParameter);

    let now = world.get(&vehicle.link).await;
    assert_eq!(status(&now).name, "Second frame");
    let tag = now.header("etag");
    let gone = world
        .ask(with_tag(post(&vehicle.link, ""), Method::DELETE, tag))
        .await;
    assert_eq!(gone.status, StatusCode::NO_CONTENT);
    world.get(&vehicle.link).await.problem(Kind::NotFound);
}

#[tokio::test]
async fn lists_filter_and_go_on_by_cursor() {
    let world = World::new().await;
    for name in ["oak", "ash", "elm"] {
        saved(
            &world,
            &format!(", \"name\": \"{name}\", \"labels\": [\"tree\"]"),
        )
        .await;
    }
    saved(&world, "").await;
    let list = async |query: &str| -> SavedVehicleList {
        let answer = world.get(&format!("/v1/vehicles{query}")).await;
        serde_json::from_slice(&answer.body).unwrap()
    };
    let names = |list: &SavedVehicleList| -> Vec<String> {
        list.vehicles
            .iter()
            .map(|vehicle| vehicle.name.clone())
            .collect()
    };
    let first = list("?label=tree&limit=2").await;
    assert_eq!(names(&first), ["elm", "ash"]);
    assert!(first.vehicles[0].versions.is_none());
    let cursor = first.next_cursor.unwrap();
    let rest = list(&format!("?label=tree&limit=2&cursor={cursor}")).await;
    assert_eq!(
        (names(&rest), rest.next_cursor),
        (vec!["oak".to_owned()], None)
    );
    assert_eq!(names(&list("?name=OA").await), ["oak"]);
    assert_eq!(list("").await.vehicles.len(), 4);
    for query in ["?limit=0", "?limit=201", "?cursor=x", "?colour=red"] {
        let refused = world.get(&format!("/v1/vehicles{query}")).await;
        refused.problem(Kind::BadParameter);
    }
}

#[tokio::test]
async fn a_faulty_vehicle_is_not_kept() {
    let world = World::new().await;
    let pointed = async |path: &str, body: String, pointer: &str| {
        let problem = world.post(path, body).await.problem(Kind::BadInput);
        assert_eq!(problem.faults[0].pointer, pointer, "{problem:?}");
    };
    let mut flat = vehicle();
    flat["front_wheels"]["radius_mm"] = json!(-3);
    let body = json!({"vehicle": flat}).to_string();
    pointed(
        "/v1/vehicles",
        body.clone(),
        "/vehicle/front_wheels/radius_mm",
    )
    .await;
    pointed("/v1/vehicles", to_save(", \"name\": \"\""), "/name").await;
    pointed("/v1/vehicles", to_save(", \"labels\": [\"\"]"), "/labels").await;
    let long = "x".repeat(10_001);
    pointed(
        "/v1/vehicles",
        to_save(&format!(", \"notes\": \"{long}\"")),
        "/notes",
    )
    .await;
    pointed(
        "/v1/vehicles",
        to_save(", \"from\": {\"job\": \"0123456789abcdef\"}"),
        "/from",
    )
    .await;
    let kept = saved(&world, "").await;
    let versions = format!("{}/versions", kept.link);
    pointed(&versions, body, "/vehicle/front_wheels/radius_mm").await;
    assert_eq!(
        world.get("/v1/vehicles").await.json()["vehicles"]
            .as_array()
            .unwrap()
            .len(),
        1
    );
    world
        .get("/v1/vehicles/nonsense")
        .await
        .problem(Kind::NotFound);
    world.still_serves().await;
}
