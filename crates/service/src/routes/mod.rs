//! The resources, one file each.

pub mod archive;
pub mod assessments;
pub mod comparisons;
pub mod events;
pub mod fits;
pub mod found;
pub mod front;
pub mod jobs;
pub mod life;
pub mod list_events;
pub mod page;
pub mod poses;
pub mod probes;
pub mod problems;
pub mod quantities;
pub mod reports;
pub mod schema;
pub mod sensitivities;
pub mod studies;
pub mod transfer;
pub mod vehicles;
pub mod versions;
pub mod workers;
