//! Arguments of `vehicles`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use crate::args::Server;

/// `vehicles`
#[derive(Debug, Args)]
pub struct Vehicles {
    /// What to do.
    #[command(subcommand)]
    pub action: VehicleAction,
}

/// What may be done with saved vehicles.
#[derive(Debug, Subcommand)]
pub enum VehicleAction {
    /// List saved vehicles, newest first.
    List(ListVehicles),
    /// Save a vehicle file: as a new vehicle, or as one more version with --version-of.
    Save(SaveVehicle),
    /// Show a saved vehicle's notes, labels and versions.
    Show(OneVehicle),
    /// Print the vehicle file of a version.
    File(VehicleFile),
    /// Change name, notes or labels.
    Change(ChangeVehicle),
    /// Delete a saved vehicle with all its versions.
    Delete(OneVehicle),
}

/// `vehicles list`
#[derive(Debug, Args)]
pub struct ListVehicles {
    /// Only vehicles whose name contains this.
    #[arg(long)]
    pub name: Option<String>,
    /// Only vehicles with this label.
    #[arg(long)]
    pub label: Option<String>,
    /// Where the page before ended.
    #[arg(long)]
    pub cursor: Option<String>,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `vehicles save`
#[derive(Debug, Args)]
pub struct SaveVehicle {
    /// Vehicle file, or - for standard input.
    pub vehicle: PathBuf,
    /// Save it as one more version of this saved vehicle.
    #[arg(long, value_name = "ID", conflicts_with_all = ["name", "notes", "labels"])]
    pub version_of: Option<String>,
    /// Refuse it unless the saved vehicle still has this revision.
    #[arg(long, requires = "version_of")]
    pub if_revision: Option<u64>,
    /// Name of the new vehicle; by default that in the file.
    #[arg(long)]
    pub name: Option<String>,
    /// Notes on the new vehicle as a whole.
    #[arg(long)]
    pub notes: Option<String>,
    /// Label of the new vehicle; may be repeated.
    #[arg(long = "label", value_name = "LABEL")]
    pub labels: Vec<String>,
    /// Note on this version.
    #[arg(long)]
    pub note: Option<String>,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// A saved vehicle.
#[derive(Debug, Args)]
pub struct OneVehicle {
    /// Its id.
    pub id: String,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `vehicles file`
#[derive(Debug, Args)]
pub struct VehicleFile {
    /// Id of the saved vehicle.
    pub id: String,
    /// Number of the version; by default the newest.
    #[arg(long, value_name = "N")]
    pub version: Option<u32>,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `vehicles change`
#[derive(Debug, Args)]
pub struct ChangeVehicle {
    /// Id of the saved vehicle.
    pub id: String,
    /// Its new name.
    #[arg(long)]
    pub name: Option<String>,
    /// Its new notes.
    #[arg(long)]
    pub notes: Option<String>,
    /// All its labels; may be repeated.
    #[arg(long = "label", value_name = "LABEL", conflicts_with = "no_labels")]
    pub labels: Vec<String>,
    /// Take all labels away.
    #[arg(long)]
    pub no_labels: bool,
    /// Refuse the change unless the vehicle still has this revision.
    #[arg(long)]
    pub if_revision: Option<u64>,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}
