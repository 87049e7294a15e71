//! From the text of a job file to a job in the store; server and command line share this path.

use design::{Budget, Compiled, Fault, Finding, Job, check_as_built, parse_as_built, parse_job};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::{JobId, JobKind, NewJob, Priority, Store, Submitted};
use utoipa::ToSchema;

use crate::convert::{faulty, store_problem};
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::published::of_kind;
use crate::warm;
use crate::wire::JobStatus;

/// Who submits, until access keys name callers.
pub const CALLER: &str = "local";

/// A job that was read and found sound, with what its caller should know.
#[derive(Debug)]
pub struct Prepared {
    new_job: NewJob,
    /// The job whose front it starts from.
    from: Option<StartFrom>,
    budget: Option<Budget>,
    findings: Vec<Finding>,
}

/// The search that starts from another's front, and that other.
type StartFrom = (Job, String);

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
    match kind_of(&text).as_deref() {
        None => prepare_search(text, key),
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
        from: None,
        budget: None,
        findings: Vec::new(),
    })
}

fn prepare_search(text: String, key: Option<String>) -> Result<Prepared, Problem> {
    let job = parse_job(&text).map_err(faulty)?;
    let compiled = Compiled::new(&job).map_err(faulty)?;
    let budget = compiled.budget();
    let new_job = NewJob {
        caller: CALLER.to_owned(),
        kind: JobKind::Search,
        name: job.name.clone(),
        labels: Vec::new(),
        priority: Priority::default(),
        input: text.into_bytes(),
        starts: None,
        idempotency_key: key,
        islands: budget.islands,
        epochs: budget.epochs,
        planned: budget.evaluations + budget.polish_evaluations,
        parent: None,
        keep_days: None,
    };
    let from = job.start_from.as_ref().map(|from| from.job.clone());
    Ok(Prepared {
        new_job,
        budget: Some(budget),
        findings: compiled.findings().to_vec(),
        from: from.map(|from| (job, from)),
    })
}

/// [`prepare`] on a thread of its own, away from those that serve requests.
///
/// # Errors
/// As [`prepare`], and [`Kind::Internal`] when it panics.
pub async fn prepare_elsewhere(text: String, key: Option<String>) -> Result<Prepared, Problem> {
    tokio::task::spawn_blocking(move || prepare(text, key))
        .await
        .unwrap_or_else(|_| {
            Err(Problem::new(
                Kind::Internal,
                "the validation stopped unexpectedly",
            ))
        })
}

/// Keeps a prepared job. The flag says whether it is new rather than found by its key.
///
/// # Errors
/// [`Kind::KeyReused`], [`Kind::QueueFull`] or [`Kind::StoreUnavailable`]; [`Kind::BadInput`] when
/// the job that it starts from has no front or other freedoms.
pub async fn submit(store: &Store, prepared: Prepared) -> Result<(SubmittedJob, bool), Problem> {
    let Prepared {
        mut new_job,
        from,
        budget,
        findings,
    } = prepared;
    if let Some((job, from)) = &from {
        new_job.starts = Some(warm::starts(store, job, from).await?);
    }
    let submitted = store.submit(&new_job).await.map_err(store_problem)?;
    answer(store, submitted, budget, findings).await
}

/// Makes a job that goes on from a finished one with this many more evaluations.
///
/// # Errors
/// [`Kind::NotPossible`] with the reason, and as [`submit`].
pub async fn extend(store: &Store, of: &JobId, more: u64) -> Result<(SubmittedJob, bool), Problem> {
    let before = store.job(of).await.map_err(store_problem)?;
    of_kind(&before, JobKind::Search)?;
    let inputs = store.inputs(of).await.map_err(store_problem)?;
    let text = String::from_utf8_lossy(&inputs.input).into_owned();
    let spent = u64::from(before.epochs) * u64::from(before.islands);
    let longer = longer(text, spent, more);
    let prepared = tokio::task::spawn_blocking(move || longer.and_then(|text| prepare(text, None)));
    let prepared = prepared.await.unwrap_or_else(|_| {
        Err(Problem::new(
            Kind::Internal,
            "the validation stopped unexpectedly",
        ))
    })?;
    let mut new_job = prepared.new_job;
    new_job.parent = Some(of.clone());
    new_job.labels = before.labels;
    new_job.priority = before.priority;
    new_job.starts = inputs.starts;
    let made = store.extend(of, work::build_id(), &new_job).await;
    let made = made.map_err(store_problem)?;
    answer(store, made, prepared.budget, prepared.findings).await
}

/// The job file with a budget of what was searched and this much more. `slices` is the number of
/// epochs of all islands together.
fn longer(text: String, slices: u64, more: u64) -> Result<String, Problem> {
    let job = parse_job(&text).map_err(faulty)?;
    let epoch = Compiled::new(&job).map_err(faulty)?.epoch_evaluations();
    let mut file: Value = serde_json::from_str(&text)
        .map_err(|error| Problem::new(Kind::BadJson, error.to_string()))?;
    let all = (slices * u64::from(epoch)).saturating_add(more);
    if file.get("search").is_none() {
        file["search"] = Value::Object(Default::default());
    }
    file["search"]["evaluations"] = all.into();
    Ok(file.to_string())
}

async fn answer(
    store: &Store,
    submitted: Submitted,
    budget: Option<Budget>,
    findings: Vec<Finding>,
) -> Result<(SubmittedJob, bool), Problem> {
    let job = store.job(&submitted.id).await.map_err(store_problem)?;
    let answer = SubmittedJob {
        job: job.into(),
        budget,
        findings,
    };
    Ok((answer, submitted.created))
}
