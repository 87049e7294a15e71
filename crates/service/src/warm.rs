//! Starting from the front of another job of the store.

use design::{Fault, Job, parse_job, starts_from};
use store::{JobId, JobKind, JobState, Store};
use work::{FrontDocument, StartsDocument};

use crate::convert::{faulty, store_problem};
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::published::{of_kind, read};

/// The start points that a job takes from another, as they are kept with it.
///
/// # Errors
/// [`Kind::BadInput`] at `/start_from/job` when there is no such job or it is not done, and for each
/// freedom in which the two differ.
pub async fn starts(store: &Store, job: &Job, from: &str) -> Result<Vec<u8>, Problem> {
    let id = finished(store, from).await?;
    let front = store.front(&id).await.map_err(store_problem)?;
    let input = store.input(&id).await.map_err(store_problem)?;
    let other = parse_job(&String::from_utf8_lossy(&input)).map_err(|faults| {
        let why = faults.first().map(|fault| fault.message.as_str());
        let message = format!("this build does not accept that job: {}", why.unwrap_or(""));
        at_job(from, &message)
    })?;
    let document: FrontDocument = read(&front.body)?;
    // Of a job over several layouts those of its first, whose freedoms are the job's.
    let rows = document.candidates.into_iter();
    let rows = rows.filter(|row| row.layout.unwrap_or(0) == 0);
    let vectors: Vec<Vec<f64>> = rows.map(|row| row.vector).collect();
    let kept = StartsDocument {
        job: from.to_owned(),
        front_sha256: front.sha256,
        vectors: starts_from(job, &other, &vectors).map_err(faulty)?,
    };
    serde_json::to_vec(&kept).map_err(|error| Problem::new(Kind::Internal, error.to_string()))
}

async fn finished(store: &Store, from: &str) -> Result<JobId, Problem> {
    let unknown = || at_job(from, "there is no such job in this store");
    let id = JobId::parse(from).ok_or_else(unknown)?;
    match store.job(&id).await {
        Ok(job) if of_kind(&job, JobKind::Search).is_err() => {
            Err(at_job(from, "that job is no search and has no front"))
        }
        Ok(job) if job.state == JobState::Done => Ok(id),
        Ok(job) => {
            let message = format!("that job is {} and has no front", job.state.as_str());
            Err(at_job(from, &message))
        }
        Err(store::Error::NotFound { .. }) => Err(unknown()),
        Err(fault) => Err(store_problem(fault)),
    }
}

fn at_job(value: &str, message: &str) -> Problem {
    faulty(vec![Fault {
        pointer: "/start_from/job".to_owned(),
        message: message.to_owned(),
        value: serde_json::Value::from(value).to_string(),
        allowed: "the id of a job of this store that is done".to_owned(),
    }])
}
