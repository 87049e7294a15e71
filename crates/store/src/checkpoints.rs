//! Checkpoints: bytes with the build that wrote them and their digest.

use crate::border::{cut, undo_stop};
use crate::claim::job_kind;
use crate::complete::{finish_slice, lock_job};
use crate::db::{Arg, Tx, retried};
use crate::error::Error;
use crate::events;
use crate::ids::JobId;
use crate::kind::JobKind;
use crate::model::{Claim, SliceKey};
use crate::store::{Store, sha256_hex};

impl Store {
    /// A checkpoint of the claim's job, checked against its digest and build.
    ///
    /// # Errors
    /// [`Error::Damaged`] when it is missing or not what was written; [`Store::rewind`] cures that.
    pub async fn checkpoint(&self, claim: &Claim, key: SliceKey) -> Result<Vec<u8>, Error> {
        let row = self
            .one(
                "SELECT bytes, sha256, build FROM checkpoints WHERE job = $1 AND island = $2 AND epoch = $3",
                &[
                    Arg::Int(claim.job_seq),
                    Arg::Int(i64::from(key.island)),
                    Arg::Int(i64::from(key.epoch)),
                ],
            )
            .await?
            .ok_or(Error::Damaged { key })?;
        let bytes = row.bytes(0)?;
        if sha256_hex(&bytes) != row.text(1)? || row.text(2)? != claim.build {
            return Err(Error::Damaged { key });
        }
        Ok(bytes)
    }

    /// Each island's newest search checkpoint, in island order, unchecked: for figures of progress,
    /// never as the input of a slice.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn newest_checkpoints(
        &self,
        claim: &Claim,
    ) -> Result<Vec<(SliceKey, Vec<u8>)>, Error> {
        self.newest_of(claim.job_seq).await
    }

    /// The same of any job, with nobody at work on it or without a claim: to look at what was found.
    ///
    /// # Errors
    /// [`Error::NotFound`] for a job that does not exist.
    pub async fn latest_checkpoints(&self, job: &JobId) -> Result<Vec<(SliceKey, Vec<u8>)>, Error> {
        let seq = self.job_seq(job).await?;
        self.newest_of(seq).await
    }

    async fn newest_of(&self, job: i64) -> Result<Vec<(SliceKey, Vec<u8>)>, Error> {
        let rows = self
            .read(
                "SELECT c.epoch, c.island, c.bytes FROM checkpoints c WHERE c.job = $1 AND c.epoch = \
                   (SELECT max(n.epoch) FROM checkpoints n JOIN jobs j ON j.seq = n.job \
                    WHERE n.job = $1 AND n.island = c.island AND n.epoch < j.epochs) \
                 ORDER BY c.island",
                &[Arg::Int(job)],
            )
            .await?;
        rows.iter()
            .map(|row| Ok((crate::claim::key(row, 0, 1)?, row.bytes(2)?)))
            .collect()
    }

    /// Starts the job again from its newest epoch of which every island's checkpoint is whole, or from
    /// the beginning; answers that epoch, `None` for the beginning. Slices are pure functions of their
    /// inputs, so the job computes the same bits again. All claims on the job are void afterwards,
    /// this one included.
    ///
    /// # Errors
    /// [`Error::LeaseLost`]: nothing was written.
    pub async fn rewind(&self, claim: &Claim) -> Result<Option<u32>, Error> {
        retried!(self.rewind_once(claim))
    }

    async fn rewind_once(&self, claim: &Claim) -> Result<Option<u32>, Error> {
        let mut tx = self.begin().await?;
        let outcome = rewind_claimed(&mut tx, claim).await;
        self.settle(tx, outcome).await
    }
}

async fn rewind_claimed(tx: &mut Tx, claim: &Claim) -> Result<Option<u32>, Error> {
    lock_job(tx, claim.job_seq).await?;
    finish_slice(tx, claim, 0).await?;
    let (islands, last) = extent(tx, claim.job_seq).await?;
    let whole = newest_whole_epoch(tx, claim, islands, last).await?;
    let from = whole.map_or(0, |epoch| i64::from(epoch) + 1);
    cut(tx, claim.job_seq, from).await?;
    let last = undo_stop(tx, claim.job_seq, from).await?;
    make_ready(tx, claim.job_seq, islands, from, last).await?;
    let body = format!("{{\"from_epoch\":{from}}}");
    events::append(tx, claim.job_seq, "rewound", body.as_bytes()).await?;
    Ok(whole)
}

/// Stores the bytes for their readers; without readers there is nothing to keep.
pub(crate) async fn keep(
    tx: &mut Tx,
    claim: &Claim,
    bytes: &[u8],
    readers: u32,
) -> Result<(), Error> {
    if readers == 0 {
        return Ok(());
    }
    tx.run(
        "INSERT INTO checkpoints (job, island, epoch, build, sha256, readers, bytes) \
         VALUES ($1, $2, $3, $4, $5, $6, $7)",
        &[
            Arg::Int(claim.job_seq),
            Arg::Int(i64::from(claim.key.island)),
            Arg::Int(i64::from(claim.key.epoch)),
            Arg::Text(&claim.build),
            Arg::Text(&sha256_hex(bytes)),
            Arg::Int(i64::from(readers)),
            Arg::Bytes(bytes),
        ],
    )
    .await?;
    Ok(())
}

