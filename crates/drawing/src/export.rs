//! Fronts and hardpoints as tables: CSV, Parquet, JSON.

mod columns;
mod csv;
mod front;
mod hardpoints;
mod parquet;
mod sheet;

pub use columns::{Column, columns, poses};
pub use front::front_sheet;
pub use hardpoints::hardpoint_sheet;
pub use sheet::{Cells, Sheet};
