//! From the text of a job file to a job in the store; server and command line share this path.

use std::sync::Arc;

use design::{Budget, Compiled, Fault, Finding, check_as_built, parse_as_built, parse_job};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::{JobId, JobKind, NewJob, Priority, Store, Submitted};
use utoipa::ToSchema;

use crate::convert::{faulty, store_problem};
use crate::made_ready::MadeReady;
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::published::of_kind;
use crate::state::App;
use crate::warm;
use crate::wire::JobStatus;

/// Who submits, until access keys name callers.
pub const CALLER: &str = "local";

/// A job that was read and found sound, with what its caller should know.
#[derive(Debug)]
pub struct Prepared {
    new_job: NewJob,
    /// The search made ready; nothing for a job of another kind.
    compiled: Option<Arc<Compiled>>,
}

/// What is said about a job beside its input; none of it changes the result.
#[derive(Clone, Debug, Default)]
pub struct Life {
    /// Which jobs' slices are claimed first.
    pub priority: Priority,
    /// Words to sort jobs by.
    pub labels: Vec<String>,
    /// Days to keep the job after its end.
    pub keep_days: Option<u32>,
    /// The job that it was made from.
    pub parent: Option<JobId>,
}

impl Prepared {
    /// The same job with this said about it.
    pub fn with(mut self, life: Life) -> Self {
        self.new_job.priority = life.priority;
        self.new_job.labels = life.labels;
        self.new_job.keep_days = life.keep_days;
        self.new_job.parent = life.parent;
        self
    }
}

/// The answer to a submission: the job, its budget as it will be spent, and findings.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct SubmittedJob {
    /// The job.
    #[serde(flatten)]
    pub job: JobStatus,
    /// The budget after rounding up to whole epochs of all islands; absent of what is no search.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub budget: Option<Budget>,
    /// What a look at some candidates showed: goals no freedom changes, requirements that every
    /// one of them failed. None of these keeps the job from running.
    pub findings: Vec<Finding>,
}

/// Reads a job file of any kind. Of a search it looks at a sample of the candidates, which takes some
/// tenths of a second.
///
/// # Errors
/// [`Kind::BadInput`] or [`Kind::BadJson`] with every fault of the file.
pub fn prepare(text: String, key: Option<String>) -> Result<Prepared, Problem> {
    prepare_among(&MadeReady::default(), text, key)
}

/// [`prepare`], where a search like one lately made ready is not looked at again.
///
/// # Errors
/// As [`prepare`].
pub fn prepare_among(
    kept: &MadeReady,
    text: String,
    key: Option<String>,
) -> Result<Prepared, Problem> {
    match kind_of(&text).as_deref() {
        None => prepare_search(kept, text, key),
        Some("as_built") => prepare_fit(text, key),
        Some(other) => Err(faulty(vec![Fault {
            pointer: "/kind".into(),
            message: "there is no job of this kind".into(),
            value: Value::from(other).to_string(),
            allowed: "\"as_built\", or no kind for a search".into(),
        }])),
    }
}

/// The word of a file that says what it is.
fn kind_of(text: &str) -> Option<String> {
    #[derive(Deserialize)]
    struct Kinded {
        kind: Option<String>,
    }
    serde_json::from_str::<Kinded>(text).ok()?.kind
}

fn prepare_fit(text: String, key: Option<String>) -> Result<Prepared, Problem> {
    let asked = parse_as_built(&text).map_err(faulty)?;
    check_as_built(&asked).map_err(faulty)?;
    Ok(Prepared {
        new_job: NewJob {
            caller: CALLER.to_owned(),
            kind: JobKind::AsBuilt,
            name: asked.name,
            labels: Vec::new(),
            priority: Priority::default(),
            input: text.into_bytes(),
            starts: None,
            idempotency_key: key,
            islands: 1,
            epochs: 1,
            planned: 1,
            parent: None,
            keep_days: None,
        },
        compiled: None,
    })
}

fn prepare_search(
    kept: &MadeReady,
    text: String,
    key: Option<String>,
) -> Result<Prepared, Problem> {
    let job = parse_job(&text).map_err(faulty)?;
    let compiled = kept.make(&job).map_err(faulty)?;
    let budget = compiled.budget();
    let new_job = NewJob {
        caller: CALLER.to_owned(),
        kind: JobKind::Search,
        name: job.name,
        labels: Vec::new(),
        priority: Priority::default(),
        input: text.into_bytes(),
        starts: None,
        idempotency_key: key,
        islands: budget.lanes(),
        epochs: budget.rounds(),
        planned: budget.evaluations + budget.polish_evaluations,
        parent: None,
        keep_days: None,
    };
    Ok(Prepared {
        new_job,
        compiled: Some(Arc::new(compiled)),
    })
}

