//! The files of load cases and materials that the program ships with.

use crate::joints::{JointFile, JointInput};
use crate::load_cases::{LoadCaseFile, LoadCaseInput};
use crate::parts::{MaterialFile, MaterialInput};
use crate::vehicle::Vehicle;
use std::sync::LazyLock;

/// The load cases as a file.
pub const LOAD_CASES: &str = include_str!("../data/load-cases.json");
/// The joints as a file.
pub const JOINTS: &str = include_str!("../data/joints.json");
/// The materials as a file.
pub const MATERIALS: &str = include_str!("../data/materials.json");

// The files are part of the program; a test reads and checks them.
static CASES: LazyLock<LoadCaseFile> =
    LazyLock::new(|| serde_json::from_str(LOAD_CASES).expect("the shipped load cases are valid"));
static KNOWN: LazyLock<MaterialFile> =
    LazyLock::new(|| serde_json::from_str(MATERIALS).expect("the shipped materials are valid"));

static CATALOGUE: LazyLock<JointFile> =
    LazyLock::new(|| serde_json::from_str(JOINTS).expect("the shipped joints are valid"));

/// The load cases that a vehicle is looked at with: its own, else the shipped ones.
pub fn load_cases(vehicle: &Vehicle) -> &[LoadCaseInput] {
    match vehicle.load_cases.is_empty() {
        true => &CASES.load_cases,
        false => &vehicle.load_cases,
    }
}

/// Where the figures of those load cases come from.
pub fn load_case_source(vehicle: &Vehicle) -> &str {
    match vehicle.load_cases.is_empty() {
        true => &CASES.source,
        false => "the vehicle's own load cases",
    }
}

/// A material by name: the vehicle's own before the shipped ones.
pub fn material<'a>(vehicle: &'a Vehicle, name: &str) -> Option<&'a MaterialInput> {
    vehicle
        .materials
        .iter()
        .chain(&KNOWN.materials)
        .find(|m| m.name == name)
}

/// A joint by name: the vehicle's own catalogue before the shipped one.
pub fn joint<'a>(vehicle: &'a Vehicle, name: &str) -> Option<&'a JointInput> {
    vehicle
        .joint_catalogue
        .iter()
        .chain(&CATALOGUE.joints)
        .find(|j| j.name == name)
}

/// The shipped joints.
pub(crate) fn shipped_joints() -> &'static [JointInput] {
    &CATALOGUE.joints
}

/// Names of the shipped materials.
pub(crate) fn shipped_names() -> impl Iterator<Item = &'static str> {
    KNOWN.materials.iter().map(|m| m.name.as_str())
}
