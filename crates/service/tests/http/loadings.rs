//! States of loading, boxes and joints of a vehicle over HTTP.

use axum::http::{HeaderValue, Method, StatusCode};
use design::{Reach, assessment_in, in_each_loading, parse_vehicle};
use leanwright_service::Kind;
use serde_json::{Value, json};

use crate::world::{Answer, World, get_with};

const LOAD_BED: &str = include_str!("../../../../demo-jobs/vehicles/orchard-hauler-load-bed.json");

fn load_bed() -> Value {
    serde_json::from_str(LOAD_BED).unwrap()
}

#[tokio::test]
async fn curves_of_one_state_and_of_all() {
    let world = World::new().await;
    let parsed = parse_vehicle(LOAD_BED).unwrap();
    let body = json!({"vehicle": load_bed(), "loading": "empty", "pictures": ["error_map"]});
    let answer = world.post("/v1/assessments", body.to_string()).await.json();
    let expected = assessment_in(&parsed, &Reach::default(), Some("empty")).unwrap();
    assert_eq!(answer["curves"], json!(expected.curves));
    assert_eq!(answer["stops"], json!(expected.stops));
    assert_eq!(answer["loading"], "empty");
    let drawn = world.post(
        "/v1/assessments",
        json!({"vehicle": load_bed(), "pictures": ["error_map"]}).to_string(),
    );
    let drawn = drawn.await.json();
    assert_ne!(answer["pictures"][0]["svg"], drawn["pictures"][0]["svg"]);
    assert_eq!(
        answer["quantities"], drawn["quantities"],
        "the worst over all states"
    );
    let named = |q: &Value| q["state"].is_string();
    assert!(drawn["quantities"].as_array().unwrap().iter().any(named));

    let names = ["steer_over_lean", "front_view"];
    let body = json!({"vehicle": load_bed(), "loadings": true, "pictures": names});
    let answer = world.post("/v1/assessments", body.to_string()).await.json();
    let expected = in_each_loading(&parsed, &Reach::default()).unwrap();
    assert_eq!(answer["loadings"], json!(expected));
    for picture in answer["pictures"].as_array().unwrap() {
        for state in ["as drawn", "rider alone", "empty"] {
            assert!(picture["svg"].as_str().unwrap().contains(state), "{state}");
        }
    }
}

#[tokio::test]
async fn states_that_cannot_be_shown() {
    let world = World::new().await;
    let faults = async |fields: Value| {
        let mut body = json!({"vehicle": load_bed()});
        let all = body.as_object_mut().unwrap();
        all.extend(fields.as_object().unwrap().clone());
        let answer = world.post("/v1/assessments", body.to_string()).await;
        answer.problem(Kind::BadInput).faults
    };
    let unknown = faults(json!({"loading": "rider"})).await;
    assert_eq!(
        (unknown[0].pointer.as_str(), unknown.len()),
        ("/loading", 1)
    );
    assert_eq!(unknown[0].allowed, "as drawn, rider alone, empty");
    for beside in [json!({"loading": "empty"}), json!({"against": load_bed()})] {
        let mut fields = beside.clone();
        fields["loadings"] = json!(true);
        let found = faults(fields).await;
        let field = format!("/{}", beside.as_object().unwrap().keys().next().unwrap());
        assert_eq!(found[0].pointer, field);
    }
    let mut other = load_bed();
    other.as_object_mut().unwrap().remove("loadings");
    let body = json!({"against": other, "loading": "empty", "pictures": ["front_view"]});
    assert_eq!(faults(body).await[0].pointer, "/against/loading");
    let body = json!({"vehicle": load_bed(), "loading": "empty"});
    let refused = report(&world, &body).await;
    assert_eq!(
        refused.problem(Kind::BadInput).faults[0].pointer,
        "/loading"
    );
    let answer = report(&world, &json!({"vehicle": load_bed()})).await;
    let shown = answer.text();
    assert!(shown.contains("States of loading over one another"));
    assert!(shown.contains("mean travel, mm") && shown.contains("Rider alone"));
}

async fn report(world: &World, body: &Value) -> Answer {
    let mut request = get_with("/v1/assessments", "accept", "text/html");
    *request.method_mut() = Method::POST;
    let form = HeaderValue::from_static("application/json");
    request.headers_mut().insert("content-type", form);
    *request.body_mut() = body.to_string().into();
    world.ask(request).await
}

/// What a caller must know to mend a box or a joint: the field, the pose, what is allowed.
#[tokio::test]
async fn boxes_in_the_way_and_joints_unknown() {
    let world = World::new().await;
    let fault = async |place: &str, value: Value| {
        let mut vehicle = load_bed();
        match vehicle.pointer_mut(place) {
            Some(given) => *given = value,
            None => vehicle[&place[1..]] = value,
        }
        let answer = world
            .post("/v1/assessments", json!({"vehicle": vehicle}).to_string())
            .await;
        let problem = answer.problem(Kind::BadInput);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        problem.faults[0].clone()
    };
    let wheel = fault("/shapes/boxes/1/centre_mm", json!([0, 395, 250])).await;
    assert_eq!(wheel.pointer, "/vehicle/shapes/boxes/1");
    for word in ["load bed", "left tyre", "design pose", "lean 0°, steer 0°"] {
        assert!(wheel.message.contains(word), "{wheel:?}");
    }
    assert_eq!(wheel.value, "a box about [0.0, 395.0, 250.0] mm");
    let joint = fault("/joints", json!({"inner_rod_end": "eye 9"})).await;
    assert_eq!(joint.pointer, "/vehicle/joints/inner_rod_end");
    assert!(joint.message.contains("\"eye 8\"") && joint.allowed.contains("wide eye 10"));
    let own = |field: &str, value: Value| {
        let mut joint = json!({"name": "own", "kind": "rod_end", "angle_deg": 20,
            "static_rating_n": 5000, "diameter_mm": 20, "mass_kg": 0.05});
        joint[field] = value;
        json!([joint])
    };
    for (field, value, allowed) in [
        ("kind", json!("rod end"), "rod_end"),
        ("angle_deg", json!(95), "below 90"),
        ("static_rating_n", json!(-5), "N"),
        ("mass_kg", json!(-1), "above 0 and at most 20 kg"),
        ("colour", json!("red"), "static_rating_n"),
    ] {
        let found = fault("/joint_catalogue", own(field, value)).await;
        assert_eq!(found.pointer, format!("/vehicle/joint_catalogue/0/{field}"));
        assert!(found.allowed.contains(allowed), "{found:?}");
    }
    let mut cut = own("name", json!("own"));
    cut[0].as_object_mut().unwrap().remove("static_rating_n");
    let found = fault("/joint_catalogue", cut).await;
    assert_eq!(found.pointer, "/vehicle/joint_catalogue/0/static_rating_n");
}
