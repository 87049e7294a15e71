//! A job as one file: out of one server, into another, and every file that is refused.

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use leanwright_service::{JOB_FILE_TYPE, Kind, Limits};
use serde_json::{Value, json};

use crate::life::{run, short};
use crate::world::{Answer, World};

async fn import(world: &World, file: impl Into<Body>) -> Answer {
    let request = Request::post("/v1/imports")
        .header(header::HOST, "127.0.0.1:8080")
        .header(header::CONTENT_TYPE, JOB_FILE_TYPE)
        .body(file.into())
        .unwrap();
    world.ask(request).await
}

/// A job that speaks of tolerances, run by this build, and its file.
async fn exported(world: &World) -> (String, Vec<u8>) {
    let worker = work::Worker::start(world.app.store(), &work::WorkerOptions::new(2)).unwrap();
    let job = run(
        world,
        "/v1/jobs?labels=old,tried&keep_days=9",
        short(tolerant),
    )
    .await;
    worker.stop().await;
    let id = job["id"].as_str().unwrap().to_owned();
    let file = world.get(&format!("/v1/jobs/{id}/export")).await;
    assert_eq!(file.status, StatusCode::OK, "{file:?}");
    assert_eq!(file.header("content-type"), JOB_FILE_TYPE);
    assert!(file.header("content-disposition").contains(&id));
    (id, file.body)
}

fn tolerant(job: &mut Value) {
    job["tolerance"] = json!({"sigma_mm": 0.3});
    job["search"]["study_points"] = json!(2);
}

/// Everything that a caller can see of a job, but for its state.
async fn seen(world: &World, id: &str) -> Vec<Vec<u8>> {
    let mut seen = vec![];
    for path in [
        "input",
        "front",
        "hardpoints",
        "candidates/0",
        "candidates/0/report",
    ] {
        let answer = world.get(&format!("/v1/jobs/{id}/{path}")).await;
        assert_eq!(answer.status, StatusCode::OK, "{path}: {answer:?}");
        seen.push(answer.body);
    }
    let id = store::JobId::parse(id).unwrap();
    let events = world.app.store().events(&id, 0, 1_000).await.unwrap();
    seen.push(format!("{events:?}").into_bytes());
    seen
}

#[tokio::test(flavor = "multi_thread")]
async fn a_job_moves_to_another_server_with_nothing_changed() {
    let (here, there) = (World::new().await, World::new().await);
    let (id, file) = exported(&here).await;
    let answer = import(&there, file.clone()).await;
    assert_eq!(answer.status, StatusCode::CREATED, "{answer:?}");
    assert_eq!(answer.header("location"), format!("/v1/jobs/{id}"));
    assert_eq!(seen(&there, &id).await, seen(&here, &id).await);
    let path = format!("/v1/jobs/{id}");
    let (mut moved, stayed) = (there.get(&path).await.json(), here.get(&path).await.json());
    assert_eq!(moved["labels"], json!(["old", "tried"]));
    let came = moved.as_object_mut().unwrap().remove("imported_at");
    assert!(came.is_some_and(|at| at.is_string()));
    assert_eq!(moved, stayed);
    let again = there.get(&format!("{path}/export")).await;
    assert_eq!(again.body, file, "the file of the file");

    let present = import(&there, file).await.problem(Kind::NotPossible);
    assert!(present.detail.contains("here already"), "{present:?}");
    assert_eq!(
        there.get("/v1/jobs").await.json()["jobs"]
            .as_array()
            .unwrap()
            .len(),
        1
    );

    // The build is the same, so a longer run goes on from it there.
    let worker = work::Worker::start(there.app.store(), &work::WorkerOptions::new(1)).unwrap();
    let more = json!({"evaluations": 10}).to_string();
    run(&there, &format!("{path}/extend"), more).await;
    worker.stop().await;
}

/// The file with its last line made anew, as somebody would who changed it on purpose.
fn closed_anew(lines: &[String]) -> String {
    let before: String = lines.iter().map(|line| format!("{line}\n")).collect();
    let sha256: String = sha256(before.as_bytes());
    let end = json!({"end": {"lines": lines.len(), "sha256": sha256}});
    format!("{before}{end}\n")
}