/// On a thread of its own, away from those that serve requests.
async fn elsewhere<T: Send + 'static>(
    task: impl FnOnce() -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    tokio::task::spawn_blocking(task).await.unwrap_or_else(|_| {
        let detail = "the validation stopped unexpectedly";
        Err(Problem::new(Kind::Internal, detail))
    })
}

/// Prepares a job on a thread of its own, keeps it in the store, and keeps it made ready for what is
/// asked of it next. The flag says whether it is new rather than found by its key.
///
/// # Errors
/// As [`prepare`] and [`submit`].
pub async fn take(
    app: &App,
    text: String,
    key: Option<String>,
    life: Life,
) -> Result<(SubmittedJob, bool), Problem> {
    let place = app.preparing().await;
    let among = app.clone();
    let prepared = elsewhere(move || prepare_among(among.kept(), text, key)).await?;
    drop(place);
    let compiled = prepared.compiled.clone();
    let answer = submit(app.store(), prepared.with(life)).await?;
    keep(app, &answer.0, compiled);
    Ok(answer)
}

fn keep(app: &App, job: &SubmittedJob, compiled: Option<Arc<Compiled>>) {
    if let (Some(id), Some(compiled)) = (JobId::parse(&job.job.id), compiled) {
        app.kept().put(&id, compiled);
    }
}

/// Keeps a prepared job. The flag says whether it is new rather than found by its key.
///
/// # Errors
/// [`Kind::KeyReused`], [`Kind::QueueFull`] or [`Kind::StoreUnavailable`]; [`Kind::BadInput`] when
/// the job that it starts from has no front or other freedoms.
pub async fn submit(store: &Store, prepared: Prepared) -> Result<(SubmittedJob, bool), Problem> {
    let Prepared {
        mut new_job,
        compiled,
    } = prepared;
    let job = compiled.as_ref().map(|compiled| compiled.job());
    if let Some((job, from)) = job.and_then(|job| Some((job, job.start_from.as_ref()?))) {
        new_job.starts = Some(warm::starts(store, job, &from.job).await?);
    }
    let submitted = store.submit(&new_job).await.map_err(store_problem)?;
    answer(store, submitted, compiled.as_deref()).await
}

/// Makes a job that goes on from a finished one with this many more evaluations.
///
/// # Errors
/// [`Kind::NotPossible`] with the reason, and as [`submit`].
pub async fn extend(app: &App, of: &JobId, more: u64) -> Result<SubmittedJob, Problem> {
    let store = app.store();
    let before = store.job(of).await.map_err(store_problem)?;
    of_kind(&before, JobKind::Search)?;
    let inputs = store.inputs(of).await.map_err(store_problem)?;
    let text = String::from_utf8_lossy(&inputs.input).into_owned();
    let rounds = u64::from(before.epochs);
    let place = app.preparing().await;
    let among = app.clone();
    let prepared = elsewhere(move || {
        let longer = longer(among.kept(), text, rounds, more)?;
        prepare_among(among.kept(), longer, None)
    })
    .await?;
    drop(place);
    let new_job = NewJob {
        parent: Some(of.clone()),
        labels: before.labels,
        priority: before.priority,
        starts: inputs.starts,
        ..prepared.new_job
    };
    let made = store.extend(of, work::build_id(), &new_job).await;
    let made = made.map_err(store_problem)?;
    let (made, _) = answer(store, made, prepared.compiled.as_deref()).await?;
    keep(app, &made, prepared.compiled);
    Ok(made)
}

/// The job file with a budget of the rounds that were searched and this much more.
fn longer(kept: &MadeReady, text: String, rounds: u64, more: u64) -> Result<String, Problem> {
    let job = parse_job(&text).map_err(faulty)?;
    let budget = kept.make(&job).map_err(faulty)?.budget();
    let spent = rounds * (budget.evaluations / u64::from(budget.rounds().max(1)));
    let mut file: Value = serde_json::from_str(&text)
        .map_err(|error| Problem::new(Kind::BadJson, error.to_string()))?;
    let all = spent.saturating_add(more);
    if file.get("search").is_none() {
        file["search"] = Value::Object(Default::default());
    }
    file["search"]["evaluations"] = all.into();
    Ok(file.to_string())
}

async fn answer(
    store: &Store,
    submitted: Submitted,
    compiled: Option<&Compiled>,
) -> Result<(SubmittedJob, bool), Problem> {
    let job = store.job(&submitted.id).await.map_err(store_problem)?;
    let answer = SubmittedJob {
        job: job.into(),
        budget: compiled.map(Compiled::budget),
        findings: compiled.map_or(Vec::new(), |compiled| compiled.findings().to_vec()),
    };
    Ok((answer, submitted.created))
}
