//! `run`: files, equal results, an interrupted store taken up again.

use std::path::Path;
use std::process::{Output, Stdio};
use std::time::Duration;

use serde_json::Value;

use crate::process::{command, demo, leanwright, problem, short_job, signal, stdout_json, wait};

fn run(job: &Path, more: &[&str]) -> Output {
    let output = command().arg("run").arg(job).args(more).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    output
}

#[test]
fn a_run_prints_its_front_and_leaves_its_files() {
    let folder = tempfile::tempdir().unwrap();
    let job = short_job(&folder, 3_000);
    let out = folder.path().join("out/deep");
    let output = run(&job, &["--out", out.to_str().unwrap(), "--json"]);
    let front = stdout_json(&output);
    let count = front["candidates"].as_array().unwrap().len();
    let read = |name: &str| std::fs::read_to_string(out.join(name)).unwrap();
    assert_eq!(
        serde_json::from_str::<Value>(&read("front.json")).unwrap(),
        front
    );
    assert_eq!(read("front.csv").lines().count(), count + 1);
    assert!(read("cautions.txt").contains("Local rules"));
    let points: Value = serde_json::from_str(&read("hardpoints.json")).unwrap();
    let rows = points.as_array().unwrap().len();
    assert_eq!(rows % count, 0);
    assert_eq!(read("hardpoints.csv").lines().count(), rows + 1);
    for name in ["front.parquet", "hardpoints.parquet"] {
        // A Parquet file begins and ends with these four bytes.
        let bytes = std::fs::read(out.join(name)).unwrap();
        assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
    }
    assert_eq!(read("job.json"), std::fs::read_to_string(&job).unwrap());
    let vehicle = out.join("candidate-000.json");
    let assessed = leanwright(["assess", vehicle.to_str().unwrap(), "--json"]);
    assert_eq!(assessed.status.code(), Some(0), "{assessed:?}");
}

#[test]
fn a_fit_is_run_like_a_search_and_leaves_its_report() {
    let folder = tempfile::tempdir().unwrap();
    let job = demo("as-built/orchard-hauler.json");
    let (at_once, queued) = (folder.path().join("at-once"), folder.path().join("queued"));
    let output = run(&job, &["--out", queued.to_str().unwrap(), "--json"]);
    let fit = stdout_json(&output);
    let direct = [
        "fit",
        job.to_str().unwrap(),
        "--out",
        at_once.to_str().unwrap(),
        "--json",
    ];
    assert_eq!(stdout_json(&leanwright(direct)), fit);
    for name in [
        "fit.json",
        "job.json",
        "as-built.json",
        "as-corrected.json",
        "figures.csv",
        "cautions.txt",
        "report.html",
    ] {
        let read = |folder: &Path| std::fs::read_to_string(folder.join(name)).unwrap();
        assert_eq!(read(&queued), read(&at_once), "{name}");
    }
    let figures = fit["figures"].as_array().unwrap().len();
    let table = std::fs::read_to_string(queued.join("figures.csv")).unwrap();
    assert_eq!(table.lines().count(), figures + 1);
    // The corrected machine is a vehicle file like any other.
    let vehicle = queued.join("as-corrected.json");
    let assessed = leanwright(["assess", vehicle.to_str().unwrap(), "--json"]);
    assert_eq!(assessed.status.code(), Some(0), "{assessed:?}");
    let text = String::from_utf8(run(&job, &[]).stdout).unwrap();
    assert!(text.contains("smallest change") && text.contains("right.steering.rod_inner_mm z"));
}

#[test]
fn a_killed_run_goes_on_over_its_store_to_the_same_front() {
    let folder = tempfile::tempdir().unwrap();
    let job = short_job(&folder, 30_000);
    let undisturbed = run(&job, &["--json", "--workers", "2"]).stdout;
    let store = folder.path().join("s.sqlite");
    for _ in 0..3 {
        let mut child = command()
            .arg("run")
            .arg(&job)
            .arg("--store")
            .arg(&store)
            .args(["--workers", "1", "--json"])
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(700));
        let _ = child.kill();
        wait(&mut child);
    }
    let taken_up = run(&job, &["--json", "--store", store.to_str().unwrap()]).stdout;
    assert!(!taken_up.is_empty());
    assert_eq!(taken_up, undisturbed, "not the same bytes");
}

#[test]
fn an_interrupted_run_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = command()
        .arg("run")
        .arg(demo("rod-ends.json"))
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .current_dir(folder.path())
        .spawn()
        .unwrap();
    std::thread::sleep(Duration::from_millis(1_500));
    signal(&child, "TERM");
    assert_eq!(wait(&mut child).code(), Some(6));
    let output = child.wait_with_output().unwrap();
    assert!(String::from_utf8_lossy(&output.stderr).contains("stopped"));
}

#[test]
fn a_job_that_nothing_satisfies_exits_4_and_shows_the_nearest() {
    let folder = tempfile::tempdir().unwrap();
    let path = short_job(&folder, 3_000);
    let mut job: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
    job["requirements"] =
        serde_json::json!([{ "quantity": "turning_radius_kerb_m", "at_most": 0.8 }]);
    std::fs::write(&path, job.to_string()).unwrap();
    let output = command().arg("run").arg(&path).output().unwrap();
    assert_eq!(output.status.code(), Some(4), "{output:?}");
    let table = String::from_utf8(output.stdout).unwrap();
    assert!(table.lines().nth(1).unwrap().starts_with("0 !"), "{table}");
    let remarks = String::from_utf8(output.stderr).unwrap();
    assert!(remarks.contains("turning_radius_kerb_m"), "{remarks}");
}

#[test]
fn a_folder_that_cannot_be_made_is_known_before_the_search() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    std::fs::write(&file, "").unwrap();
    let below = file.join("out");
    let job = demo("rod-ends.json");
    let arguments = [
        job.to_str().unwrap(),
        "--out",
        below.to_str().unwrap(),
        "--json",
    ];
    let output = command().arg("run").args(arguments).output().unwrap();
    problem(&output, 1, "not-written");
}
