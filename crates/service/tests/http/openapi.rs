use std::collections::BTreeSet;

use leanwright_service::openapi_document;
use serde_json::Value;

use crate::world::World;

#[test]
fn the_document_is_the_one_agreed() {
    insta::assert_json_snapshot!("openapi", openapi_document());
}

#[test]
fn every_reference_leads_somewhere() {
    let document = openapi_document();
    let mut references = BTreeSet::new();
    collect(&document, &mut references);
    assert!(references.len() > 10);
    for reference in references {
        let pointer = reference.strip_prefix('#').unwrap();
        assert!(document.pointer(pointer).is_some(), "{reference}");
    }
}

#[test]
fn every_operation_has_a_name_of_its_own() {
    let document = openapi_document();
    let paths = document["paths"].as_object().unwrap().values();
    let operations = paths.flat_map(|path| path.as_object().unwrap().values());
    let names: Vec<&str> = operations
        .map(|operation| operation["operationId"].as_str().unwrap())
        .collect();
    let distinct: BTreeSet<&&str> = names.iter().collect();
    assert_eq!(distinct.len(), names.len(), "{names:?}");
}

fn collect(value: &Value, references: &mut BTreeSet<String>) {
    match value {
        Value::Object(members) => {
            if let Some(Value::String(reference)) = members.get("$ref") {
                references.insert(reference.clone());
            }
            members
                .values()
                .for_each(|value| collect(value, references));
        }
        Value::Array(items) => items.iter().for_each(|value| collect(value, references)),
        _ => {}
    }
}

#[tokio::test]
async fn the_document_schemas_quantities_and_problems_are_served() {
    let world = World::new().await;
    assert_eq!(
        world.get("/v1/openapi.json").await.json(),
        openapi_document()
    );
    assert_eq!(
        world.get("/v1/schema/job").await.json(),
        design::job_schema()
    );
    assert_eq!(
        world.get("/v1/schema/vehicle").await.json(),
        design::vehicle_schema()
    );
    let quantities = world.get("/v1/quantities").await.json();
    assert!(quantities.as_array().unwrap().len() > 20);
    for kind in world.get("/problems").await.json().as_array().unwrap() {
        let reference = kind["type"].as_str().unwrap();
        assert_eq!(world.get(reference).await.json(), *kind);
    }
    assert_eq!(world.get("/v1/workers").await.json(), serde_json::json!([]));
}
