//! Every demo file is read by the parser and accepted by the schema that is made from the same
//! tables; `jsonschema` judges the schema from outside.

use leanwright_design::{job_schema, parse_job, parse_vehicle, vehicle_schema};
use std::path::{Path, PathBuf};

fn files(below: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../demo-jobs")
        .join(below);
    let mut found: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap_or_else(|error| panic!("{}: {error}", folder.display()))
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    found.sort();
    found
}

fn accepted(schema: &serde_json::Value, path: &Path) {
    let text = std::fs::read_to_string(path).expect("a demo file is read");
    let value: serde_json::Value = serde_json::from_str(&text).expect("a demo file is JSON");
    let validator = jsonschema::validator_for(schema).expect("a schema");
    let errors: Vec<String> = validator
        .iter_errors(&value)
        .map(|e| e.to_string())
        .collect();
    assert!(errors.is_empty(), "{}: {errors:?}", path.display());
}

#[test]
fn every_demo_vehicle_is_read_and_fits_the_schema() {
    let found = files("vehicles");
    assert!(
        found.len() >= 3,
        "one file per coupling and an asymmetric one: {found:?}"
    );
    for path in found {
        let text = std::fs::read_to_string(&path).unwrap();
        let vehicle = parse_vehicle(&text).unwrap_or_else(|f| panic!("{}: {f:#?}", path.display()));
        accepted(&vehicle_schema(), &path);
        let again = serde_json::to_string(&vehicle).unwrap();
        assert_eq!(
            parse_vehicle(&again).unwrap(),
            vehicle,
            "{}",
            path.display()
        );
    }
}

#[test]
fn every_demo_job_is_read_and_fits_the_schema() {
    let found = files("");
    assert!(found.len() >= 2, "{found:?}");
    for path in found {
        let text = std::fs::read_to_string(&path).unwrap();
        let job = parse_job(&text).unwrap_or_else(|f| panic!("{}: {f:#?}", path.display()));
        accepted(&job_schema(), &path);
        let again = serde_json::to_string(&job).unwrap();
        assert_eq!(parse_job(&again).unwrap(), job, "{}", path.display());
    }
}

#[test]
fn both_schemas_are_valid_json_schema() {
    for schema in [job_schema(), vehicle_schema()] {
        assert!(jsonschema::meta::is_valid(&schema));
    }
}
