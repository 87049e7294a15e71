//! Early stop: decided at an epoch border, by the transaction that ends the epoch's last slice, from
//! the figures of all islands.

use crate::checkpoints::{extent, make_ready};
use crate::db::{Arg, Tx};
use crate::error::Error;
use crate::events;
use crate::model::{Border, Claim};

/// Notes the island's figure and, when it is the epoch's last, decides whether the search ends here.
/// The caller holds the job's row alone, so that of two last slices one comes second.
pub(crate) async fn settle(
    tx: &mut Tx,
    claim: &Claim,
    border: &Border,
    anchor: u32,
) -> Result<bool, Error> {
    let epoch = i64::from(claim.key.epoch);
    note(tx, claim, border.figure).await?;
    let (islands, epochs) = extent(tx, claim.job_seq).await?;
    let now = figures(tx, claim.job_seq, epoch).await?;
    if (now.len() as i64) < islands {
        return Ok(false);
    }
    let first = first_epoch(tx, claim.job_seq).await?;
    let earlier = epoch - i64::from(border.window.max(1));
    if earlier >= first && epoch + 1 < epochs {
        let before = figures(tx, claim.job_seq, earlier).await?;
        if (border.has_settled)(&before, &now, border.gain) {
            stop(tx, claim, islands, epochs).await?;
            return Ok(true);
        }
    }
    release(tx, claim.job_seq, epoch, anchor).await?;
    Ok(false)
}

async fn note(tx: &mut Tx, claim: &Claim, figure: Option<f64>) -> Result<(), Error> {
    tx.run(
        "INSERT INTO ledger (job, epoch, island, figure) VALUES ($1, $2, $3, $4)",
        &[
            Arg::Int(claim.job_seq),
            Arg::Int(i64::from(claim.key.epoch)),
            Arg::Int(i64::from(claim.key.island)),
            Arg::MaybeInt(figure.map(|figure| figure.to_bits() as i64)),
        ],
    )
    .await?;
    Ok(())
}

/// Figures of an epoch in island order.
async fn figures(tx: &mut Tx, job: i64, epoch: i64) -> Result<Vec<Option<f64>>, Error> {
    let rows = tx
        .rows(
            "SELECT figure FROM ledger WHERE job = $1 AND epoch = $2 ORDER BY island",
            &[Arg::Int(job), Arg::Int(epoch)],
        )
        .await?;
    let figure = |bits: i64| f64::from_bits(bits as u64);
    rows.iter()
        .map(|row| Ok(row.maybe_int(0)?.map(figure)))
        .collect()
}

async fn first_epoch(tx: &mut Tx, job: i64) -> Result<i64, Error> {
    let rows = tx
        .rows(
            "SELECT first_epoch FROM jobs WHERE seq = $1",
            &[Arg::Int(job)],
        )
        .await?;
    rows.first().ok_or(Error::LeaseLost)?.int(0)
}

/// The epoch's checkpoints were held for this decision, since a stop merges them; now they may go.
async fn release(tx: &mut Tx, job: i64, epoch: i64, anchor: u32) -> Result<(), Error> {
    let place = [Arg::Int(job), Arg::Int(epoch)];
    tx.run(
        "UPDATE checkpoints SET reads = reads + 1 WHERE job = $1 AND epoch = $2",
        &place,
    )
    .await?;
    if epoch % i64::from(anchor.max(1)) != 0 {
        tx.run(
            "DELETE FROM checkpoints WHERE job = $1 AND epoch = $2 AND reads >= readers",
            &place,
        )
        .await?;
    }
    Ok(())
}

/// Ends the search behind this epoch: later slices and what they left are discarded, claims on them
/// are void, and the merge is ready.
async fn stop(tx: &mut Tx, claim: &Claim, islands: i64, epochs: i64) -> Result<(), Error> {
    let job = claim.job_seq;
    let ended = i64::from(claim.key.epoch) + 1;
    tx.run(
        "UPDATE jobs SET asked_epochs = epochs, epochs = $2 WHERE seq = $1",
        &[Arg::Int(job), Arg::Int(ended)],
    )
    .await?;
    cut(tx, job, ended).await?;
    make_ready(tx, job, islands, ended, ended).await?;
    let body = format!("{{\"epochs\":{ended},\"of\":{epochs}}}");
    events::append(tx, job, "stopped", body.as_bytes()).await
}

/// Takes away every slice from this epoch on, with its checkpoint and its figure.
pub(crate) async fn cut(tx: &mut Tx, job: i64, from: i64) -> Result<(), Error> {
    for table in [
        "DELETE FROM slices WHERE job = $1 AND epoch >= $2",
        "DELETE FROM checkpoints WHERE job = $1 AND epoch >= $2",
        "DELETE FROM ledger WHERE job = $1 AND epoch >= $2",
    ] {
        tx.run(table, &[Arg::Int(job), Arg::Int(from)]).await?;
    }
    Ok(())
}

/// Undoes an early stop whose last epoch is to be computed again; answers the epochs of the job.
pub(crate) async fn undo_stop(tx: &mut Tx, job: i64, from: i64) -> Result<i64, Error> {
    tx.run(
        "UPDATE jobs SET epochs = asked_epochs, asked_epochs = NULL \
         WHERE seq = $1 AND asked_epochs IS NOT NULL AND epochs > $2",
        &[Arg::Int(job), Arg::Int(from)],
    )
    .await?;
    Ok(extent(tx, job).await?.1)
}
