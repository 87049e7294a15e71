//! Vehicles that callers keep: a name, notes and labels that may change, and versions that never do.
//!
//! Every change raises the vehicle's revision. Who gives the revision that he has seen is refused when
//! another one stands, so that nobody undoes unawares what another wrote.

mod check;
mod model;
mod read;

pub use model::*;

use std::collections::BTreeSet;

use crate::db::{Arg, Tx, retried};
use crate::error::Error;
use crate::ids::VehicleId;
use crate::labels;
use crate::store::{Store, sha256_hex};
use crate::text::refuse_zero;

impl Store {
    /// Keeps a vehicle with its first version.
    ///
    /// # Errors
    /// [`Error::Invalid`] for a value out of range; [`Error::TooManyKept`].
    pub async fn save_vehicle(&self, new: &NewVehicle) -> Result<SavedVehicle, Error> {
        check::name(&new.name)?;
        check::notes(&new.notes)?;
        check::version(&new.first)?;
        refuse_zero("caller", &new.caller)?;
        labels::check(&new.labels)?;
        let id = retried!(self.save_vehicle_once(new))?;
        self.vehicle(&id).await
    }

    async fn save_vehicle_once(&self, new: &NewVehicle) -> Result<VehicleId, Error> {
        let mut tx = self.begin().await?;
        let kept = tx
            .rows(
                "SELECT count(*) FROM vehicles WHERE caller = $1",
                &[Arg::Text(&new.caller)],
            )
            .await?;
        let kept = kept.first().map_or(Ok(0), |row| row.int(0))? as u64;
        refuse_more("vehicles", kept, MOST_VEHICLES)?;
        let rows = tx
            .rows(
                "INSERT INTO vehicles (id, caller, name, notes, versions, revision, created_at, \
                 changed_at) VALUES (random_id(), $1, $2, $3, 1, 1, now_ms(), now_ms()) \
                 RETURNING seq, id",
                &[
                    Arg::Text(&new.caller),
                    Arg::Text(&new.name),
                    Arg::Text(&new.notes),
                ],
            )
            .await?;
        let row = rows.first().ok_or(sqlx::Error::RowNotFound)?;
        let seq = row.int(0)?;
        insert_version(&mut tx, seq, 1, &new.first).await?;
        replace_labels(&mut tx, seq, &new.labels).await?;
        self.commit(tx).await?;
        Ok(VehicleId::from_row(row.text(1)?))
    }

    /// Keeps one more version of a vehicle and answers its number.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::ChangedMeanwhile`] when `seen` is another revision than the one
    /// that stands; [`Error::Invalid`]; [`Error::TooManyKept`].
    pub async fn save_version(
        &self,
        id: &VehicleId,
        new: &NewVersion,
        seen: Option<u64>,
    ) -> Result<u32, Error> {
        check::version(new)?;
        retried!(self.save_version_once(id, new, seen))
    }

    async fn save_version_once(
        &self,
        id: &VehicleId,
        new: &NewVersion,
        seen: Option<u64>,
    ) -> Result<u32, Error> {
        let mut tx = self.begin().await?;
        let held = hold(&mut tx, id, seen).await?;
        refuse_more("versions of this vehicle", held.versions, MOST_VERSIONS)?;
        let version = held.versions + 1;
        insert_version(&mut tx, held.seq, version as i64, new).await?;
        tx.run(
            "UPDATE vehicles SET versions = $2, revision = revision + 1, changed_at = now_ms() \
             WHERE seq = $1",
            &[Arg::Int(held.seq), Arg::Int(version as i64)],
        )
        .await?;
        self.commit(tx).await?;
        Ok(version as u32)
    }

    /// Changes name, notes or labels.
    ///
    /// # Errors
    /// As [`Store::save_version`].
    pub async fn change_vehicle(
        &self,
        id: &VehicleId,
        change: &VehicleChange,
        seen: Option<u64>,
    ) -> Result<SavedVehicle, Error> {
        check::change(change)?;
        retried!(self.change_vehicle_once(id, change, seen))?;
        self.vehicle(id).await
    }

