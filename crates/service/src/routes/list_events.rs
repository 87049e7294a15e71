//! `/v1/events`: the list of jobs as a stream, so that a page need not ask again and again.

use std::collections::BTreeMap;
use std::convert::Infallible;
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use futures_core::Stream;
use serde_json::json;
use tokio::sync::mpsc;

use crate::convert::store_problem;
use crate::extract::Query;
use crate::problem::Problem;
use crate::refusals::{OutOfRange, TooManyStreams};
use crate::routes::jobs::ListQuery;
use crate::state::App;
use crate::wire::JobStatus;
use store::{Error, JobFilter, JobId};

/// This process is told of its own changes; for those of others the store is asked this often.
const POLL: Duration = Duration::from_secs(1);
/// Changes come in bursts; a stream looks at the store no more often than this.
const REST: Duration = Duration::from_millis(400);
/// A listener that takes no event for this long loses its place.
const PATIENCE: Duration = Duration::from_secs(60);
const KEEP_ALIVE: Duration = Duration::from_secs(15);

/// Follow the list of jobs.
///
/// Server-sent events: first `list` with `{"ids", "whole"}`, the ids of the list's first page and
/// whether there is no other page; `job` with a JobStatus for each of them, and then whenever one has
/// changed or entered that page; `gone` with `{"id"}` when one was deleted. A job that has left the
/// page comes a last time as it then is. Parameters are those of the list.
#[utoipa::path(get, operation_id = "follow_jobs", path = "/v1/events", tag = "jobs",
    params(
        ("state" = Option<String>, Query, description = "Only jobs in this state"),
        ("name" = Option<String>, Query, description = "Only jobs whose name contains this"),
        ("label" = Option<String>, Query, description = "Only jobs with this label"),
        ("parent" = Option<String>, Query, description = "Only jobs made from this one"),
        ("limit" = Option<u32>, Query, description = "Newest jobs followed, 1 to 200; by default 50"),
    ),
    responses(
        (status = 200, description = "The jobs", body = JobStatus,
            content_type = "text/event-stream"),
        OutOfRange,
        TooManyStreams,
    ))]
pub async fn follow_all(
    State(app): State<App>,
    Query(query): Query<ListQuery>,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, Problem> {
    let filter = query.filter(app.limits().page)?;
    // A fault of the filter is an answer, not a stream that ends.
    app.store().jobs(&filter).await.map_err(store_problem)?;
    let place = app.listener_place()?;
    let (sender, changes) = mpsc::channel(8);
    tokio::spawn(async move {
        forward(&app, &filter, &sender).await;
        drop(place);
    });
    Ok(Sse::new(Changes(changes)).keep_alive(KeepAlive::new().interval(KEEP_ALIVE)))
}

/// Sends changes until the listener is gone or the server stops.
async fn forward(app: &App, filter: &JobFilter, to: &mpsc::Sender<Event>) {
    let mut changes = app.store().changes();
    let mut told = BTreeMap::new();
    let mut first = true;
    loop {
        changes.mark_unchanged();
        let news = match look(app, filter, &mut told, std::mem::take(&mut first)).await {
            Ok(news) => news,
            Err(error) => {
                // The listener comes back by itself.
                tracing::warn!(%error, "a stream of jobs ends early");
                return;
            }
        };
        for event in news {
            tokio::select! {
                sent = to.send_timeout(event, PATIENCE) => if sent.is_err() { return },
                () = app.stopped() => return,
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

/// What differs from what was told before, which is brought up to date.
async fn look(
    app: &App,
    filter: &JobFilter,
    told: &mut BTreeMap<JobId, String>,
    first: bool,
) -> Result<Vec<Event>, Error> {
    let page = app.store().jobs(filter).await?;
    let mut now = BTreeMap::new();
    let mut news = Vec::new();
    if first {
        let ids: Vec<&str> = page.jobs.iter().map(|job| job.id.as_str()).collect();
        let list = json!({ "ids": ids, "whole": page.next.is_none() });
        news.push(Event::default().event("list").data(list.to_string()));
    }
    for job in page.jobs {
        let id = job.id.clone();
        let text = text(job);
        if told.remove(&id).is_none_or(|before| before != text) {
            news.push(Event::default().event("job").data(&text));
        }
        now.insert(id, text);
    }
    for id in std::mem::replace(told, now).into_keys() {
        news.push(match app.store().job(&id).await {
            Ok(job) => Event::default().event("job").data(text(job)),
            Err(Error::NotFound { .. }) => Event::default()
                .event("gone")
                .data(json!({ "id": id.as_str() }).to_string()),
            Err(error) => return Err(error),
        });
    }
    Ok(news)
}

fn text(job: store::Job) -> String {
    // A JSON text has no line breaks of its own, so it always fits one data line.
    serde_json::to_string(&JobStatus::from(job)).unwrap_or_default()
}

/// The receiving end as a stream of server-sent events.
struct Changes(mpsc::Receiver<Event>);

impl Stream for Changes {
    type Item = Result<Event, Infallible>;

    fn poll_next(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        self.0.poll_recv(context).map(|event| event.map(Ok))
    }
}
