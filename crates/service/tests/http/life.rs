//! Pause, priority, labels, days to be kept, deletion, and jobs made from others.

use axum::body::Body;
use axum::http::{Method, Request, StatusCode, header};
use leanwright_service::Kind;
use serde_json::{Value, json};

use crate::world::{Answer, JOB, World};

async fn ask(world: &World, method: Method, path: &str, body: Value) -> Answer {
    let request = Request::builder()
        .method(method)
        .uri(path)
        .header(header::HOST, "127.0.0.1:8080")
        .header(header::CONTENT_TYPE, "application/json")
        .body(Body::from(body.to_string()))
        .unwrap();
    world.ask(request).await
}

#[tokio::test]
async fn a_job_is_paused_and_resumed() {
    let world = World::new().await;
    let path = format!("/v1/jobs/{}", world.submit().await);
    for (request, paused) in [("pause", true), ("pause", true), ("resume", false)] {
        let job = world.post(&format!("{path}/{request}"), "").await.json();
        assert_eq!(job["paused"], paused);
        assert_eq!(world.get(&path).await.json()["paused"], paused);
    }
    world.post(&format!("{path}/cancel"), "").await;
    let over = world.post(&format!("{path}/pause"), "").await;
    assert!(over.problem(Kind::AlreadyOver).detail.contains("cancelled"));
    let unknown = world.post("/v1/jobs/0123456789abcdef/pause", "").await;
    unknown.problem(Kind::NotFound);
}

#[tokio::test]
async fn what_is_said_about_a_job_can_be_changed() {
    let world = World::new().await;
    let query = "priority=background&labels=spring,frame%202&keep_days=9";
    let submitted = world.post(&format!("/v1/jobs?{query}"), JOB).await.json();
    assert_eq!(submitted["priority"], "background");
    assert_eq!(submitted["labels"], json!(["frame 2", "spring"]));
    assert_eq!(submitted["keep_days"], 9);
    let path = format!("/v1/jobs/{}", submitted["id"].as_str().unwrap());

    let change = json!({"priority": "urgent", "labels": ["autumn"], "keep_days": null});
    let changed = ask(&world, Method::PATCH, &path, change).await.json();
    assert_eq!(changed["priority"], "urgent");
    assert_eq!(changed["labels"], json!(["autumn"]));
    assert_eq!(changed.get("keep_days"), None);
    let unchanged = ask(&world, Method::PATCH, &path, json!({})).await.json();
    assert_eq!(unchanged["labels"], json!(["autumn"]));

    for (change, kind, word) in [
        (
            json!({"priority": "soon"}),
            Kind::BadParameter,
            "background",
        ),
        (json!({"keep_days": 0}), Kind::BadParameter, "36500"),
        (json!({"labels": [""]}), Kind::BadParameter, "1 to 100"),
        (json!({"labels": "autumn"}), Kind::BadInput, "/labels"),
        (json!({"name": "other"}), Kind::BadInput, "name"),
    ] {
        let refused = ask(&world, Method::PATCH, &path, change.clone()).await;
        let problem = refused.problem(kind);
        let text = serde_json::to_string(&problem).unwrap();
        assert!(text.contains(word), "{change}: {text}");
    }
    world.still_serves().await;
}

#[tokio::test]
async fn bad_words_beside_a_submission_are_named() {
    let world = World::new().await;
    for (query, pointer) in [
        ("priority=soon", "/priority"),
        ("keep_days=often", "/keep_days"),
        ("keep_days=0", "/keep_days"),
        ("parent=0123456789abcdef", "/parent"),
        ("parent=mine", "/parent"),
    ] {
        let refused = world.post(&format!("/v1/jobs?{query}"), JOB).await;
        let problem = refused.problem(Kind::BadParameter);
        assert_eq!(problem.faults[0].pointer, pointer, "{query}");
    }
    let unknown = world.post("/v1/jobs?colour=red", JOB).await;
    unknown.problem(Kind::BadParameter);
    assert_eq!(world.get("/v1/jobs").await.json()["jobs"], json!([]));
}

#[tokio::test]
async fn a_job_made_from_another_knows_it_and_is_found_by_it() {
    let world = World::new().await;
    let first = world.submit().await;
    world.submit().await;
    let changed = JOB.replacen("\"seed\": ", "\"seed\": 1", 1);
    let path = format!("/v1/jobs?parent={first}");
    let child = world.post(&path, changed).await;
    assert_eq!(child.status, StatusCode::CREATED);
    let child = child.json();
    assert_eq!(child["parent"], first.to_string());
    let found = world.get(&path).await.json();
    assert_eq!(found["jobs"].as_array().unwrap().len(), 1);
    assert_eq!(found["jobs"][0]["id"], child["id"]);
    world
        .get("/v1/jobs?parent=x")
        .await
        .problem(Kind::BadParameter);
}

#[tokio::test]
async fn a_deleted_job_is_gone_with_its_front() {
    let world = World::new().await;
    let path = format!("/v1/jobs/{}", world.publish(&[]).await);
    let gone = ask(&world, Method::DELETE, &path, Value::Null).await;
    assert_eq!((gone.status, gone.body.len()), (StatusCode::NO_CONTENT, 0));
    for path in [
        path.clone(),
        format!("{path}/front"),
        format!("{path}/input"),
    ] {
        world.get(&path).await.problem(Kind::NotFound);
    }
    let again = ask(&world, Method::DELETE, &path, Value::Null).await;
    again.problem(Kind::NotFound);
    world.still_serves().await;
}

