//! From the text of a job file to a job in the store; server and command line share this path.

use design::{Budget, Compiled, Finding, parse_job};
use serde::{Deserialize, Serialize};
use store::{JobId, NewJob, Priority, Store};
use utoipa::ToSchema;

use crate::convert::{faulty, store_problem};
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::wire::JobStatus;

/// Who submits, until access keys name callers.
pub const CALLER: &str = "local";

/// A job that was read and found sound, with what its caller should know.
#[derive(Debug)]
pub struct Prepared {
    new_job: NewJob,
    budget: Budget,
    findings: Vec<Finding>,
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
    /// The budget after rounding up to whole epochs of all islands.
    pub budget: Budget,
    /// What a look at some candidates showed: goals no freedom changes, requirements that every
    /// one of them failed. None of these keeps the job from running.
    pub findings: Vec<Finding>,
}

/// Reads a job file and looks at a sample of its candidates. Takes some tenths of a second.
///
/// # Errors
/// [`Kind::BadInput`] or [`Kind::BadJson`] with every fault of the file.
pub fn prepare(text: String, key: Option<String>) -> Result<Prepared, Problem> {
    let job = parse_job(&text).map_err(faulty)?;
    let compiled = Compiled::new(&job).map_err(faulty)?;
    let budget = compiled.budget();
    let new_job = NewJob {
        caller: CALLER.to_owned(),
        name: job.name,
        labels: Vec::new(),
        priority: Priority::default(),
        input: text.into_bytes(),
        idempotency_key: key,
        islands: budget.islands,
        epochs: budget.epochs,
        planned: budget.evaluations + budget.polish_evaluations,
        parent: None,
        keep_days: None,
    };
    Ok(Prepared {
        new_job,
        budget,
        findings: compiled.findings().to_vec(),
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
/// [`Kind::KeyReused`], [`Kind::QueueFull`] or [`Kind::StoreUnavailable`].
pub async fn submit(store: &Store, prepared: Prepared) -> Result<(SubmittedJob, bool), Problem> {
    let Prepared {
        new_job,
        budget,
        findings,
    } = prepared;
    let submitted = store.submit(&new_job).await.map_err(store_problem)?;
    let job = store.job(&submitted.id).await.map_err(store_problem)?;
    let answer = SubmittedJob {
        job: job.into(),
        budget,
        findings,
    };
    Ok((answer, submitted.created))
}
