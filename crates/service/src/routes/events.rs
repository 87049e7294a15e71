//! `/v1/jobs/{id}/events`: a job's events as a stream that can be taken up again.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use futures_core::Stream;
use serde::Deserialize;
use store::JobId;
use tokio::sync::mpsc;

use crate::convert::store_problem;
use crate::extract::{Path, Query, job_id};
use crate::problem::Problem;
use crate::refusals::{NoSuchJob, TooManyStreams};
use crate::state::App;
use crate::wire::JobEvent;

/// This process is told of its own changes; for those of others the store is asked this often.
const POLL: Duration = Duration::from_secs(1);
/// Changes come in bursts; a stream looks at the store no more often than this.
const REST: Duration = Duration::from_millis(100);
const AT_ONCE: u32 = 100;
/// A listener that takes no event for this long loses its place.
const PATIENCE: Duration = Duration::from_secs(60);
const KEEP_ALIVE: Duration = Duration::from_secs(15);

/// Parameters of the stream.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EventsQuery {
    after: Option<u64>,
}

/// Follow a job.
///
/// Server-sent events: `id` is the event's number, `event` its kind, `data` a JobEvent. The
/// stream ends after the event that ends the job. Give the last number seen as the header
/// `Last-Event-ID` (browsers do it themselves) or as `after` to go on from there.
#[utoipa::path(get, operation_id = "follow_job", path = "/v1/jobs/{id}/events", tag = "jobs",
    params(
        ("id" = String, Path, description = "Job"),
        ("after" = Option<u64>, Query, description = "Only events after this number"),
        ("Last-Event-ID" = Option<u64>, Header, description = "The same, and stronger"),
    ),
    responses(
        (status = 200, description = "The events", body = JobEvent,
            content_type = "text/event-stream"),
        (status = 204, description = "The job is over and no event is left; do not come back"),
        (status = 400, description = "A number is not a number", body = Problem,
            content_type = "application/problem+json"),
        NoSuchJob,
        TooManyStreams,
    ))]
pub async fn follow(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(query): Query<EventsQuery>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let id = job_id(&id)?;
    let after = last_event_id(&headers)?.or(query.after).unwrap_or(0);
    let job = app.store().job(&id).await.map_err(store_problem)?;
    if job.state.is_final() && job.last_event <= after {
        return Ok(StatusCode::NO_CONTENT.into_response());
    }
    let place = app.listener_place()?;
    let (sender, events) = mpsc::channel(8);
    tokio::spawn(async move {
        forward(&app, &id, after, &sender).await;
        drop(place);
    });
    let stream = Sse::new(Events(events)).keep_alive(KeepAlive::new().interval(KEEP_ALIVE));
    Ok(stream.into_response())
}

fn last_event_id(headers: &HeaderMap) -> Result<Option<u64>, Problem> {
    let Some(value) = headers.get("last-event-id") else {
        return Ok(None);
    };
    let text = value.to_str().unwrap_or("not text").trim();
    text.parse().map(Some).map_err(|_| {
        Problem::bad_parameter(
            "Last-Event-ID",
            text,
            "not the number of an event",
            "a whole number from 0",
        )
    })
}

/// Sends events until the job is over, the listener is gone or the server stops.
async fn forward(app: &App, id: &JobId, mut after: u64, to: &mpsc::Sender<JobEvent>) {
    let mut changes = app.store().changes();
    loop {
        changes.mark_unchanged();
        match next_events(app, id, after).await {
            Ok((events, over)) => {
                for event in events {
                    after = event.number;
                    tokio::select! {
                        sent = to.send_timeout(event, PATIENCE) => if sent.is_err() { return },
                        () = app.stopped() => return,
                    }
                }
                if over {
                    return;
                }
            }
            Err(problem) => {
                // The listener comes back by itself with the last number it has seen.
                tracing::warn!(%id, detail = problem.detail, "an event stream ends early");
                return;
            }
        }
        let changed_or_late = async {
            tokio::time::sleep(REST).await;
            // The store outlives the stream, so its counter cannot go away first.
            let _ = tokio::time::timeout(POLL, changes.changed()).await;
        };
        tokio::select! {
            () = changed_or_late => {}
            () = to.closed() => return,
            () = app.stopped() => return,
        }
    }
}

/// The next events, and whether none can follow them.
async fn next_events(
    app: &App,
    id: &JobId,
    after: u64,
) -> Result<(VecDeque<JobEvent>, bool), Problem> {
    // The job is read first: an event written in between is then found, not lost.
    let job = app.store().job(id).await.map_err(store_problem)?;
    if job.last_event <= after {
        return Ok((VecDeque::new(), job.state.is_final()));
    }
    let events = app.store().events(id, after, AT_ONCE).await;
    let events: VecDeque<_> = events
        .map_err(store_problem)?
        .into_iter()
        .map(JobEvent::from)
        .collect();
    let last = events.back().map_or(after, |event| event.number);
    Ok((events, job.state.is_final() && last >= job.last_event))
}

/// The receiving end as a stream of server-sent events.
struct Events(mpsc::Receiver<JobEvent>);

impl Stream for Events {
    type Item = Result<Event, Infallible>;

    fn poll_next(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        let event = std::task::ready!(self.0.poll_recv(context));
        Poll::Ready(event.map(|event| Ok(server_sent(&event))))
    }
}

fn server_sent(event: &JobEvent) -> Event {
    // A JSON text has no line breaks of its own, so it always fits one data line.
    let data = serde_json::to_string(event).unwrap_or_default();
    Event::default()
        .id(event.number.to_string())
        .event(&event.kind)
        .data(data)
}