/// A short job of the demo machine, with changes.
pub fn short(change: impl FnOnce(&mut Value)) -> String {
    let mut job: Value = serde_json::from_str(JOB).unwrap();
    job["search"] = json!({
        "evaluations": 1000, "islands": 2, "seed": 5, "front": 12, "polish_points": 1,
        "polish_evaluations": 60,
    });
    change(&mut job);
    job.to_string()
}

/// Submits and waits for the end.
pub async fn run(world: &World, path: &str, body: String) -> Value {
    let answer = world.post(path, body).await;
    assert_eq!(answer.status, StatusCode::CREATED, "{answer:?}");
    let path = answer.header("location").to_owned();
    for _ in 0..6_000 {
        let job = world.get(&path).await.json();
        if job["finished_at"].is_string() {
            assert_eq!(job["state"], "done", "{job}");
            return job;
        }
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
    panic!("the job does not end");
}

#[tokio::test(flavor = "multi_thread")]
async fn jobs_are_extended_and_started_from() {
    let world = World::new().await;
    let options = work::WorkerOptions::new(2);
    let worker = work::Worker::start(world.app.store(), &options).unwrap();
    let aspiring = |job: &mut Value| {
        for goal in job["goals"].as_array_mut().unwrap() {
            goal["aspiration"] = json!(0.0);
        }
    };
    let first = run(&world, "/v1/jobs", short(aspiring)).await;
    let id = first["id"].as_str().unwrap();
    let front = world.get(&format!("/v1/jobs/{id}/front")).await.json();
    let rows = front["candidates"].as_array().unwrap();
    assert!(rows.iter().any(|row| row["nearest"] == 1), "{rows:?}");
    assert_eq!(front["end"]["by"], "budget");
    let spent = front["budget"]["evaluations"].as_u64().unwrap();

    let path = format!("/v1/jobs/{id}/extend");
    let longer = run(&world, &path, json!({"evaluations": 2000}).to_string()).await;
    assert_eq!(longer["parent"], id);
    let whole = short(|job| {
        aspiring(job);
        job["search"]["evaluations"] = json!(spent + 2000);
    });
    let whole = run(&world, "/v1/jobs", whole).await;
    let mut fronts = vec![];
    for job in [&longer, &whole] {
        let id = job["id"].as_str().unwrap();
        fronts.push(world.get(&format!("/v1/jobs/{id}/front")).await.body);
    }
    assert_eq!(fronts[0], fronts[1], "extended and long are the same bytes");

    let warm = run(
        &world,
        "/v1/jobs",
        short(|job| job["start_from"] = json!({"job": id})),
    )
    .await;
    let input = store::JobId::parse(warm["id"].as_str().unwrap()).unwrap();
    let kept = world
        .app
        .store()
        .inputs(&input)
        .await
        .unwrap()
        .starts
        .unwrap();
    let kept: work::StartsDocument = serde_json::from_slice(&kept).unwrap();
    assert_eq!(
        (kept.job.as_str(), kept.vectors.len()),
        (id, rows.len() + 1)
    );
    worker.stop().await;

    let fewer = short(|job| {
        job["start_from"] = json!({"job": id});
        job["freedoms"].as_array_mut().unwrap().pop();
    });
    let refused = world.post("/v1/jobs", fewer).await.problem(Kind::BadInput);
    assert_eq!(refused.faults[0].pointer, "/start_from/job");
    assert!(refused.faults[0].message.contains("lacks"), "{refused:?}");
    let open = world.submit().await;
    let not_done = short(|job| job["start_from"] = json!({"job": open.as_str()}));
    let refused = world
        .post("/v1/jobs", not_done)
        .await
        .problem(Kind::BadInput);
    assert!(refused.faults[0].message.contains("queued"), "{refused:?}");
    let unknown = short(|job| job["start_from"] = json!({"job": "mine"}));
    world
        .post("/v1/jobs", unknown)
        .await
        .problem(Kind::BadInput);

    let body = || json!({"evaluations": 10}).to_string();
    let early = world.post(&format!("/v1/jobs/{open}/extend"), body()).await;
    assert!(early.problem(Kind::NotPossible).detail.contains("queued"));
    world.app.store().cancel(&open).await.unwrap();
    let foreign = world.publish(&[]).await;
    let foreign = world
        .post(&format!("/v1/jobs/{foreign}/extend"), body())
        .await;
    foreign.problem(Kind::NotPossible);
    for wrong in ["{}", "{\"evaluations\":0}", "{\"evaluations\":\"many\"}"] {
        world.post(&path, wrong).await.problem(Kind::BadInput);
    }
    world.still_serves().await;
}

#[tokio::test]
async fn an_open_job_starts_again() {
    let world = World::new().await;
    let path = format!("/v1/jobs/{}", world.submit().await);
    let job = world.post(&format!("{path}/restart"), "").await.json();
    assert_eq!(job["state"], "queued");
    world.post(&format!("{path}/cancel"), "").await;
    let over = world.post(&format!("{path}/restart"), "").await;
    over.problem(Kind::AlreadyOver);
}

/// The refusal of a cursor names it, and nothing else as what was found.
#[tokio::test]
async fn a_cursor_of_no_list_is_named() {
    let world = World::new().await;
    let refused = world.get("/v1/jobs?cursor=tomorrow").await;
    refused.problem(Kind::BadParameter);
    let told = refused.json();
    let detail = told["detail"].as_str().unwrap();
    assert!(
        detail.starts_with("cursor: `tomorrow` is no cursor"),
        "{detail}"
    );
    assert_eq!(told["faults"][0]["value"], Value::Null, "{told}");
}