fn sha256(bytes: &[u8]) -> String {
    use sha2::{Digest, Sha256};
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn files_that_are_not_a_whole_job_are_refused_and_nothing_is_kept() {
    let (here, there) = (World::new().await, World::new().await);
    let (_, file) = exported(&here).await;
    let text = String::from_utf8(file.clone()).unwrap();
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let body = &lines[..lines.len() - 1];
    let (format, rest) = (&lines[0], &body[1..]);
    let with_first = |first: &str| closed_anew(&[&[first.to_owned()], rest].concat());
    let without = |begin: &str| {
        let kept: Vec<_> = body
            .iter()
            .filter(|line| !line.starts_with(begin))
            .cloned()
            .collect();
        closed_anew(&kept)
    };
    let changed = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        closed_anew(
            &body
                .iter()
                .map(|line| line.replace(from, to))
                .collect::<Vec<_>>(),
        )
    };
    let mut damaged = text.clone();
    let at = text.find("\"text\":\"").unwrap() + 20;
    damaged.replace_range(at..at + 1, if &text[at..at + 1] == "x" { "y" } else { "x" });
    let cut_off = "cut off";
    let cases: Vec<(&str, String, &str)> = vec![
        ("nothing", String::new(), "does not begin"),
        ("another JSON", "{\"jobs\":[]}\n".into(), "does not begin"),
        ("a job file", crate::world::JOB.into(), "does not begin"),
        (
            "another's lines",
            with_first("{\"format\":{\"name\":\"ledger\",\"version\":1}}"),
            "does not begin",
        ),
        (
            "a newer version",
            with_first("{\"format\":{\"name\":\"leanwright job\",\"version\":2}}"),
            "version 2; this build reads version 1",
        ),
        ("one line", format!("{format}\n"), cut_off),
        ("cut in a line", text[..text.len() / 2].into(), cut_off),
        (
            "cut behind a line",
            format!("{}\n", lines[..4].join("\n")),
            cut_off,
        ),
        ("its last line feed gone", text.trim_end().into(), cut_off),
        ("one letter changed", damaged, "damaged"),
        (
            "a line gone",
            format!("{}\n", [&lines[..3], &lines[4..]].concat().join("\n")),
            "damaged",
        ),
        ("no job", without("{\"job\""), "no job"),
        ("no input", without("{\"input\""), "no input"),
        ("no front", without("{\"front\""), "without a front"),
        ("no events", without("{\"event\""), "events"),
        (
            "the job twice",
            closed_anew(&[body, &lines[1..2]].concat()),
            "twice",
        ),
        (
            "the first line again",
            closed_anew(&[body, &lines[..1]].concat()),
            "wrong place",
        ),
        (
            "an unknown line",
            closed_anew(&[body, &["{\"tea\":1}".to_owned()]].concat()),
            "unknown variant",
        ),
        (
            "a foreign id",
            changed("\"job\":{\"id\":\"", "\"job\":{\"id\":\"X"),
            "is not the id of a job",
        ),
        (
            "an unknown kind",
            changed("\"kind\":\"search\"", "\"kind\":\"tea\""),
            "no such kind",
        ),
        (
            "still running",
            changed("\"state\":\"done\"", "\"state\":\"running\""),
            "state",
        ),
        (
            "another input",
            changed("{\"input\":{\"text\":\"", "{\"input\":{\"text\":\" "),
            "input",
        ),
        (
            "a front of another form",
            changed("\\\"evaluations\\\":", "\\\"evaluation\\\":"),
            "cannot read its front",
        ),
    ];
    for (what, file, says) in cases {
        let refused = import(&there, file).await;
        let refused = refused.problem(Kind::BadJobFile);
        assert!(refused.detail.contains(says), "{what}: {refused:?}");
    }
    assert_eq!(there.get("/v1/jobs").await.json()["jobs"], json!([]));
    let answer = import(&there, file).await;
    assert_eq!(answer.status, StatusCode::CREATED, "{answer:?}");
    there.still_serves().await;
}

