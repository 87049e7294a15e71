//! Saved vehicles as plain data.

use crate::ids::VehicleId;

/// Versions that one vehicle may have.
pub const MOST_VERSIONS: u64 = 1_000;
/// Vehicles that one caller may keep.
pub const MOST_VEHICLES: u64 = 10_000;

/// A vehicle to be kept, with its first version.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewVehicle {
    /// Who keeps it.
    pub caller: String,
    /// A name for people, 1 to 200 bytes.
    pub name: String,
    /// Notes on the whole vehicle, to 10,000 bytes.
    pub notes: String,
    /// Labels, as those of jobs.
    pub labels: Vec<String>,
    /// Its first version.
    pub first: NewVersion,
}

/// A version to be kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewVersion {
    /// The vehicle file, kept byte for byte.
    pub body: Vec<u8>,
    /// What is to be said about this version, to 10,000 bytes.
    pub note: String,
    /// What it was made from; opaque here.
    pub origin: Option<Vec<u8>>,
}

/// A saved vehicle as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SavedVehicle {
    /// Its public name.
    pub id: VehicleId,
    /// Who keeps it.
    pub caller: String,
    /// Its name for people.
    pub name: String,
    /// Its notes.
    pub notes: String,
    /// Its labels, sorted.
    pub labels: Vec<String>,
    /// Number of the newest version, from 1.
    pub versions: u32,
    /// One more at every change.
    pub revision: u64,
    /// When it was first kept, ms since 1970.
    pub created_at: i64,
    /// When it last changed, ms since 1970.
    pub changed_at: i64,
}

/// What is known of a version beside its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VersionRow {
    /// Its number, from 1.
    pub version: u32,
    /// SHA-256 of its file, lower-case hex.
    pub sha256: String,
    /// What was said about it.
    pub note: String,
    /// What it was made from.
    pub origin: Option<Vec<u8>>,
    /// When it was kept, ms since 1970.
    pub created_at: i64,
}

/// A version with its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredVersion {
    /// The file, byte for byte.
    pub body: Vec<u8>,
    /// Its SHA-256, lower-case hex.
    pub sha256: String,
}

/// What is to change about a vehicle; what is absent stays.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VehicleChange {
    /// Its name.
    pub name: Option<String>,
    /// Its notes.
    pub notes: Option<String>,
    /// All its labels.
    pub labels: Option<Vec<String>>,
}

/// Which vehicles to list; absent members let all pass.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VehicleFilter {
    /// Only those of this caller.
    pub caller: Option<String>,
    /// Only those with this label.
    pub label: Option<String>,
    /// Only those whose name contains this, ASCII letters in either case.
    pub name: Option<String>,
    /// Rows on a page, 1 to 200; 0 is 50.
    pub limit: u32,
    /// Where the page before ended.
    pub cursor: Option<String>,
}

/// One page of vehicles.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VehiclePage {
    /// Newest first.
    pub vehicles: Vec<SavedVehicle>,
    /// The cursor of the next page, if there is one.
    pub next: Option<String>,
}
