//! Labels: short words by which callers sort their jobs.

use std::collections::BTreeSet;

use crate::db::{Arg, Tx};
use crate::error::Error;
use crate::text::refuse_zero;

const LABELS: usize = 20;
const LABEL_BYTES: usize = 100;

/// Refuses too many or too long labels, and empty ones.
pub(crate) fn check(labels: &[String]) -> Result<(), Error> {
    for label in labels {
        refuse_zero("labels", label)?;
    }
    if labels.len() > LABELS {
        let message = format!("{} labels; at most {LABELS} are allowed", labels.len());
        return Err(Error::Invalid {
            field: "labels",
            message,
        });
    }
    match labels
        .iter()
        .find(|label| label.is_empty() || label.len() > LABEL_BYTES)
    {
        None => Ok(()),
        Some(label) => {
            let message = format!(
                "a label of {} bytes; 1 to {LABEL_BYTES} are allowed",
                label.len()
            );
            Err(Error::Invalid {
                field: "labels",
                message,
            })
        }
    }
}

/// Gives the job exactly these labels.
pub(crate) async fn replace(tx: &mut Tx, job: i64, labels: &[String]) -> Result<(), Error> {
    tx.run("DELETE FROM labels WHERE job = $1", &[Arg::Int(job)])
        .await?;
    add(tx, job, labels).await
}

/// Gives these labels to a job that has none.
pub(crate) async fn add(tx: &mut Tx, job: i64, labels: &[String]) -> Result<(), Error> {
    for label in labels.iter().collect::<BTreeSet<_>>() {
        tx.run(
            "INSERT INTO labels (job, label) VALUES ($1, $2)",
            &[Arg::Int(job), Arg::Text(label)],
        )
        .await?;
    }
    Ok(())
}