/// Counts these checkpoints as read once more and deletes what nobody needs: those read by all their
/// readers, except on every `anchor`-th epoch, of which the newest whole one stays.
pub(crate) async fn count_off(
    tx: &mut Tx,
    claim: &Claim,
    read: &[SliceKey],
    anchor: u32,
) -> Result<(), Error> {
    let job = Arg::Int(claim.job_seq);
    let anchor = i64::from(anchor.max(1));
    let mut read = read.to_vec();
    read.sort();
    for key in read {
        let place = [
            job,
            Arg::Int(i64::from(key.island)),
            Arg::Int(i64::from(key.epoch)),
        ];
        tx.run(
            "UPDATE checkpoints SET reads = reads + 1 WHERE job = $1 AND island = $2 AND epoch = $3",
            &place,
        )
        .await?;
        if i64::from(key.epoch) % anchor != 0 {
            tx.run(
                "DELETE FROM checkpoints \
                 WHERE job = $1 AND island = $2 AND epoch = $3 AND reads >= readers",
                &place,
            )
            .await?;
        }
    }
    if i64::from(claim.key.epoch) % anchor == 0 {
        drop_older_anchors(tx, job, Arg::Int(i64::from(claim.key.epoch))).await?;
    }
    Ok(())
}

/// Once all islands stand at this anchor, the read ones before it are no longer needed.
async fn drop_older_anchors(tx: &mut Tx, job: Arg<'_>, anchor: Arg<'_>) -> Result<(), Error> {
    tx.run(
        "DELETE FROM checkpoints WHERE job = $1 AND epoch < $2 AND reads >= readers \
         AND (SELECT count(*) FROM checkpoints w WHERE w.job = $1 AND w.epoch = $2) \
             = (SELECT islands FROM jobs WHERE seq = $1)",
        &[job, anchor],
    )
    .await?;
    Ok(())
}

/// Deletes all but the last epoch of the search, from which a longer run can go on.
pub(crate) async fn keep_last_epoch(tx: &mut Tx, job: i64) -> Result<(), Error> {
    tx.run(
        "DELETE FROM checkpoints \
         WHERE job = $1 AND epoch <> (SELECT epochs - 1 FROM jobs WHERE seq = $1)",
        &[Arg::Int(job)],
    )
    .await?;
    Ok(())
}

/// Deletes all checkpoints of a job that ended without a result.
pub(crate) async fn drop_all(tx: &mut Tx, job: i64) -> Result<(), Error> {
    tx.run("DELETE FROM checkpoints WHERE job = $1", &[Arg::Int(job)])
        .await?;
    Ok(())
}

/// Number of islands and of search epochs of the job.
pub(crate) async fn extent(tx: &mut Tx, job: i64) -> Result<(i64, i64), Error> {
    let rows = tx
        .rows(
            "SELECT islands, epochs FROM jobs WHERE seq = $1",
            &[Arg::Int(job)],
        )
        .await?;
    let row = rows.first().ok_or(Error::LeaseLost)?;
    Ok((row.int(0)?, row.int(1)?))
}

async fn newest_whole_epoch(
    tx: &mut Tx,
    claim: &Claim,
    islands: i64,
    epochs: i64,
) -> Result<Option<u32>, Error> {
    let complete = tx
        .rows(
            "SELECT epoch FROM checkpoints WHERE job = $1 AND epoch < $3 \
             GROUP BY epoch HAVING count(*) = $2 ORDER BY epoch DESC",
            &[Arg::Int(claim.job_seq), Arg::Int(islands), Arg::Int(epochs)],
        )
        .await?;
    for row in &complete {
        let epoch = row.int(0)?;
        if is_whole(tx, claim, epoch).await? {
            return Ok(Some(epoch as u32));
        }
    }
    Ok(None)
}

async fn is_whole(tx: &mut Tx, claim: &Claim, epoch: i64) -> Result<bool, Error> {
    let rows = tx
        .rows(
            "SELECT bytes, sha256, build FROM checkpoints WHERE job = $1 AND epoch = $2",
            &[Arg::Int(claim.job_seq), Arg::Int(epoch)],
        )
        .await?;
    for row in &rows {
        if sha256_hex(&row.bytes(0)?) != row.text(1)? || row.text(2)? != claim.build {
            return Ok(false);
        }
    }
    Ok(true)
}

async fn kind_of(tx: &mut Tx, job: i64) -> Result<JobKind, Error> {
    let rows = tx
        .rows("SELECT kind FROM jobs WHERE seq = $1", &[Arg::Int(job)])
        .await?;
    job_kind(&rows.first().ok_or(Error::LeaseLost)?.text(0)?)
}

/// Makes the slices of this epoch claimable, all inputs there, and their inputs unread but for the
/// decision of a border that has been made.
pub(crate) async fn make_ready(
    tx: &mut Tx,
    job: i64,
    islands: i64,
    epoch: i64,
    epochs: i64,
) -> Result<(), Error> {
    let after = epoch == epochs;
    let job_kind = kind_of(tx, job).await?;
    let kind = if after {
        job_kind.follows()
    } else {
        job_kind.slices()
    };
    for island in 0..(if after { 1 } else { islands }) {
        tx.run(
            "INSERT INTO slices (job, caller, kind, island, epoch, inputs, arrived, state) \
             SELECT $1, caller, $2, $3, $4, 0, 0, 'ready' FROM jobs WHERE seq = $1",
            &[
                Arg::Int(job),
                Arg::Text(kind.as_str()),
                Arg::Int(island),
                Arg::Int(epoch),
            ],
        )
        .await?;
    }
    tx.run(
        "UPDATE checkpoints SET reads = CASE WHEN EXISTS \
             (SELECT 1 FROM ledger l WHERE l.job = $1 AND l.epoch = $2) THEN 1 ELSE 0 END \
         WHERE job = $1 AND epoch = $2",
        &[Arg::Int(job), Arg::Int(epoch - 1)],
    )
    .await?;
    Ok(())
}
