//! Reading saved vehicles.

use super::model::{SavedVehicle, StoredVersion, VehicleFilter, VehiclePage, VersionRow};
use crate::db::{Arg, Row};
use crate::error::Error;
use crate::ids::VehicleId;
use crate::lists::{Asked, contains};
use crate::store::Store;
use crate::text::refuse_zeros;

macro_rules! vehicle_columns {
    () => {
        "SELECT seq, id, caller, name, notes, versions, revision, created_at, changed_at \
         FROM vehicles "
    };
}

impl Store {
    /// One vehicle.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn vehicle(&self, id: &VehicleId) -> Result<SavedVehicle, Error> {
        let row = self
            .one(
                concat!(vehicle_columns!(), "WHERE id = $1"),
                &[Arg::Text(id.as_str())],
            )
            .await?
            .ok_or_else(|| unknown(id))?;
        self.vehicle_of(&row).await
    }

    /// Vehicles, newest first. The cursor of a page stays good while vehicles come and go.
    ///
    /// # Errors
    /// [`Error::Invalid`] for a cursor or a limit that can't be.
    pub async fn vehicles(&self, filter: &VehicleFilter) -> Result<VehiclePage, Error> {
        let asked = Asked::of(filter.cursor.as_deref(), filter.limit)?;
        refuse_zeros([
            ("caller", &filter.caller),
            ("label", &filter.label),
            ("name", &filter.name),
        ])?;
        let rows = self
            .read(
                concat!(
                    vehicle_columns!(),
                    "WHERE seq < $1 AND ($2 IS NULL OR caller = $2) \
                     AND ($3 IS NULL OR EXISTS (SELECT 1 FROM vehicle_labels l \
                         WHERE l.vehicle = vehicles.seq AND l.label = $3)) \
                     AND ($4 IS NULL OR lower(name) LIKE $4 ESCAPE '\\') \
                     ORDER BY seq DESC LIMIT $5"
                ),
                &[
                    asked.before(),
                    Arg::MaybeText(filter.caller.as_deref()),
                    Arg::MaybeText(filter.label.as_deref()),
                    Arg::MaybeText(filter.name.as_deref().map(contains).as_deref()),
                    asked.rows(),
                ],
            )
            .await?;
        let (shown, next) = asked.page(&rows)?;
        let mut vehicles = Vec::with_capacity(shown.len());
        for row in shown {
            vehicles.push(self.vehicle_of(row).await?);
        }
        Ok(VehiclePage { vehicles, next })
    }

    /// All versions of a vehicle, oldest first, without their files.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn versions(&self, id: &VehicleId) -> Result<Vec<VersionRow>, Error> {
        let rows = self
            .read(
                "SELECT version, body_sha256, note, origin, v.created_at FROM vehicle_versions v \
                 JOIN vehicles ON vehicles.seq = v.vehicle WHERE vehicles.id = $1 ORDER BY version",
                &[Arg::Text(id.as_str())],
            )
            .await?;
        // Every vehicle has a first version.
        if rows.is_empty() {
            return Err(unknown(id));
        }
        rows.iter().map(version_row).collect()
    }

    /// One version's file.
    ///
    /// # Errors
    /// [`Error::NotFound`] when there is no such vehicle or version.
    pub async fn version(&self, id: &VehicleId, version: u32) -> Result<StoredVersion, Error> {
        let row = self
            .one(
                "SELECT body, body_sha256 FROM vehicle_versions v \
                 JOIN vehicles ON vehicles.seq = v.vehicle \
                 WHERE vehicles.id = $1 AND version = $2",
                &[Arg::Text(id.as_str()), Arg::Int(i64::from(version))],
            )
            .await?
            .ok_or_else(|| Error::NotFound {
                what: format!("version {version} of vehicle {id}"),
            })?;
        Ok(StoredVersion {
            body: row.bytes(0)?,
            sha256: row.text(1)?,
        })
    }

    async fn vehicle_of(&self, row: &Row) -> Result<SavedVehicle, Error> {
        let labels = self
            .read(
                "SELECT label FROM vehicle_labels WHERE vehicle = $1 ORDER BY label",
                &[Arg::Int(row.int(0)?)],
            )
            .await?;
        Ok(SavedVehicle {
            id: VehicleId::from_row(row.text(1)?),
            caller: row.text(2)?,
            name: row.text(3)?,
            notes: row.text(4)?,
            labels: labels
                .iter()
                .map(|row| row.text(0))
                .collect::<Result<_, _>>()?,
            versions: row.int(5)? as u32,
            revision: row.int(6)? as u64,
            created_at: row.int(7)?,
            changed_at: row.int(8)?,
        })
    }
}

fn version_row(row: &Row) -> Result<VersionRow, Error> {
    Ok(VersionRow {
        version: row.int(0)? as u32,
        sha256: row.text(1)?,
        note: row.text(2)?,
        origin: row.maybe_bytes(3)?,
        created_at: row.int(4)?,
    })
}

pub(super) fn unknown(id: &VehicleId) -> Error {
    Error::NotFound {
        what: format!("vehicle {id}"),
    }
}
