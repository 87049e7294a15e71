//! Every demo file is read by the parser and accepted by the schema that is made from the same
//! tables; `jsonschema` judges the schema from outside.

mod common;

use leanwright_design::{
    Compiled, FindingKind, as_built_schema, fit_as_built, job_schema, parse_as_built, parse_job,
    parse_vehicle, vehicle_schema,
};
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
        found.len() >= 9,
        "one file per layout and coupling, and an asymmetric one: {found:?}"
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
        let compiled = Compiled::new(&job).unwrap_or_else(|f| panic!("{}: {f:#?}", path.display()));
        assert!(
            compiled
                .findings()
                .iter()
                .all(|f| f.kind != FindingKind::SubmittedFails)
        );
    }
}

/// The invented bracket that sits 4 mm high is found, and setting it right is the smallest change.
#[test]
fn every_demo_of_a_machine_as_built_is_read_and_explained() {
    for path in files("as-built") {
        accepted(&as_built_schema(), &path);
        let text = std::fs::read_to_string(&path).expect("a demo file is read");
        let asked = parse_as_built(&text).unwrap_or_else(|faults| panic!("{faults:?}"));
        let fit = fit_as_built(&asked).unwrap_or_else(|faults| panic!("{faults:?}"));
        assert!(fit.explained);
        let remedy = fit.remedy.expect("changes are allowed");
        let largest = remedy
            .changes
            .iter()
            .max_by(|a, b| a.by_mm.abs().total_cmp(&b.by_mm.abs()))
            .expect("changes");
        assert_eq!(largest.of, "right.steering.rod_inner_mm");
        assert!((largest.by_mm + 4.0).abs() < 0.5, "{largest:?}");
        assert!(remedy.misfit[0].fitted < 0.2 * remedy.misfit[0].drawn);
    }
}

#[test]
fn all_schemas_are_valid_json_schema() {
    for schema in [job_schema(), vehicle_schema(), as_built_schema()] {
        assert!(jsonschema::meta::is_valid(&schema));
    }
}

/// The schema refuses what breaks a shape, too; it can't know the rules between fields.
#[test]
fn the_schema_refuses_broken_shapes() {
    let path = files("vehicles")
        .into_iter()
        .find(|path| path.ends_with("orchard-hauler.json"))
        .expect("the first frame");
    let text = std::fs::read_to_string(&path).unwrap();
    let base: serde_json::Value = serde_json::from_str(&text).unwrap();
    let validator = jsonschema::validator_for(&vehicle_schema()).unwrap();
    let rows = include_str!("bad_input/vehicle.txt");
    let shapes = rows.split("# rules").next().unwrap_or_default().lines();
    let mut count = 0;
    for row in shapes.filter(|line| line.starts_with('/')) {
        let columns: Vec<&str> = row.split(" | ").collect();
        let value: serde_json::Value = serde_json::from_str(columns[1]).unwrap();
        let broken = common::changed(&base, &[(columns[0], value)]);
        // A direction of zeros is the one shape that a schema states only in words.
        let zeros = columns[1].contains("[0, 0, 0]");
        assert!(zeros || !validator.is_valid(&broken), "{row}");
        count += 1;
    }
    assert!(count > 20);
}