    async fn change_vehicle_once(
        &self,
        id: &VehicleId,
        change: &VehicleChange,
        seen: Option<u64>,
    ) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let seq = hold(&mut tx, id, seen).await?.seq;
        if let Some(labels) = &change.labels {
            replace_labels(&mut tx, seq, labels).await?;
        }
        tx.run(
            "UPDATE vehicles SET name = COALESCE($2, name), notes = COALESCE($3, notes), \
             revision = revision + 1, changed_at = now_ms() WHERE seq = $1",
            &[
                Arg::Int(seq),
                Arg::MaybeText(change.name.as_deref()),
                Arg::MaybeText(change.notes.as_deref()),
            ],
        )
        .await?;
        self.commit(tx).await
    }

    /// Deletes a vehicle with all its versions.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::ChangedMeanwhile`].
    pub async fn delete_vehicle(&self, id: &VehicleId, seen: Option<u64>) -> Result<(), Error> {
        retried!(self.delete_vehicle_once(id, seen))
    }

    async fn delete_vehicle_once(&self, id: &VehicleId, seen: Option<u64>) -> Result<(), Error> {
        let mut tx = self.begin().await?;
        let seq = hold(&mut tx, id, seen).await?.seq;
        tx.run("DELETE FROM vehicles WHERE seq = $1", &[Arg::Int(seq)])
            .await?;
        self.commit(tx).await
    }
}

/// A vehicle's row, kept from other writers until the transaction ends.
struct Held {
    seq: i64,
    versions: u64,
}

async fn hold(tx: &mut Tx, id: &VehicleId, seen: Option<u64>) -> Result<Held, Error> {
    let rows = tx
        .rows(
            "SELECT seq, versions, revision FROM vehicles WHERE id = $1 lock_alone()",
            &[Arg::Text(id.as_str())],
        )
        .await?;
    let row = rows.first().ok_or_else(|| read::unknown(id))?;
    let found = row.int(2)? as u64;
    if seen.is_some_and(|seen| seen != found) {
        return Err(Error::ChangedMeanwhile {
            id: id.clone(),
            found,
        });
    }
    Ok(Held {
        seq: row.int(0)?,
        versions: row.int(1)? as u64,
    })
}

fn refuse_more(what: &'static str, found: u64, limit: u64) -> Result<(), Error> {
    match found < limit {
        true => Ok(()),
        false => Err(Error::TooManyKept { what, found, limit }),
    }
}

async fn insert_version(
    tx: &mut Tx,
    vehicle: i64,
    version: i64,
    new: &NewVersion,
) -> Result<(), Error> {
    tx.run(
        "INSERT INTO vehicle_versions (vehicle, version, body, body_sha256, note, origin, created_at) \
         VALUES ($1, $2, $3, $4, $5, $6, now_ms())",
        &[
            Arg::Int(vehicle),
            Arg::Int(version),
            Arg::Bytes(&new.body),
            Arg::Text(&sha256_hex(&new.body)),
            Arg::Text(&new.note),
            Arg::MaybeBytes(new.origin.as_deref()),
        ],
    )
    .await?;
    Ok(())
}

/// Gives the vehicle exactly these labels.
async fn replace_labels(tx: &mut Tx, vehicle: i64, labels: &[String]) -> Result<(), Error> {
    tx.run(
        "DELETE FROM vehicle_labels WHERE vehicle = $1",
        &[Arg::Int(vehicle)],
    )
    .await?;
    for label in labels.iter().collect::<BTreeSet<_>>() {
        tx.run(
            "INSERT INTO vehicle_labels (vehicle, label) VALUES ($1, $2)",
            &[Arg::Int(vehicle), Arg::Text(label)],
        )
        .await?;
    }
    Ok(())
}
