//! `run`: searches one job in this process, on a store of its own or a lasting one.

use std::path::PathBuf;
use std::time::Duration;

use serde_json::Value;
use service::{Fitted, Kind, Problem, SubmittedJob, candidates, prepare, store_problem, submit};
use sha2::{Digest, Sha256};
use store::{Job, JobId, JobKind, JobState, Options, Store};
use tempfile::TempDir;

use crate::args::Run;
use crate::commands::fit;
use crate::commands::front::print;
use crate::commands::jobs::notices;
use crate::exit::Outcome;
use crate::files;
use crate::front_view::Front;
use crate::progress::Progress;
use crate::runtime::{asked_to_stop, block_on, log_to_stderr, open_store};
use crate::store_place::file;
use crate::workers::Workers;

/// The store is looked at this often for progress.
const LOOK: Duration = Duration::from_millis(200);

/// Runs a job to its end and prints its front, or what a fit found.
pub fn run(args: &Run, json: bool) -> Result<Outcome, Problem> {
    let text = files::read_json(&args.job)?;
    if let Some(folder) = &args.out {
        // A folder that cannot be made should be known before the search, not after.
        files::folder(folder)?;
    }
    // With --json only a problem document may stand on standard error.
    log_to_stderr(if json { "off" } else { "warn" });
    let place = Place::of(args)?;
    block_on(search(args, text, &place, json))?
}

/// Where the store of a run stands.
struct Place {
    path: PathBuf,
    /// Removed with all it holds when the run is over.
    _own: Option<TempDir>,
}

impl Place {
    fn of(args: &Run) -> Result<Self, Problem> {
        if let Some(path) = &args.store {
            return Ok(Self {
                path: path.clone(),
                _own: None,
            });
        }
        let own = tempfile::Builder::new().prefix("leanwright-").tempdir();
        let own = own.map_err(|error| {
            Problem::new(Kind::NotWritten, format!("no temporary folder: {error}"))
        })?;
        Ok(Self {
            path: own.path().join("run.sqlite"),
            _own: Some(own),
        })
    }
}

async fn search(args: &Run, text: String, place: &Place, json: bool) -> Result<Outcome, Problem> {
    let store = open_store(&Options::new(file(&place.path)?)).await?;
    let submitted = submit_or_find(&store, &text).await?;
    tell(&submitted, json)?;
    let id = JobId::parse(&submitted.job.id)
        .ok_or_else(|| Problem::new(Kind::Internal, "the store gave no usable id"))?;
    let workers = Workers::start(&store, args.workers, None)?;
    let bar = Progress::new(submitted.job.planned_evaluations, json);
    let ended = tokio::select! {
        ended = follow(&store, &id, &bar) => Some(ended?),
        () = asked_to_stop() => None,
    };
    bar.finish();
    workers.stop().await;
    let outcome = match ended {
        Some(job) if job.state == JobState::Done => show(args, &store, &id, text, json).await?,
        Some(job) => return Err(without_front(&job)),
        None => {
            eprintln!("{}", stopped(args));
            Outcome::NoResult
        }
    };
    store.close().await;
    Ok(outcome)
}

/// Submits the job, or finds it where an earlier run over this store left it.
///
/// A job that failed or was cancelled is final, so a further run of the same file is a new job.
async fn submit_or_find(store: &Store, text: &str) -> Result<SubmittedJob, Problem> {
    let digest = Sha256::digest(text.as_bytes());
    let hex: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    let mut key = format!("run-{hex}");
    loop {
        let prepared = prepare(text.to_owned(), Some(key.clone()))?;
        let (job, _) = submit(store, prepared).await?;
        match job.job.state.as_str() {
            "failed" | "cancelled" => key = format!("run-{hex}-after-{}", job.job.id),
            _ => return Ok(job),
        }
    }
}

fn tell(job: &SubmittedJob, json: bool) -> Result<(), Problem> {
    if !json {
        let value = serde_json::to_value(job)
            .map_err(|error| Problem::new(Kind::Internal, error.to_string()))?;
        notices(&value);
    }
    Ok(())
}

async fn follow(store: &Store, id: &JobId, bar: &Progress) -> Result<Job, Problem> {
    loop {
        let job = store.job(id).await.map_err(store_problem)?;
        if job.state.is_final() {
            return Ok(job);
        }
        let figures = job.progress.as_deref().map(serde_json::from_slice::<Value>);
        if let Some(Ok(figures)) = figures {
            bar.show(&figures);
        }
        tokio::time::sleep(LOOK).await;
    }
}

fn without_front(job: &Job) -> Problem {
    let reason = job.reason.as_deref().unwrap_or("no reason is known");
    let detail = format!("the job is {}: {reason}", job.state.as_str());
    Problem::new(Kind::NoFront, detail)
}

fn stopped(args: &Run) -> &'static str {
    match args.store {
        Some(_) => "stopped; the same command goes on where this one ended",
        None => "stopped; nothing is kept without --store",
    }
}

async fn show(
    args: &Run,
    store: &Store,
    id: &JobId,
    text: String,
    json: bool,
) -> Result<Outcome, Problem> {
    if JobKind::parse(&store.job(id).await.map_err(store_problem)?.kind) == Some(JobKind::AsBuilt) {
        let published = service::fit(store, id.as_str()).await?;
        let fitted = Fitted {
            facts: Vec::new(),
            input: text,
            fit: service::read(&published.body)?,
        };
        return fit::show(&fitted, args.out.as_deref(), json);
    }
    let published = service::front(store, id.as_str()).await?;
    let document = service::read(&published.body)?;
    let candidates = candidates(store, id.as_str()).await?;
    let body = String::from_utf8_lossy(&published.body).into_owned();
    let front = Front::new(body, document, candidates, text);
    if let Some(folder) = &args.out {
        front.write(folder)?;
    }
    print(&front, false, json)?;
    Ok(front.outcome())
}
