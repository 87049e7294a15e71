//! Published results, read back from the store.

use std::collections::BTreeMap;

use design::{Candidate, Compiled};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use store::{Job, JobKind, JobState, Store, StoredFront};

use crate::convert::store_problem;
use crate::extract::job_id;
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::state::App;

/// The front of a finished job.
///
/// # Errors
/// [`Kind::NotFound`] for no such job, [`Kind::NoFront`] for a job that is not done,
/// [`Kind::NotPossible`] for one that is no search.
pub async fn front(store: &Store, job: &str) -> Result<StoredFront, Problem> {
    must_be_done(store, job).await?;
    store.front(&job_id(job)?).await.map_err(store_problem)
}

/// One candidate of a finished job: of its front, or of the rest of its archive.
///
/// # Errors
/// As [`front`], and [`Kind::NotFound`] for a number beyond the archive.
pub async fn candidate(app: &App, job: &str, number: u32) -> Result<Candidate, Problem> {
    candidate_body(app, job, number).await?.read()
}

/// A candidate as the bytes that were published, or as this build computes it again.
pub enum CandidateBody {
    /// Of the front.
    Published(Vec<u8>),
    /// Of the rest of the archive, of which goals and offsets alone are kept.
    Again(Box<Candidate>),
}

impl CandidateBody {
    /// The candidate.
    ///
    /// # Errors
    /// As [`read`].
    pub fn read(self) -> Result<Candidate, Problem> {
        match self {
            Self::Published(bytes) => read(&bytes),
            Self::Again(candidate) => Ok(*candidate),
        }
    }
}

/// As [`candidate`], not yet read.
///
/// # Errors
/// As [`candidate`].
pub async fn candidate_body(app: &App, job: &str, number: u32) -> Result<CandidateBody, Problem> {
    must_be_done(app.store(), job).await?;
    let id = job_id(job)?;
    let beyond = match app.store().candidate(&id, number).await {
        Ok(bytes) => return Ok(CandidateBody::Published(bytes)),
        Err(fault) => store_problem(fault),
    };
    if !beyond.is(Kind::NotFound) {
        return Err(beyond);
    }
    let kept: Numbered = read(&front(app.store(), job).await?.body)?;
    let place = kept.numbers().iter().position(|of| *of == number as usize);
    let mut kept = kept.archive;
    let row = kept.swap_remove(place.ok_or(beyond)?);
    let compiled = app.made_ready(&id).await?;
    let again = app.reports().run(move || row.candidate(&compiled));
    Ok(CandidateBody::Again(Box::new(again.await?)))
}

/// What numbers of candidates hang on: the offsets of a front and of its archive.
#[derive(Debug, Deserialize)]
pub struct Numbered {
    candidates: Vec<Vector>,
    /// Rows of the archive, in the order of the front's `archive`.
    #[serde(default)]
    pub archive: Vec<Vector>,
}

/// The offsets of one of them.
#[derive(Debug, Deserialize)]
pub struct Vector {
    /// Place of its layout, where the job has several.
    layout: Option<u32>,
    /// Offset of each freedom.
    vector: Vec<f64>,
}

impl Vector {
    /// The candidate, computed again.
    pub fn candidate(&self, job: &Compiled) -> Candidate {
        let layout = self.layout.unwrap_or(0) as usize;
        job.layout(layout).candidate(&self.vector)
    }

    /// Equal for equal rows.
    fn bits(&self) -> (Option<u32>, Vec<u64>) {
        // Adding 0 turns a −0 into a 0.
        let bits = self.vector.iter().map(|x| (x + 0.0).to_bits());
        (self.layout, bits.collect())
    }
}

impl Numbered {
    /// Numbers of the archive's rows: those of the front where they stand on it, and those behind the
    /// front's last for the others, in their order.
    pub fn numbers(&self) -> Vec<usize> {
        // A front's row in the order of its bits finds a row of the archive at once.
        let front: BTreeMap<_, usize> = self.candidates.iter().map(Vector::bits).zip(0..).collect();
        let mut next = self.candidates.len();
        let number = |row: &Vector| {
            front.get(&row.bits()).copied().unwrap_or_else(|| {
                next += 1;
                next - 1
            })
        };
        self.archive.iter().map(number).collect()
    }
}

/// Reads a published document.
///
/// # Errors
/// [`Kind::Internal`] when this build cannot read what another build published.
pub fn read<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Problem> {
    serde_json::from_slice(bytes).map_err(|error| {
        tracing::error!(%error, "a published document cannot be read");
        Problem::new(
            Kind::Internal,
            "this build cannot read the published document",
        )
    })
}

async fn must_be_done(store: &Store, job: &str) -> Result<(), Problem> {
    done(store, job, JobKind::Search, "front").await
}

async fn done(store: &Store, job: &str, kind: JobKind, what: &str) -> Result<(), Problem> {
    let found = store.job(&job_id(job)?).await.map_err(store_problem)?;
    of_kind(&found, kind)?;
    let detail = match found.state {
        JobState::Done => return Ok(()),
        JobState::Queued => format!("the job is queued; its {what} comes when it is done"),
        JobState::Running => format!("the job is running; its {what} comes when it is done"),
        JobState::Cancelled => format!("the job was cancelled and has no {what}"),
        JobState::Failed => format!(
            "the job failed and has no {what}: {}",
            found.reason.as_deref().unwrap_or("no reason is known")
        ),
    };
    Err(Problem::new(Kind::NoFront, detail))
}

/// Refuses a job of another kind.
///
/// # Errors
/// [`Kind::NotPossible`] saying where its result stands.
pub fn of_kind(job: &Job, wanted: JobKind) -> Result<(), Problem> {
    let detail = match (JobKind::parse(&job.kind), wanted) {
        (Some(kind), wanted) if kind == wanted => return Ok(()),
        (Some(JobKind::AsBuilt), _) => format!(
            "the job is a fit of a machine as built; its result is at /v1/jobs/{0}/fit and \
             /v1/jobs/{0}/report",
            job.id
        ),
        (Some(JobKind::Search), _) => {
            format!(
                "the job is a search; its result is at /v1/jobs/{}/front",
                job.id
            )
        }
        (None, _) => format!("this build does not know jobs of the kind {}", job.kind),
    };
    Err(Problem::new(Kind::NotPossible, detail))
}

/// The fit of a finished job of that kind, as it was published.
///
/// # Errors
/// As [`front`], and [`Kind::NotPossible`] for a job of another kind.
pub async fn fit(store: &Store, job: &str) -> Result<StoredFront, Problem> {
    done(store, job, JobKind::AsBuilt, "fit").await?;
    store.front(&job_id(job)?).await.map_err(store_problem)
}

/// Candidates of a finished job, all of them in the order of the front.
///
/// # Errors
/// As [`front`].
pub async fn candidates(store: &Store, job: &str) -> Result<Vec<Candidate>, Problem> {
    must_be_done(store, job).await?;
    let bodies = store.candidates(&job_id(job)?).await;
    let bodies = bodies.map_err(store_problem)?;
    bodies.iter().map(|body| read(body)).collect()
}
