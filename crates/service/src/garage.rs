//! Saved vehicles as they stand on the wire.

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use store::{JobId, SavedVehicle, VehicleId, VehiclePage, VersionRow};
use utoipa::ToSchema;

use crate::time::rfc3339;

/// A machine by its name: a candidate of a job, or a version of a saved vehicle.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MachineRef {
    /// Id of a job; with `number`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub job: Option<String>,
    /// Number of a candidate on the job's front, from 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<u32>,
    /// Id of a saved vehicle; with `version`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vehicle: Option<String>,
    /// A version of it, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub version: Option<u32>,
}

impl MachineRef {
    /// What a name may be, in words.
    pub const ALLOWED: &str = "{\"job\": ID, \"number\": WHOLE NUMBER FROM 0} or \
        {\"vehicle\": ID, \"version\": WHOLE NUMBER FROM 1}";

    /// A candidate of a job.
    pub fn candidate(job: impl Into<String>, number: u32) -> Self {
        Self {
            job: Some(job.into()),
            number: Some(number),
            ..Self::default()
        }
    }

    /// A version of a saved vehicle.
    pub fn version(vehicle: impl Into<String>, version: u32) -> Self {
        Self {
            vehicle: Some(vehicle.into()),
            version: Some(version),
            ..Self::default()
        }
    }

    /// Whether it names either a candidate or a version, whatever the ids are.
    pub fn is_one_kind(&self) -> bool {
        let members = (&self.job, self.number, &self.vehicle, self.version);
        matches!(
            members,
            (Some(_), Some(_), None, None) | (None, None, Some(_), Some(_))
        )
    }

    /// Whether it names one thing. What it names may be gone by now, or later.
    pub fn is_whole(&self) -> bool {
        match (&self.job, self.number, &self.vehicle, self.version) {
            (Some(job), Some(_), None, None) => JobId::parse(job).is_some(),
            (None, None, Some(vehicle), Some(version)) => {
                VehicleId::parse(vehicle).is_some() && version > 0
            }
            _ => false,
        }
    }
}

impl std::fmt::Display for MachineRef {
    /// `JOB/N` or `VEHICLE@N`.
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (&self.job, &self.vehicle) {
            (Some(job), _) => write!(out, "{job}/{}", self.number.unwrap_or_default()),
            (None, Some(vehicle)) => {
                write!(out, "{vehicle}@{}", self.version.unwrap_or_default())
            }
            (None, None) => Ok(()),
        }
    }
}

/// A vehicle to be saved.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ToSave {
    /// The vehicle file; kept byte for byte.
    #[schema(value_type = Object)]
    pub vehicle: Box<RawValue>,
    /// A name for people, 1 to 200 bytes; by default that in the file.
    #[serde(default)]
    #[schema(min_length = 1, max_length = 200)]
    pub name: Option<String>,
    /// Notes on the vehicle as a whole, to 10,000 bytes.
    #[serde(default)]
    #[schema(max_length = 10_000)]
    pub notes: String,
    /// At most 20 labels, each of 1 to 100 bytes.
    #[serde(default)]
    #[schema(max_items = 20)]
    pub labels: Vec<String>,
    /// What is to be said of this version, to 10,000 bytes.
    #[serde(default)]
    #[schema(max_length = 10_000)]
    pub note: String,
    /// What it was made from.
    #[serde(default)]
    pub from: Option<MachineRef>,
}

/// A version to be saved; a vehicle has at most 1,000.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ToSaveAsVersion {
    /// The vehicle file; kept byte for byte.
    #[schema(value_type = Object)]
    pub vehicle: Box<RawValue>,
    /// What is to be said of this version, to 10,000 bytes.
    #[serde(default)]
    #[schema(max_length = 10_000)]
    pub note: String,
    /// What it was made from.
    #[serde(default)]
    pub from: Option<MachineRef>,
}

/// Changes to a saved vehicle; what is absent stays as it is.
#[derive(Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Changes {
    /// Its name, 1 to 200 bytes.
    #[serde(default)]
    #[schema(min_length = 1, max_length = 200)]
    pub name: Option<String>,
    /// Its notes, to 10,000 bytes.
    #[serde(default)]
    #[schema(max_length = 10_000)]
    pub notes: Option<String>,
    /// All its labels: at most 20, each of 1 to 100 bytes.
    #[serde(default)]
    #[schema(max_items = 20)]
    pub labels: Option<Vec<String>>,
}

/// A saved vehicle as it stands.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct SavedVehicleStatus {
    /// Name of the vehicle in addresses: 16 hexadecimal digits.
    #[schema(example = "00f1e2d3c4b5a697")]
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Notes on the vehicle as a whole.
    pub notes: String,
    /// Words by which its keeper sorts vehicles.
    pub labels: Vec<String>,
    /// One more at every change; the ETag holds it.
    pub revision: u64,
    /// Number of its newest version.
    pub newest_version: u32,
    /// When it was first saved.
    #[schema(format = DateTime)]
    pub created_at: String,
    /// When it last changed.
    #[schema(format = DateTime)]
    pub changed_at: String,
    /// Address of the vehicle.
    pub link: String,
    /// Address of its newest version's file.
    pub newest_link: String,
    /// Its versions, oldest first; absent in lists.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub versions: Option<Vec<SavedVersion>>,
}

/// A version of a saved vehicle.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct SavedVersion {
    /// Its number, from 1.
    pub version: u32,
    /// What was said of it.
    pub note: String,
    /// What it was made from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<MachineRef>,
    /// SHA-256 of its file.
    pub sha256: String,
    /// When it was saved.
    #[schema(format = DateTime)]
    pub created_at: String,
    /// Address of its file.
    pub link: String,
}

/// One page of saved vehicles.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct SavedVehicleList {
    /// Newest first.
    pub vehicles: Vec<SavedVehicleStatus>,
    /// Give this as `cursor` to get the next page; absent on the last page.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next_cursor: Option<String>,
}

impl From<SavedVehicle> for SavedVehicleStatus {
    fn from(saved: SavedVehicle) -> Self {
        let link = format!("/v1/vehicles/{}", saved.id);
        Self {
            id: saved.id.to_string(),
            name: saved.name,
            notes: saved.notes,
            labels: saved.labels,
            revision: saved.revision,
            newest_version: saved.versions,
            created_at: rfc3339(saved.created_at),
            changed_at: rfc3339(saved.changed_at),
            newest_link: version_link(&link, saved.versions),
            link,
            versions: None,
        }
    }
}

impl SavedVehicleStatus {
    /// The vehicle together with its versions.
    pub fn with_versions(saved: SavedVehicle, versions: Vec<VersionRow>) -> Self {
        let mut status = Self::from(saved);
        let one = |row: VersionRow| SavedVersion {
            link: version_link(&status.link, row.version),
            version: row.version,
            note: row.note,
            from: row
                .origin
                .and_then(|bytes| serde_json::from_slice(&bytes).ok()),
            sha256: row.sha256,
            created_at: rfc3339(row.created_at),
        };
        status.versions = Some(versions.into_iter().map(one).collect());
        status
    }
}

impl From<VehiclePage> for SavedVehicleList {
    fn from(page: VehiclePage) -> Self {
        Self {
            vehicles: page.vehicles.into_iter().map(Into::into).collect(),
            next_cursor: page.next,
        }
    }
}

fn version_link(vehicle: &str, version: u32) -> String {
    format!("{vehicle}/versions/{version}")
}