#[tokio::test]
async fn too_large_too_many_and_undeclared_files_are_refused() {
    let limits = Limits {
        job_file_bytes: 5_000,
        job_files: 1,
        ..Limits::default()
    };
    let world = World::with(limits, None).await;
    let large = import(&world, "x".repeat(5_001)).await;
    assert!(large.problem(Kind::TooLarge).detail.contains("5000"));
    // Without a declared length the body itself is counted.
    import(&world, Body::from_stream(endless()))
        .await
        .problem(Kind::TooLarge);
    let wrong = world.post("/v1/imports", "{}").await;
    let wrong = wrong.problem(Kind::WrongMediaType);
    assert!(wrong.detail.contains(JOB_FILE_TYPE), "{wrong:?}");

    let id = world
        .publish(&[json!({"padding": "x".repeat(5_000)})])
        .await;
    let path = format!("/v1/jobs/{id}/export");
    let refused = world.get(&path).await.problem(Kind::NotPossible);
    assert!(refused.detail.contains("5000"), "{refused:?}");
    let place = world.app.carrying_place().unwrap();
    world.get(&path).await.problem(Kind::Busy);
    let busy = import(&world, "x").await;
    assert_eq!(busy.header("retry-after"), "1");
    busy.problem(Kind::Busy);
    drop(place);
    import(&world, "x").await.problem(Kind::BadJobFile);
    world.still_serves().await;
}

/// Bytes without an end, a little at a time.
fn endless() -> impl futures_core::Stream<Item = Result<Vec<u8>, std::io::Error>> {
    struct Endless;
    impl futures_core::Stream for Endless {
        type Item = Result<Vec<u8>, std::io::Error>;
        fn poll_next(
            self: std::pin::Pin<&mut Self>,
            _: &mut std::task::Context<'_>,
        ) -> std::task::Poll<Option<Self::Item>> {
            std::task::Poll::Ready(Some(Ok(vec![b'x'; 100])))
        }
    }
    Endless
}

#[tokio::test]
async fn open_and_unknown_jobs_are_not_exported() {
    let world = World::new().await;
    let id = world.submit().await;
    let open = world.get(&format!("/v1/jobs/{id}/export")).await;
    assert!(open.problem(Kind::NotPossible).detail.contains("queued"));
    for unknown in ["00f1e2d3c4b5a697", "mine"] {
        let path = format!("/v1/jobs/{unknown}/export");
        world.get(&path).await.problem(Kind::NotFound);
    }
    world.app.store().cancel(&id).await.unwrap();
    let there = World::new().await;
    let file = world.get(&format!("/v1/jobs/{id}/export")).await;
    let job = import(&there, file.body).await.json();
    assert_eq!(
        (&job["state"], &job["id"]),
        (&json!("cancelled"), &json!(id.as_str()))
    );
    there
        .get(&format!("/v1/jobs/{id}/front"))
        .await
        .problem(Kind::NoFront);
}

/// A study that the job made is part of its candidate, and what the study's address gives.
#[tokio::test(flavor = "multi_thread")]
async fn studied_candidates_carry_their_study() {
    let world = World::new().await;
    let (id, _) = exported(&world).await;
    let front = world.get(&format!("/v1/jobs/{id}/front")).await.json();
    assert_eq!(front["budget"]["studies"], 2);
    assert_eq!(front["budget"]["study_machines"], 64);
    let rows = front["candidates"].as_array().unwrap();
    let studied: Vec<_> = rows.iter().filter(|row| row["studied"] == true).collect();
    assert_eq!(studied.len(), 2);
    let path = format!("/v1/jobs/{id}/candidates/{}", studied[0]["number"]);
    let candidate = world.get(&path).await.json();
    assert_eq!(candidate["study"]["sigma_mm"], 0.3);
    assert_eq!(
        world.get(&format!("{path}/study")).await.json(),
        candidate["study"]
    );
    let other = world
        .get(&format!("{path}/study?sigma_mm=0.6"))
        .await
        .json();
    assert_eq!(other["sigma_mm"], 0.6);
    let page = world.get(&format!("{path}/report")).await;
    assert!(page.text().contains("As a workshop builds it"));
    let plain = rows.iter().find(|row| row["studied"].is_null()).unwrap();
    let path = format!("/v1/jobs/{id}/candidates/{}", plain["number"]);
    assert!(world.get(&path).await.json()["study"].is_null());
    let page = world.get(&format!("{path}/report")).await;
    assert!(!page.text().contains("As a workshop builds it"));
}
