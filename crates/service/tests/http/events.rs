use axum::http::StatusCode;
use http_body_util::BodyExt;
use leanwright_service::{JobEvent, Kind, Limits};

use crate::world::{World, get, get_with};

fn events(text: &str) -> Vec<JobEvent> {
    let lines = text.lines().filter_map(|line| line.strip_prefix("data: "));
    lines
        .map(|data| serde_json::from_str(data).unwrap())
        .collect()
}

#[tokio::test]
async fn a_stream_tells_the_whole_story_and_ends_with_the_job() {
    let world = World::new().await;
    let id = world.publish(&[]).await;
    let answer = world.get(&format!("/v1/jobs/{id}/events")).await;
    assert_eq!(answer.status, StatusCode::OK);
    assert_eq!(answer.header("content-type"), "text/event-stream");
    let told = events(answer.text());
    assert_eq!(told.first().unwrap().kind, "submitted");
    assert_eq!(told.last().unwrap().kind, "done");
    let numbers: Vec<u64> = told.iter().map(|event| event.number).collect();
    assert_eq!(numbers, (1..=told.len() as u64).collect::<Vec<_>>());
    assert!(answer.text().contains("event: submitted\n"));
    assert!(answer.text().contains("id: 1\n"));
}

#[tokio::test]
async fn a_stream_goes_on_behind_the_last_event_seen() {
    let world = World::new().await;
    let id = world.publish(&[]).await;
    let path = format!("/v1/jobs/{id}/events");
    let whole = events(world.get(&path).await.text());
    let rest = world.ask(get_with(&path, "last-event-id", "1")).await;
    assert_eq!(events(rest.text()).len(), whole.len() - 1);
    let rest = world.get(&format!("{path}?after=1")).await;
    assert_eq!(events(rest.text())[0].number, 2);
    let last = whole.len().to_string();
    let nothing_left = world.ask(get_with(&path, "last-event-id", &last)).await;
    assert_eq!(nothing_left.status, StatusCode::NO_CONTENT);
}

#[tokio::test]
async fn an_open_stream_hears_of_what_happens_later() {
    let world = World::new().await;
    let id = world.submit().await;
    let stream = world.open(get(&format!("/v1/jobs/{id}/events"))).await;
    let listening = tokio::spawn(stream.into_body().collect());
    world.app.store().cancel(&id).await.unwrap();
    let heard = listening.await.unwrap().unwrap().to_bytes();
    let told = events(std::str::from_utf8(&heard).unwrap());
    let kinds: Vec<&str> = told.iter().map(|event| event.kind.as_str()).collect();
    assert_eq!(kinds, ["submitted", "cancelled"]);
}

#[tokio::test]
async fn listeners_are_capped_and_places_come_back() {
    let limits = Limits {
        listeners: 1,
        ..Limits::default()
    };
    let world = World::with(limits, None).await;
    let id = world.submit().await;
    let path = format!("/v1/jobs/{id}/events");
    let first = world.open(get(&path)).await;
    assert_eq!(first.status(), StatusCode::OK);
    let refused = world.get(&path).await;
    refused.problem(Kind::Busy);
    assert_eq!(refused.header("retry-after"), "1");
    world.still_serves().await;
    drop(first);
    while world.app.open_listeners() > 0 {
        tokio::task::yield_now().await;
    }
    assert_eq!(world.open(get(&path)).await.status(), StatusCode::OK);
}

#[tokio::test]
async fn streams_end_when_the_server_stops() {
    let world = World::new().await;
    let id = world.submit().await;
    let stream = world.open(get(&format!("/v1/jobs/{id}/events"))).await;
    world.app.stop();
    stream.into_body().collect().await.unwrap();
}
